/* marks.js - the head as it is drawn from the side. */

/* From the side: out = x, up = -y of the group; what leaves the plane is drawn onto it. */
page.headBeside = (head) => {
  const group = page.svg('g', { class: 'head live' });
  for (const body of head.bodies) {
    const [low, high] = body.heights;
    group.append(
      page.svg('rect', {
        ...{ class: 'body', x: -body.radius, y: -high },
        ...{ width: 2 * body.radius, height: high - low },
      })
    );
  }
  for (const capsule of head.capsules) {
    const [a, b] = [capsule.from, capsule.to];
    const kind = capsule.name === 'torch' ? 'torch' : 'guard';
    const [dx, dy] = [b[0] - a[0], -(b[2] - a[2])];
    const r = capsule.radius;
    group.append(
      page.svg('rect', {
        ...{ class: kind, x: -r, y: -r, width: Math.hypot(dx, dy) + 2 * r, height: 2 * r, rx: r },
        transform: `translate(${a[0]} ${-a[2]}) rotate(${(Math.atan2(dy, dx) * 180) / Math.PI})`,
      })
    );
  }
  const [from, to] = [head.electrode_from, head.electrode_to];
  group.append(
    page.svg('line', { class: 'electrode', x1: from[0], y1: -from[2], x2: to[0], y2: -to[2] })
  );
  return group;
};

page.degrees = (angle) => (angle * 180) / Math.PI;
