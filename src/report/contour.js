/* contour.js - a wall as lines and arcs: where a line crosses it, which of its places is nearest.
 *
 * A segment: [s0, length, start x, y, normal's angle, turn, radius, centre x, y, tangent x, y]; turn
 * is 1 where the wall bends left (anticlockwise), -1 where it bends right, 0 on a straight. */
page.contourMake = (data) => {
  const segs = data.segs.map(
    ([s0, length, x, y, normal, turn, radius, cx, cy, tx, ty]) => ({
      ...{ s0, length, x, y, normal, turn, radius, cx, cy, tx, ty },
      first: turn ? Math.atan2(y - cy, x - cx) : 0,
    })
  );
  const TURN = 2 * Math.PI;
  const wrapped = (angle) => angle - TURN * Math.floor(angle / TURN);

  /* How far along the segment the ray from an arc's centre meets it; beyond its length: not. */
  const arcAlong = (seg, px, py) =>
    wrapped(seg.turn * (Math.atan2(py - seg.cy, px - seg.cx) - seg.first)) * seg.radius;

  /* Place on the wall moved into the bore by offset. */
  const pointAt = (s, offset = 0) => {
    const at = s - data.perimeter * Math.floor(s / data.perimeter);
    let seg = segs[0];
    for (const one of segs) if (one.s0 <= at) seg = one;
    const on = at - seg.s0;
    if (seg.turn === 0) {
      return {
        x: seg.x + on * seg.tx - offset * seg.ty,
        y: seg.y + on * seg.ty + offset * seg.tx,
      };
    }
    const angle = seg.first + (seg.turn * on) / seg.radius;
    const radius = seg.radius - seg.turn * offset;
    return { x: seg.cx + radius * Math.cos(angle), y: seg.cy + radius * Math.sin(angle) };
  };

  /* Crossings of the line (x, y) + u (dx, dy), unit direction: [{u, seg}], u rising. */
  const crossings = (x, y, dx, dy) => {
    const found = [];
    for (const seg of segs) {
      if (seg.turn === 0) {
        const across = dx * seg.ty - dy * seg.tx;
        if (Math.abs(across) < 1e-12) continue;
        const [ex, ey] = [seg.x - x, seg.y - y];
        const along = (ex * dy - ey * dx) / across;
        if (along >= 0 && along < seg.length)
          found.push({ u: (ex * seg.ty - ey * seg.tx) / across, seg });
        continue;
      }
      const [ex, ey] = [seg.cx - x, seg.cy - y];
      const middle = ex * dx + ey * dy;
      const square = seg.radius ** 2 - (ex * dy - ey * dx) ** 2;
      if (square <= 0) continue;
      for (const u of [middle - Math.sqrt(square), middle + Math.sqrt(square)])
        if (arcAlong(seg, x + u * dx, y + u * dy) < seg.length) found.push({ u, seg });
    }
    return found.sort((a, b) => a.u - b.u);
  };

  /* By a ray in a direction that no drawing is laid out along. */
  const isInside = (x, y) =>
    crossings(x, y, Math.cos(0.7310585), Math.sin(0.7310585)).filter((one) => one.u > 0).length % 2 ===
    1;

  /* Stretches of the line inside the wall: [{from, to}], each end a crossing. */
  const chords = (x, y, dx, dy) => {
    const all = crossings(x, y, dx, dy);
    const made = [];
    for (let i = 0; i + 1 < all.length; i++) {
      const [from, to] = [all[i], all[i + 1]];
      const middle = (from.u + to.u) / 2;
      if (to.u - from.u > 1e-9 && isInside(x + middle * dx, y + middle * dy))
        made.push({ from, to });
    }
    return made;
  };

  /* s of the place nearest to a point. */
  const foot = (px, py) => {
    let best = { distance: Infinity, s: 0 };
    const offer = (distance, s) => {
      if (distance < best.distance) best = { distance, s };
    };
    for (const seg of segs) {
      if (seg.turn === 0) {
        const along = (px - seg.x) * seg.tx + (py - seg.y) * seg.ty;
        const on = Math.min(Math.max(along, 0), seg.length);
        offer(Math.hypot(px - seg.x - on * seg.tx, py - seg.y - on * seg.ty), seg.s0 + on);
        continue;
      }
      const along = arcAlong(seg, px, py);
      if (along <= seg.length)
        offer(Math.abs(Math.hypot(px - seg.cx, py - seg.cy) - seg.radius), seg.s0 + along);
      else offer(Math.hypot(px - seg.x, py - seg.y), seg.s0);
    }
    return { s: best.s - data.perimeter * Math.floor(best.s / data.perimeter), distance: best.distance };
  };

  /* Points close enough together to be drawn as one line. */
  const outline = (step, offsetOf = () => 0) => {
    const points = [];
    segs.forEach((seg, k) => {
      const count = seg.turn === 0 ? 1 : Math.max(2, Math.ceil(seg.length / step));
      for (let i = 0; i < count; i++)
        points.push(pointAt(seg.s0 + (seg.length * i) / count, offsetOf(k)));
      points.push(pointAt(seg.s0 + seg.length * (1 - 1e-9), offsetOf(k)));
    });
    return points;
  };

  return { segs, perimeter: data.perimeter, centre: data.centre, pointAt, crossings, chords, foot, outline };
};
