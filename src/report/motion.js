/* motion.js - the motion in closed form, evaluated as the compiler does it.
 *
 * The data hold steps, [rate, curve, and what is added to t, turn, head and z for the next piece], in
 * whole units; unfolded, a piece is [t0, q0, q1, q2, q3, curve, turn0, head0, z0].  A curve: [is_line, centre x, y, direction
 * x, y (or radius, 0), rho, turn 1..3, head 1..3, z 1..3].  With q the cubic of the time since t0:
 *   x, y = centre + radius (cos turn, sin turn), or centre + turn * direction,
 *          - rho (cos head, sin head)
 * A phase: [kind, move, tick0, overlay, layer, lap, arc, gas, laps, values]: laps of a phase that
 * travels with the arc on, [tick, lap, is_step]; values with the arc on, [tick, current, voltage, wire,
 * wire current, voltage control], of which the first three run evenly to the next. */
page.piecesUnfold = (data) => {
  const at = [...data.start];
  const unit = data.decimals.map((decimals) => 10 ** decimals);
  return data.pieces.map((index) => {
    const [rate, curve, ...more] = data.steps[index];
    const [t, turn, head, z] = at.map((whole, k) => whole / unit[k]);
    more.forEach((step, k) => (at[k] += step));
    return [t, ...data.rates[rate], curve, turn, head, z];
  });
};

page.motionMake = (data, scene) => {
  const { curves, phases, ticks, tick_s: tick } = data;
  const pieces = page.piecesUnfold(data);
  const duration = ticks * tick;

  /* The last of a rising list that is not above value. */
  const lastAt = (list, key, value) => {
    let low = 0;
    let high = list.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (list[middle][key] <= value) low = middle;
      else high = middle - 1;
    }
    return low;
  };

  /* A cubic by an inner cubic's value and its derivatives by time: value, first, second. */
  const through = (c0, curve, k, q) => {
    const [c1, c2, c3] = [curve[k], curve[k + 1], curve[k + 2]];
    const slope = c1 + q[0] * (2 * c2 + q[0] * 3 * c3);
    return [
      c0 + q[0] * (c1 + q[0] * (c2 + q[0] * c3)),
      slope * q[1],
      (2 * c2 + 6 * c3 * q[0]) * q[1] * q[1] + slope * q[2],
    ];
  };
  const wave = (scale, angle, x, y) => {
    const [c, s] = [scale * Math.cos(angle[0]), scale * Math.sin(angle[0])];
    const square = angle[1] * angle[1];
    x[0] += c;
    y[0] += s;
    x[1] -= angle[1] * s;
    y[1] += angle[1] * c;
    x[2] += -square * c - angle[2] * s;
    y[2] += -square * s + angle[2] * c;
  };

  /* Value, speed and acceleration of x, y, z and head (rad) at a time. */
  const jetAt = (time) => {
    const t = Math.min(Math.max(time, 0), duration);
    const piece = pieces[lastAt(pieces, 0, t)];
    const curve = curves[piece[5]];
    const d = t - piece[0];
    const q = [
      piece[1] + d * (piece[2] + d * (piece[3] + d * piece[4])),
      piece[2] + d * (2 * piece[3] + d * 3 * piece[4]),
      2 * piece[3] + 6 * d * piece[4],
    ];
    const turn = through(piece[6], curve, 6, q);
    const head = through(piece[7], curve, 9, q);
    const z = through(piece[8], curve, 12, q);
    const x = [curve[1], 0, 0];
    const y = [curve[2], 0, 0];
    if (curve[0]) {
      for (let k = 0; k < 3; k++) {
        x[k] += turn[k] * curve[3];
        y[k] += turn[k] * curve[4];
      }
    } else {
      wave(curve[3], turn, x, y);
    }
    if (curve[5] !== 0) wave(-curve[5], head, x, y);
    return { x, y, z, head };
  };
  const poseAt = (t) => {
    const jet = jetAt(t);
    return { x: jet.x[0], y: jet.y[0], z: jet.z[0], head: jet.head[0] };
  };
  const tipOf = (pose) => ({
    x: pose.x + scene.head.reach * Math.cos(pose.head),
    y: pose.y + scene.head.reach * Math.sin(pose.head),
    z: pose.z - scene.head.drop,
  });

  const phaseIndexAt = (t) => lastAt(phases, 2, Math.floor(t / tick + 1e-6));

  const OFF = [0, 0, 0, 0, 0, 0];
  const lined = (lines, at) => {
    const k = lastAt(lines, 0, at);
    const [from, to] = [lines[k], lines[k + 1]];
    if (!to) return from;
    const part = (at - from[0]) / (to[0] - from[0]);
    return from.map((value, i) => (i >= 1 && i <= 3 ? value + part * (to[i] - value) : value));
  };

  /* What the row at or before the time says beside its place; overlay, layer and lap from 1. */
  const valuesAt = (t) => {
    const at = Math.floor(t / tick + 1e-6);
    const index = phaseIndexAt(t);
    const phase = phases[index];
    const values = { phase: data.phase_names[phase[0]], move: data.move_names[phase[1]], index };
    const last = at >= ticks || phase[3] === 0;
    const laps = phase[8];
    values.overlay = last ? 0 : phase[3];
    values.layer = last ? 0 : phase[4];
    values.lap = last ? 0 : laps.length > 0 ? laps[lastAt(laps, 0, at)][1] : phase[5];
    values.arc = !last && phase[6] === 1;
    values.gas = at < ticks && phase[7] === 1;
    const [, current, voltage, wire, wireCurrent, avc] = values.arc ? lined(phase[9], at) : OFF;
    Object.assign(values, { current, voltage, wire, wireCurrent, avc: avc === 1 });
    return values;
  };

  /* How many layers of each overlay lie finished, and which one counts as being laid. */
  const laidAt = (t) => {
    const phase = phases[phaseIndexAt(t)];
    const all = phase[3] === 0 || t >= duration;
    return scene.overlays.map((overlay, i) => {
      const done = all || i + 1 < phase[3] ? overlay.layers.length : 0;
      return i + 1 === phase[3] && !all
        ? { done: phase[4] - 1, laying: phase[4] }
        : { done, laying: 0 };
    });
  };

  const longestName = [...data.phase_names, ...data.move_names].reduce((a, b) => (b.length > a.length ? b : a));
  return {
    ...{ tick, ticks, duration, pieces, phases, longestName },
    ...{ jetAt, poseAt, tipOf, valuesAt, phaseIndexAt, laidAt },
  };
};
