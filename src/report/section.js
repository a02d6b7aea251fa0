/* section.js - the side section, cut anew for the head's plane at every moment shown.
 *
 * Out along the torch to the right, from the head's axis; heights of the cell upward. */
page.sectionMake = (scene, metal, motion) => {
  const head = scene.head;

  /* The picture: wide enough for both sides of every bore across, the torch at one of them, for the
   * head, and for a part far deeper than wide. */
  const windowMake = () => {
    const spans = metal.overlays.map((contour) => {
      const points = contour.outline(5);
      const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)];
      return Math.min(
        Math.max(...xs) - Math.min(...xs),
        Math.max(...ys) - Math.min(...ys)
      );
    });
    const deepest = Math.max(
      ...scene.volumes.filter((v) => v.free).map((v) => v.depths[1]),
      ...scene.overlays.flatMap((o) => o.layers.map((layer) => layer.depths[1] + 10))
    );
    const solids = scene.volumes.filter((v) => !v.free).map((v) => -v.depths[0]);
    const top = Math.max(scene.safe_height, 0.25 * deepest, ...solids) + 20;
    const half = Math.max(
      1.5 * head.reach,
      1.15 * Math.max(...spans) - head.reach,
      1.2 * Math.max(...head.bodies.map((body) => body.radius)),
      (1.08 * deepest + top) / 4
    );
    return { u0: -half, u1: half, z0: metal.face - 1.08 * deepest, z1: metal.face + top };
  };
  const view = windowMake();
  const [width, height] = [view.u1 - view.u0, view.z1 - view.z0];
  const em = Math.max(width, height * 0.8) / 40;
  const margin = 3.2 * em;

  const root = page.svg('svg', {
    class: 'drawing section',
    viewBox: `${view.u0 - margin} ${-view.z1 - 0.6 * em} ${width + margin + 0.6 * em} ${height + 3.6 * em}`,
    'font-size': em,
    role: 'img',
    'aria-label': 'Side section in the plane of the torch, at the time shown',
  });
  const clip = page.svg('clipPath', { id: 'section-clip' });
  const box = { x: view.u0, y: -view.z1, width, height };
  clip.append(page.svg('rect', box));
  const field = page.svg('g', { 'clip-path': 'url(#section-clip)' });
  const part = page.svg('path', { class: 'metal' });
  const edges = page.svg('path', { class: 'metal-edge' });
  const clad = page.svg('path', { class: 'clad' });
  const laying = page.svg('path', { class: 'clad laying' });
  const shape = page.headBeside(head);
  const axis = page.svg('line', { class: 'datum axis', x1: 0, x2: 0, y1: -view.z1, y2: -view.z0 });
  const above = page.svg('text', { class: 'mid', x: 0, y: -view.z1 + 1.6 * em });
  field.append(part, clad, laying, edges, axis, shape, above);
  root.append(clip, field, page.svg('rect', { class: 'frame', ...box }));

  /* Depths left, distances from the head's axis below. */
  const step = [1, 2, 5, 10, 20, 50, 100, 200, 500].find((s) => s * 12 > Math.max(width, height)) || 1000;
  for (let z = Math.ceil((metal.face - view.z1) / step) * step; z <= metal.face - view.z0; z += step) {
    const y = z - metal.face;
    root.append(
      page.svg('line', { class: 'tick', x1: view.u0 - 0.4 * em, x2: view.u0, y1: y, y2: y }),
      page.svg('text', { class: 'end small', x: view.u0 - 0.6 * em, y: y + 0.3 * em }, String(z))
    );
  }
  for (let u = Math.ceil(view.u0 / step) * step; u <= view.u1; u += step) {
    const y = -view.z0;
    root.append(
      page.svg('line', { class: 'tick', x1: u, x2: u, y1: y, y2: y + 0.4 * em }),
      page.svg('text', { class: 'mid small', x: u, y: y + 1.4 * em }, String(u))
    );
  }
  root.append(
    page.svg('text', { class: 'small', x: view.u0, y: -view.z0 + 2.6 * em },
      'out from the head axis along the torch, mm; left: depth, mm')
  );

  const rectangles = (list) =>
    list
      .map(([u0, u1, z0, z1]) => `M${u0.toFixed(3)} ${(-z1).toFixed(3)}H${u1.toFixed(3)}V${(-z0).toFixed(3)}H${u0.toFixed(3)}Z`)
      .join('');
  /* Upright sides and the faces between slabs of different cut would be drawn within one another;
   * an edge belongs only where metal ends. */
  const borders = (list) => {
    const lines = [];
    for (const [u0, u1, z0, z1] of list) {
      if (u0 > view.u0) lines.push(`M${u0.toFixed(3)} ${(-z1).toFixed(3)}V${(-z0).toFixed(3)}`);
      if (u1 < view.u1) lines.push(`M${u1.toFixed(3)} ${(-z1).toFixed(3)}V${(-z0).toFixed(3)}`);
      for (const [z, side] of [[z1, 2], [z0, 3]]) {
        let open = [[u0, u1]];
        for (const other of list)
          if (other[side === 2 ? 2 : 3] === z)
            open = open.flatMap(([a, b]) =>
              other[1] <= a || other[0] >= b
                ? [[a, b]]
                : [[a, other[0]], [other[1], b]].filter(([p, q]) => q - p > 1e-9)
            );
        if (z > view.z0 && z < view.z1)
          for (const [a, b] of open) lines.push(`M${a.toFixed(3)} ${(-z).toFixed(3)}H${b.toFixed(3)}`);
      }
    }
    return lines.join('');
  };

  const show = (t, pose) => {
    const list = metal.cut(pose, view);
    part.setAttribute('d', rectangles(list));
    edges.setAttribute('d', borders(list));
    const [done, now] = [[], []];
    motion.laidAt(t).forEach((laid, i) => {
      for (let layer = 1; layer <= laid.done; layer++) done.push(...metal.cutLayer(i, layer, pose));
      if (laid.laying) now.push(...metal.cutLayer(i, laid.laying, pose));
    });
    clad.setAttribute('d', rectangles(done));
    laying.setAttribute('d', rectangles(now));
    shape.setAttribute('transform', `translate(0 ${(-pose.z).toFixed(6)})`);
    const lowest = pose.z + Math.min(-head.drop, ...head.bodies.map((body) => body.heights[0]));
    above.textContent =
      lowest > view.z1 ? `the head is ${page.fixed(lowest - view.z1, 0)} mm above this picture` : '';
  };
  return { root, show, view };
};
