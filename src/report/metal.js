/* metal.js - what a plane upright through the head's axis cuts of part and clad.
 *
 * Metal lies below the datum face or in a solid volume, and in no free one (docs/language.md).  Each
 * slab of depths between two borders of volumes has one set of stretches along the plane. */
page.metalMake = (scene) => {
  const face = scene.datum[2];
  const volumes = scene.volumes.map((volume) => ({
    free: volume.free,
    low: face - volume.depths[1],
    high: face - volume.depths[0],
    contour: page.contourMake(volume.contour),
  }));
  const overlays = scene.overlays.map((overlay) => page.contourMake(overlay.contour));

  const without = (stretches, hole) =>
    stretches.flatMap(([a, b]) =>
      hole[1] <= a || hole[0] >= b
        ? [[a, b]]
        : [[a, hole[0]], [hole[1], b]].filter(([p, q]) => q - p > 1e-9)
    );

  /* Rectangles [u0, u1, z0, z1] of metal within a window of u and z. */
  const cut = (pose, window) => {
    const [dx, dy] = [Math.cos(pose.head), Math.sin(pose.head)];
    const chords = volumes.map((volume) =>
      volume.contour.chords(pose.x, pose.y, dx, dy).map(({ from, to }) => [from.u, to.u])
    );
    const borders = [window.z0, window.z1, face, ...volumes.flatMap((v) => [v.low, v.high])]
      .filter((z) => z >= window.z0 && z <= window.z1)
      .sort((a, b) => a - b);
    const made = [];
    for (let i = 0; i + 1 < borders.length; i++) {
      const [z0, z1] = [borders[i], borders[i + 1]];
      if (z1 - z0 < 1e-9) continue;
      const z = (z0 + z1) / 2;
      const here = volumes.map((v) => v.low <= z && z <= v.high);
      const pick = (free) => chords.filter((_, k) => here[k] && volumes[k].free === free).flat();
      let stretches = z < face ? [[window.u0, window.u1]] : pick(false);
      for (const hole of pick(true)) stretches = without(stretches, hole);
      for (const [a, b] of stretches) {
        const [u0, u1] = [Math.max(a, window.u0), Math.min(b, window.u1)];
        if (u1 > u0) made.push([u0, u1, z0, z1]);
      }
    }
    return made;
  };

  /* Where the wall moved inward by thickness is met beside a crossing of the wall itself; side is
   * +1 where the bore lies on the rising side of u. */
  const inner = (crossing, thickness, side, pose, dx, dy) => {
    const { u, seg } = crossing;
    if (seg.turn === 0) {
      const slant = Math.abs(dx * seg.ty - dy * seg.tx);
      return u + (side * thickness) / Math.max(slant, 1e-3);
    }
    const [ex, ey] = [seg.cx - pose.x, seg.cy - pose.y];
    const middle = ex * dx + ey * dy;
    const radius = seg.radius - seg.turn * thickness;
    const square = radius ** 2 - (ex * dy - ey * dx) ** 2;
    if (square <= 0) return middle;
    const root = Math.sqrt(square);
    return Math.abs(middle - root - u) < Math.abs(middle + root - u) ? middle - root : middle + root;
  };

  /* Rectangles of the clad of one overlay's layer; `clad` is what lies up to and with it. */
  const cutLayer = (index, layer, pose) => {
    const [dx, dy] = [Math.cos(pose.head), Math.sin(pose.head)];
    const contour = overlays[index];
    const below = layer > 1 ? scene.overlays[index].layers[layer - 2].clad : null;
    const { clad, depths } = scene.overlays[index].layers[layer - 1];
    const [z0, z1] = [face - depths[1], face - depths[0]];
    const made = [];
    for (const { from, to } of contour.chords(pose.x, pose.y, dx, dy)) {
      for (const [crossing, side] of [[from, 1], [to, -1]]) {
        const k = contour.segs.indexOf(crossing.seg);
        const outer = below ? inner(crossing, below[k], side, pose, dx, dy) : crossing.u;
        const end = inner(crossing, clad[k], side, pose, dx, dy);
        made.push([Math.min(outer, end), Math.max(outer, end), z0, z1]);
      }
    }
    return made;
  };

  return { face, volumes, overlays, cut, cutLayer };
};
