/* charts.js - axes over time and thickness over depth, by Chart.js, which is read only once the page
 * stands.  A cursor over the charts follows the slider; a click on a chart sets it. */
page.libraryLoad = (id) => {
  const script = page.element('script');
  script.textContent = document.getElementById(id).textContent;
  document.head.append(script);
};

page.colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

/* Shares of the limits at evenly spread instants, in per cent, from the closed form. */
const sharesBetween = (scene, motion, from, to) => {
  const INSTANTS = 600;
  const made = scene.axes.map(() => ({ speed: [], accel: [] }));
  for (let i = 0; i <= INSTANTS; i++) {
    const t = from + ((to - from) * i) / INSTANTS;
    const jet = motion.jetAt(t);
    [jet.x, jet.y, jet.z, jet.head].forEach((axis, k) => {
      made[k].speed.push({ x: t, y: (100 * Math.abs(axis[1])) / scene.axes[k].speed });
      made[k].accel.push({ x: t, y: (100 * Math.abs(axis[2])) / scene.axes[k].accel });
    });
  }
  return made;
};

/* Whole seconds, minutes or hours between figures of time, as many as a chart so wide has room for. */
const timeTicks = (axis) => {
  const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200];
  const step = steps.find((one) => ((axis.max - axis.min) / one) * 70 <= axis.width) || 86400;
  axis.ticks = [];
  for (let t = Math.ceil(axis.min / step - 1e-9) * step; t <= axis.max; t += step) axis.ticks.push({ value: t });
};

page.chartsMake = (scene, strain, motion, setTime) => {
  page.libraryLoad('charts-library');
  const DASHES = [[], [6, 3], [2, 2], [8, 3, 2, 3]];
  const still = { animation: false, responsive: true, maintainAspectRatio: false, normalized: true };
  const scales = (x, y) => {
    const grid = { color: page.colour('--grid') };
    const ticks = { color: page.colour('--quiet'), callback: (value) => String(Number(value.toPrecision(6))) };
    const title = (text) => ({ display: true, text, color: page.colour('--quiet') });
    return {
      x: { type: 'linear', grid, ticks: { ...ticks, ...x.ticks }, title: title(x.title), min: x.min, max: x.max, ...(x.afterBuildTicks ? { afterBuildTicks: x.afterBuildTicks } : {}) },
      y: { grid, ticks, title: title(y.title), min: 0, max: y.most },
    };
  };
  const legend = () => ({ labels: { color: page.colour('--ink'), boxHeight: 1, boxWidth: 28 } });

  const axisChart = (id, kind) => {
    const holder = document.getElementById(id);
    const shares = strain[kind];
    const whole = shares.map((values) =>
      values.flatMap((v, i) => [
        { x: i * strain.bin_s, y: v / 10 },
        { x: Math.min((i + 1) * strain.bin_s, motion.duration), y: v / 10 },
      ])
    );
    const datasets = whole.map((data, k) => ({
      label: scene.axes[k].name,
      data,
      borderColor: page.colour(`--axis-${scene.axes[k].name}`),
      borderDash: DASHES[k],
      ...{ borderWidth: 1.4, pointRadius: 0, tension: 0 },
    }));
    datasets.push({
      label: 'limit',
      data: [{ x: 0, y: 100 }, { x: motion.duration, y: 100 }],
      borderColor: page.colour('--fail'),
      ...{ borderWidth: 1.4, pointRadius: 0 },
    });
    const chart = new Chart(holder.querySelector('canvas'), {
      type: 'line',
      data: { datasets },
      options: {
        ...still,
        parsing: false,
        scales: scales(
          { title: 'time, h:min:s', min: 0, max: motion.duration, ticks: { maxRotation: 0, callback: (v) => page.clock(v, 0) }, afterBuildTicks: timeTicks },
          { title: '% of the limit', most: Math.max(110, ...shares.flat().map((v) => 1.05 * v / 10)) }
        ),
        plugins: {
          legend: legend(),
          tooltip: { mode: 'nearest', intersect: false, callbacks: { title: (items) => page.clock(items[0].parsed.x), label: (item) => `${item.dataset.label} ${page.fixed(item.parsed.y, 1)} %` } },
        },
        onClick: (event) => setTime(chart.scales.x.getValueForPixel(event.x)),
      },
    });
    const cursor = page.element('div', { class: 'cursor' });
    holder.append(cursor);
    const stretchShow = (from, to, made) => {
      made.forEach((axis, k) => (datasets[k].data = axis[kind]));
      Object.assign(chart.options.scales.x, { min: from, max: to });
      chart.update('none');
    };
    return {
      chart,
      stretchShow,
      wholeShow: () => stretchShow(0, motion.duration, whole.map((data) => ({ [kind]: data }))),
      show: (t) => {
        const area = chart.chartArea;
        if (!area) return;
        cursor.style.left = `${chart.scales.x.getPixelForValue(t)}px`;
        cursor.style.top = `${area.top}px`;
        cursor.style.height = `${area.bottom - area.top}px`;
      },
    };
  };

  let bore = null;
  const boreShow = (index) => {
    const overlay = scene.overlays[index];
    const along = (k) => overlay.profile.map((place) => ({ x: place[0], y: place[k] }));
    const mean = along(2);
    const line = (label, data, colour, dash) => ({ label, data, borderColor: page.colour(colour), borderDash: dash, borderWidth: 1.8, pointRadius: 0, stepped: false });
    const datasets = [
      line('mean round the wall', mean, '--accent', []),
      line('least round the wall', along(1), '--axis-y', [6, 3]),
      line('valley floors, as checked', along(3), '--axis-z', [2, 2]),
    ];
    /* With a finished wall what is required is what remains of the clad once it has been cut. */
    const level = (label, y, colour, dash) => datasets.push(line(label, [mean[0], mean[mean.length - 1]].map((p) => ({ x: p.x, y })), colour, dash));
    if (overlay.required_finish !== null) level('finished wall', overlay.required_finish, '--ink', [8, 3, 2, 3]);
    if (overlay.required_thickness !== null)
      level(overlay.required_finish === null ? 'required' : 'required to remain', overlay.required_thickness, '--fail', []);
    if (bore) bore.destroy();
    document.getElementById('bore-caption').replaceChildren('Thickness along the bore, ', page.named(overlay.name));
    bore = new Chart(document.querySelector('#bore-chart canvas'), {
      type: 'line',
      data: { datasets },
      options: {
        ...still,
        parsing: false,
        scales: scales({ title: 'depth, mm', ticks: {} }, { title: 'thickness, mm', most: undefined }),
        plugins: {
          legend: legend(),
          tooltip: { mode: 'nearest', intersect: false, callbacks: { title: (items) => `at depth ${page.fixed(items[0].parsed.x, 2)} mm`, label: (item) => `${item.dataset.label} ${page.fixed(item.parsed.y, 3)} mm` } },
        },
      },
    });
    const cursor = page.element('div', { class: 'cursor' });
    document.getElementById('bore-chart').querySelectorAll('.cursor').forEach((old) => old.remove());
    document.getElementById('bore-chart').append(cursor);
    boreCursor = cursor;
    boreIndex = index;
  };
  let boreCursor = null;
  let boreIndex = -1;

  /* The stretch of time shown: all of it, or some seconds about the slider, which keeps away from
   * the ends. */
  let axes = [];
  let [shownFrom, shownTo] = [0, motion.duration];
  const span = document.getElementById('span');
  const stretchFit = (t) => {
    const wanted = Math.min(Number(span.value) || motion.duration, motion.duration);
    const isWhole = wanted === motion.duration;
    const inside = t >= shownFrom + 0.1 * wanted && t <= shownTo - 0.1 * wanted;
    if (Math.abs(shownTo - shownFrom - wanted) < 1e-6 && (isWhole || inside)) return;
    shownFrom = isWhole ? 0 : Math.min(Math.max(t - wanted / 2, 0), motion.duration - wanted);
    shownTo = shownFrom + wanted;
    if (isWhole) return axes.forEach((one) => one.wholeShow());
    const made = sharesBetween(scene, motion, shownFrom, shownTo);
    axes.forEach((one) => one.stretchShow(shownFrom, shownTo, made));
  };
  let last = [0, 0, 0];
  span.addEventListener('change', () => show(...last));
  const make = () => {
    const shown = boreIndex;
    for (const one of axes) one.chart.destroy();
    document.querySelectorAll('.plot .cursor').forEach((old) => old.remove());
    axes = [axisChart('speed-chart', 'speed'), axisChart('accel-chart', 'accel')];
    shownFrom = 0;
    shownTo = motion.duration;
    boreShow(Math.max(shown, 0));
  };
  make();
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', make);

  /* depth: of the tip; overlay from 1, 0: none. */
  const show = (t, overlay, depth) => {
    last = [t, overlay, depth];
    stretchFit(t);
    for (const one of axes) one.show(t);
    if (overlay > 0 && overlay - 1 !== boreIndex) boreShow(overlay - 1);
    const area = bore.chartArea;
    if (!area) return;
    const x = bore.scales.x.getPixelForValue(depth);
    boreCursor.style.display = overlay > 0 && x >= area.left && x <= area.right ? '' : 'none';
    Object.assign(boreCursor.style, { left: `${x}px`, top: `${area.top}px`, height: `${area.bottom - area.top}px` });
  };
  return { show };
};
