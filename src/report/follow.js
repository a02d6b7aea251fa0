/* follow.js - one time for everything: slider, play, keys, and what shows it. */
(() => {
  const begun = performance.now();
  const summary = page.data('summary-data');
  const scene = page.data('scene-data');
  const strain = page.data('strain-data');
  const motion = page.motionMake(page.data('motion-data'), scene);
  const metal = page.metalMake(scene);
  const at = (id) => document.getElementById(id);
  const slider = at('time');
  const play = at('play');
  const groups = [...document.querySelectorAll('.overlay')];
  const plans = groups.map((group) => page.planMake(group.querySelector('figure.plan svg')));
  const walls = groups.map((group, i) =>
    page.wallMake(i, group.querySelector('figure.wall svg'), scene, metal.overlays[i], motion)
  );
  const beads = groups.map((group) => page.beadsMake(group.querySelector('figure.wall svg'), scene));
  const section = page.sectionMake(scene, metal, motion);
  at('section').append(section.root);
  let charts = { show: () => {} };
  let space = { show: () => {} };
  let now = 0;

  const speedsOf = (jet) =>
    scene.axes.map((axis, k) => {
      const speed = [jet.x, jet.y, jet.z, jet.head][k][1];
      const isTurn = axis.name === 'head';
      const shown = isTurn ? page.degrees(speed) : speed;
      return `${page.fixed(shown, 2)} ${isTurn ? 'deg/s' : 'mm/s'} (${page.fixed((100 * Math.abs(speed)) / axis.speed, 0)} %)`;
    });

  const READOUT = [
    'Phase', 'Overlay', 'Layer, lap', 'Current, voltage', 'Wire', 'Gas, arc', 'x', 'y', 'z', 'head',
    'Tip at depth', 'Tip along the wall', 'x moves at', 'y moves at', 'z moves at', 'head turns at',
  ];
  page.facts(at('readout'), READOUT.map((word) => [word, '']));
  const cells = [...at('readout').querySelectorAll('dd')];
  /* As high as the longest of what may stand in an element makes it, so that nothing moves while the
   * head does. */
  const roomHold = (element, texts) => {
    const shown = [...element.childNodes];
    element.style.minHeight = '';
    const most = Math.max(...texts.map((text) => {
      element.replaceChildren(page.named(text));
      return element.getBoundingClientRect().height;
    }));
    element.replaceChildren(...shown);
    element.style.minHeight = `${most}px`;
  };
  const roomsHold = () => {
    roomHold(cells[1], scene.overlays.map((one) => `${one.name} (${one.file}:${one.line})`));
    roomHold(at('where'), scene.overlays.map((one, i) => `${motion.longestName}: ${one.name}, layer ${one.layers.length}, lap ${summary.overlays[i].layers[0].laps}`));
  };
  addEventListener('resize', roomsHold);
  const textSet = (element, text) => {
    if (element.textContent !== text) element.replaceChildren(page.named(text));
  };
  const readOut = (jet, values, place) => {
    const overlay = values.overlay > 0 ? scene.overlays[values.overlay - 1] : null;
    const texts = [
      values.move || values.phase,
      overlay ? `${overlay.name} (${overlay.file}:${overlay.line})` : '-',
      overlay ? `${values.layer}, ${values.lap}` : '-',
      `${page.fixed(values.current, 1)} A, ${page.fixed(values.voltage, 2)} V`,
      `${page.fixed(values.wire, 3)} mm/s${values.wireCurrent > 0 ? `, ${page.fixed(values.wireCurrent, 1)} A` : ''}`,
      `${values.gas ? 'on' : 'off'}, ${values.arc ? 'on' : 'off'}${values.avc ? ', voltage control' : ''}`,
      `${page.fixed(jet.x[0], 3)} mm`,
      `${page.fixed(jet.y[0], 3)} mm`,
      `${page.fixed(jet.z[0], 3)} mm`,
      `${page.fixed(page.degrees(jet.head[0]), 3)} deg`,
      `${page.fixed(place.depth, 3)} mm`,
      overlay ? `${page.fixed(place.s, 2)} mm` : '-',
      ...speedsOf(jet),
    ];
    texts.forEach((text, k) => textSet(cells[k], text));
  };

  /* The overlay under the slider; before the first and after the last the nearest. */
  let shownOverlay = -1;
  const overlayShow = (overlay) => {
    if (overlay === shownOverlay) return;
    shownOverlay = overlay;
    groups.forEach((group, i) => group.classList.toggle('aside', i !== overlay));
    sidewaysSet();
  };

  /* What is moved sideways on a narrow screen is moved by the keyboard too. */
  const sidewaysSet = () => {
    for (const one of document.querySelectorAll('.scroll, figure.plan, figure.wall'))
      if (one.scrollWidth > one.clientWidth + 1) one.setAttribute('tabindex', '0');
      else one.removeAttribute('tabindex');
  };
  addEventListener('resize', sidewaysSet);

  const show = () => {
    const jet = motion.jetAt(now);
    const pose = { x: jet.x[0], y: jet.y[0], z: jet.z[0], head: jet.head[0] };
    const values = motion.valuesAt(now);
    const overlay = values.overlay > 0 ? values.overlay - 1 : Math.max(shownOverlay, 0);
    overlayShow(overlay);
    const place = walls[overlay].show(pose, values);
    plans[overlay].show(pose);
    beads[overlay].layerShow(values.layer || scene.overlays[overlay].layers.length);
    section.show(now, pose);
    at('section-when').textContent = `at ${page.clock(now)}`;
    at('clock').textContent = `${page.clock(now)} of ${page.clock(motion.duration, 0)}`;
    textSet(
      at('where'),
      values.overlay > 0
        ? `${values.move || values.phase}: ${scene.overlays[overlay].name}, layer ${values.layer}, lap ${values.lap}`
        : values.move || values.phase
    );
    slider.value = String(Math.round(now / motion.tick));
    slider.setAttribute('aria-valuetext', `${page.clock(now)}, ${values.phase}${values.overlay > 0 ? `, layer ${values.layer}, lap ${values.lap}` : ''}`);
    readOut(jet, values, place);
    charts.show(now, values.overlay, place.depth);
    space.show(pose);
  };
  /* On paper every overlay's last layer is shown, whatever the slider says. */
  addEventListener('beforeprint', () => {
    beads.forEach((one, i) => one.layerShow(scene.overlays[i].layers.length));
  });
  addEventListener('afterprint', () => show());
  const setTime = (t) => {
    now = Math.min(Math.max(t, 0), motion.duration);
    show();
  };

  /* -- playing ------------------------------------------------------------------------------- */

  let playing = false;
  let before = 0;
  const step = (stamp) => {
    if (!playing) return;
    const passed = Math.min((stamp - before) / 1000, 0.25) * Number(at('pace').value);
    before = stamp;
    setTime(now + Math.max(passed, 0));
    if (now >= motion.duration) playSet(false);
    else requestAnimationFrame(step);
  };
  const playSet = (wanted) => {
    if (wanted && now >= motion.duration) now = 0;
    playing = wanted;
    play.textContent = playing ? 'Stop' : 'Play';
    if (playing) {
      before = performance.now();
      requestAnimationFrame(step);
    }
  };
  play.addEventListener('click', () => playSet(!playing));
  slider.max = String(motion.ticks);
  slider.addEventListener('input', () => setTime(Number(slider.value) * motion.tick));

  /* On a tick, as rows are. */
  const ticksOf = (t) => Math.round(t / motion.tick) * motion.tick;
  const phaseStep = (way) => {
    const index = motion.phaseIndexAt(now);
    const to = motion.phases[Math.max(index + way, 0)];
    setTime(to ? to[2] * motion.tick : motion.duration);
  };
  slider.addEventListener('keydown', (event) => {
    const move = event.shiftKey ? motion.tick : 1;
    const acts = {
      ArrowRight: () => setTime(ticksOf(now + move)), ArrowUp: () => setTime(ticksOf(now + move)),
      ArrowLeft: () => setTime(ticksOf(now - move)), ArrowDown: () => setTime(ticksOf(now - move)),
      PageDown: () => phaseStep(1), PageUp: () => phaseStep(-1),
      Home: () => setTime(0), End: () => setTime(motion.duration),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  });
  document.addEventListener('keydown', (event) => {
    const isOwn = event.target.closest('button, select, a, summary');
    if (event.key !== ' ' || isOwn) return;
    event.preventDefault();
    playSet(!playing);
  });

  /* -- words, and where to begin -------------------------------------------------------------- */

  page.verdictShow(summary, scene);
  page.messagesShow('refusal', 'errors', summary.errors || []);
  page.messagesShow('warnings', 'warning-list', summary.warnings);
  page.checksShow(summary, (t) => {
    playSet(false);
    setTime(t);
    at('follow').scrollIntoView({ block: 'start' });
    slider.focus({ preventScroll: true });
  });
  page.quantitiesShow(summary);
  page.runsShow(summary, scene);

  /* The place where a body comes nearest to metal is what one looks for first. */
  const first = ['clearance', 'torch-clearance']
    .map((name) => summary.checks.find((check) => check.name === name))
    .find((check) => check && check.t_s !== null);
  roomsHold();
  sidewaysSet();
  setTime(first ? first.t_s : 0);
  delete document.documentElement.dataset.reading;
  document.documentElement.dataset.ready = String(Math.round(performance.now()));
  document.documentElement.dataset.took = String(Math.round(performance.now() - begun));

  /* The libraries come after the first look; on paper they are not needed. */
  const later = window.requestIdleCallback || ((run) => setTimeout(run, 30));
  later(() => {
    charts = page.chartsMake(scene, strain, motion, (t) => setTime(t));
    show();
    document.documentElement.dataset.charts = 'shown';
  });
  new IntersectionObserver((entries, watcher) => {
    if (!entries.some((entry) => entry.isIntersecting)) return;
    watcher.disconnect();
    later(() => {
      space = page.spaceMake(at('space'), scene, metal, motion);
      show();
      document.documentElement.dataset.space = 'shown';
    });
  }, { rootMargin: '300px' }).observe(at('space'));
})();
