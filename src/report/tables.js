/* tables.js - what stands in words and figures: the verdict, the checks, the quantities. */

page.verdictShow = (summary, scene) => {
  const failed = summary.checks.filter((check) => check.verdict === 'failed').length;
  const judged = summary.checks.filter((check) => check.verdict !== 'not asked').length;
  const passed = summary.verdict === 'passed';
  const verdict = document.getElementById('verdict');
  verdict.textContent = passed
    ? `Passed: all ${judged} checks hold`
    : `Refused: ${failed} of ${judged} checks ${failed === 1 ? 'does' : 'do'} not hold`;
  const wps = scene.procedures.map((one) =>
    [one.name, one.wps, one.filler].filter((text) => text).join(', ')
  );
  document.getElementById('title').textContent = summary.job.title;
  page.facts(document.getElementById('facts'), [
    ['Revision', summary.job.revision || 'none given'],
    ['Part', summary.job.part || 'none given'],
    ['Cell', scene.cell],
    [wps.length > 1 ? 'Procedures' : 'Procedure', wps.join('; ')],
    ['Takes', `${page.duration(summary.duration_s)}, arc on for ${page.duration(summary.arc_time_s)}`],
    ['Source, SHA-256', page.element('code', {}, summary.job.source_sha256)],
  ]);
};

/* What stands between backticks in a message is what stands, or would, in a file. */
page.quoted = (text) => {
  const parts = text.split('`');
  return parts.length % 2 ? parts.map((part, k) => (k % 2 ? page.element('code', {}, part) : part)) : [text];
};

page.messagesShow = (section, list, messages) => {
  document.getElementById(section).hidden = messages.length === 0;
  document.getElementById(list).replaceChildren(
    ...messages.map((one) => {
      const place = one.file ? `${one.file}:${one.line}:${one.column}` : '';
      return page.element('li', {},
        page.element('span', {}, ...page.quoted(one.message)), ' ',
        page.element('code', {}, [one.code, place].filter((text) => text).join(' ')),
        ...(one.help ? [page.element('div', { class: 'hint' }, ...page.quoted(one.help))] : []));
    })
  );
};

/* How much of a limit the worst place takes: 1 is all of it.  Whether the limit is a least or a
 * most shows in the verdict and on which side of it the worst figure lies. */
page.shareTaken = (check) => {
  if (check.worst === null || check.limit === null) return null;
  const holds = check.verdict === 'passed';
  /* The near end of a travel may lie below zero, as the worst place does: -700 of -900 mm. */
  const sign = check.worst < 0 && check.limit < 0 ? -1 : 1;
  const [worst, limit] = [sign * check.worst, sign * check.limit];
  const isLeast = holds ? worst > limit : worst < limit;
  const [part, whole] = isLeast ? [limit, worst] : [worst, limit];
  if (whole === 0 || part / whole < 0) return holds ? 0 : 1.25;
  return holds ? part / whole : Math.max(part / whole, 1.05);
};

const barOf = (check) => {
  const share = page.shareTaken(check);
  const failed = check.verdict === 'failed';
  const width = Math.min(Math.max(share, 0), 1.25) * 80;
  const words = `${page.fixed(100 * share, 1)} % of the limit`;
  const root = page.svg('svg', { class: 'bar', viewBox: '0 0 100 10', preserveAspectRatio: 'none', role: 'img', 'aria-label': words });
  root.append(
    page.svg('rect', { class: 'bar-room', x: 0, y: 2, width: 80, height: 6 }),
    page.svg('rect', { class: failed ? 'bar-taken bar-over' : 'bar-taken', x: 0, y: 2, width, height: 6 }),
    page.svg('line', { class: 'bar-limit', x1: 80, x2: 80, y1: 0, y2: 10 })
  );
  return root;
};

/* goTo: what a click on a time does. */
page.checksShow = (summary, goTo) => {
  const rows = summary.checks.map((check) => {
    if (check.verdict === 'not asked')
      return [check.name, 'not asked', '', '', '', '', '', '', check.detail || ''];
    const margin = Math.abs(check.limit - check.worst);
    const failed = check.verdict === 'failed';
    const when = check.t_s === null ? '' : page.element('button', { type: 'button', class: 'when', title: 'show the head there' }, page.clock(check.t_s));
    if (when) when.addEventListener('click', () => goTo(check.t_s));
    return [
      check.name,
      page.element('strong', { class: failed ? 'fails' : 'holds' }, failed ? 'fails' : 'holds'),
      barOf(check),
      page.figure(check.worst),
      page.figure(check.limit),
      `${failed ? '-' : ''}${page.figure(margin)}`,
      check.unit,
      when,
      page.element('span', { class: 'detail' }, [check.detail, check.file ? `(${check.file}:${check.line})` : ''].filter((text) => text).join(' ')),
    ];
  });
  page.table(document.getElementById('checks'), 'Worst place of each check',
    ['Check', 'Verdict', 'Taken of the limit', '>Worst', '>Limit', '>Left', 'Unit', '>At', 'Where'], rows);
};

const percent = (ratio) => (ratio === null || ratio === undefined ? '-' : page.fixed(100 * ratio, 2));

const everyLayer = (summary, cells) =>
  summary.overlays.flatMap((overlay) => overlay.layers.map((layer) => cells(overlay, layer)));

const rangeWords = (range) =>
  range ? range.map((end) => (end === null ? '..' : page.fixed(end, 3))).join(' to ') : '-';

/* Cooling time where the overlay tells how thick the part's wall is; by which heat flow it goes is
 * said with it. */
const coolingWords = (cooling) =>
  cooling
    ? `${page.fixed(cooling.t85_s, 2)} s, ${cooling.heat_flow}, from ${page.figure(cooling.from_degc)} degC (${cooling.from})`
    : '-';

const heatTable = (summary) => {
  const table = page.element('table');
  page.table(table,
    'Heat, kJ/mm; of the layer, of the start that gets most and of the end that gets least; t8/5 by EN 1011-2 Annex D',
    ['Overlay', '>Layer', '>Arc energy', '>qualified', '>Heat input', '>qualified', '>Wire energy', '>First bead', '>Last bead', 'Cooling time t8/5'],
    everyLayer(summary, (overlay, layer) => [
      ...[page.named(overlay.name), String(layer.layer), page.fixed(layer.arc_energy_kj_mm, 3)],
      ...[rangeWords(layer.arc_energy_qualified_kj_mm), page.fixed(layer.heat_input_kj_mm, 3)],
      ...[rangeWords(layer.heat_input_qualified_kj_mm), page.fixed(layer.wire_energy_kj_mm, 3)],
      layer.heat_along ? page.figure(layer.heat_along.first_bead_kj_mm) : '-',
      layer.heat_along ? page.figure(layer.heat_along.last_bead_kj_mm) : '-',
      coolingWords(layer.cooling),
    ]));
  return table;
};

const procedureTable = (summary) => {
  const table = page.element('table');
  page.table(table, 'By procedure',
    ['Procedure', '>Time', '>Arc on', '>Arc on %', '>Wire m', '>Wire kg', '>Rate kg/h', '>Gas L', '>Starts'],
    summary.procedures.map((one) => [
      ...[one.name, page.duration(one.time_s), page.duration(one.arc_time_s), percent(one.arc_share)],
      ...[page.fixed(one.wire_length_m, 2), page.fixed(one.wire_mass_kg, 3)],
      ...[page.fixed(one.deposition_kg_h, 3), page.fixed(one.gas_l, 1), String(one.starts)],
    ]));
  return table;
};

page.quantitiesShow = (summary) => {
  const hours = summary.arc_time_s / 3600;
  const starts = summary.overlays.flatMap((o) => o.layers).reduce((sum, l) => sum + l.starts, 0);
  page.facts(document.getElementById('totals'), [
    ['Duration', page.duration(summary.duration_s)],
    ['Arc on', `${page.duration(summary.arc_time_s)}, ${page.fixed((100 * summary.arc_time_s) / summary.duration_s, 1)} % of it`],
    ['Wire', `${page.fixed(summary.wire_length_m, 2)} m, ${page.fixed(summary.wire_mass_kg, 3)} kg`],
    ['Rate with the arc on', hours > 0 ? `${page.fixed(summary.wire_mass_kg / hours, 3)} kg/h` : '-'],
    ['Gas', `${page.fixed(summary.gas_l, 1)} L`],
    ['Starts of the arc', String(starts)],
    ['Rows', `${summary.rows}, one each ${page.figure(1000 * summary.tick_s)} ms`],
  ]);
  page.table(document.getElementById('layers'), 'Layers',
    ['Overlay', '>Layer', 'Procedure', '>Laps', '>Pitch mm', '>Overlap %', '>Thickness mm', '>Iron %', '>Path m', '>Arc time', '>Starts', '>Bare mm'],
    everyLayer(summary, (overlay, layer) => [
      ...[page.named(overlay.name), String(layer.layer), layer.procedure, String(layer.laps)],
      ...[page.fixed(layer.pitch_mm, 3), percent(layer.overlap), page.fixed(layer.thickness_mm, 3)],
      ...[percent(layer.iron), page.fixed(layer.path_length_mm / 1000, 2)],
      ...[page.duration(layer.arc_time_s), String(layer.starts), page.fixed(layer.bare_mm, 1)],
    ]));
  const more = [heatTable(summary)];
  if (summary.procedures) more.push(procedureTable(summary));
  document.getElementById('more').replaceChildren(...more);
};

/* A long list is shown whole on paper only where it stays readable: the rest is in the table of
 * `borelay check`. */
const RUNS_MOST = 60;

page.runsShow = (summary, scene) => {
  const named = (i) => page.named(scene.overlays[i - 1].name);
  const rows = scene.runs.slice(0, RUNS_MOST).map(([o, layer, lap0, s0, d0, lap1, s1, d1, length]) => [
    ...[named(o), String(layer), String(lap0), page.fixed(s0, 1), page.fixed(d0, 2)],
    ...[String(lap1), page.fixed(s1, 1), page.fixed(d1, 2), page.fixed(length, 1)],
  ]);
  const rest = scene.runs.length - rows.length;
  page.table(document.getElementById('runs'),
    `Starts and stops, mm${rest > 0 ? `; ${rest} more stand in the table of borelay check` : ''}`,
    ['Overlay', '>Layer', '>Start lap', '>along', '>depth', '>Stop lap', '>along', '>depth', '>Length'], rows);
  const bare = document.getElementById('bare');
  if (summary.bare.length === 0) {
    bare.replaceChildren(page.element('caption', {}, 'Nothing stays bare.'));
    return;
  }
  page.table(bare,
    `Bare lengths, mm${summary.bare.length > RUNS_MOST ? `; the first ${RUNS_MOST} of ${summary.bare.length}` : ''}`,
    ['Overlay', '>Layer', '>Lap', '>From', '>Length', 'Why'],
    summary.bare.slice(0, RUNS_MOST).map((one) => [
      ...[named(one.overlay), String(one.layer), String(one.lap)],
      ...[page.fixed(one.along_mm, 1), page.fixed(one.length_mm, 1), one.why],
    ]));
};
