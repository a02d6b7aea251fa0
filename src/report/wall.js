/* wall.js - on the unrolled wall: where the tip is, and what each bead says of itself. */
page.wallMake = (index, root, scene, contour, motion) => {
  const face = scene.datum[2];
  const scale = Number(root.dataset.depthScale || 1);
  const marker = page.svg('g', { class: 'wall-marker live' });
  const size = contour.perimeter / 90;
  marker.append(
    page.svg('circle', { r: size, class: 'marker-ring' }),
    page.svg('path', { d: `M${-1.8 * size} 0H${1.8 * size}M0 ${-1.8 * size}V${1.8 * size}`, class: 'marker-cross' })
  );
  root.append(marker);
  page.mapChoice(root);

  const show = (pose, values) => {
    const tip = motion.tipOf(pose);
    const foot = contour.foot(tip.x, tip.y);
    const depth = face - tip.z;
    marker.setAttribute('transform', `translate(${foot.s.toFixed(6)} ${(depth * scale).toFixed(6)})`);
    marker.style.display = values.overlay === index + 1 ? '' : 'none';
    marker.classList.toggle('burning', values.arc);
    return { s: foot.s, depth };
  };
  return { show };
};

/* Bands of beads, or the thickness after the layer shown. */
page.mapChoice = (root) => {
  const box = page.element('input', { type: 'checkbox' });
  box.addEventListener('change', () => root.classList.toggle('map', box.checked));
  root.before(page.element('p', { class: 'screen choice' }, page.element('label', {}, box, ' thickness by colour')));
};

/* Words for one bead, from the attributes that the drawing gives it. */
page.beadWords = (bead, scene) => {
  const { overlay, layer, lap, line } = bead.dataset;
  const source = scene.overlays[overlay - 1];
  return `overlay ${overlay}, ${source.name}; layer ${layer}, lap ${lap}; ${source.file}, line ${line || source.line}`;
};

/* Neighbouring beads overlap: of those under the pointer the one meant is the one whose middle is
 * nearest, told by points along it. */
page.beadUnder = (x, y) => {
  const under = document.elementsFromPoint(x, y).filter((one) => one.matches('.beads [data-lap]'));
  const farness = (bead) => {
    const place = bead.getScreenCTM();
    const long = bead.getTotalLength();
    let least = Infinity;
    for (let k = 0; k <= 64; k++) {
      const at = bead.getPointAtLength((long * k) / 64).matrixTransform(place);
      const next = bead.getPointAtLength((long * Math.min(k + 1, 64)) / 64).matrixTransform(place);
      const [dx, dy] = [next.x - at.x, next.y - at.y];
      const square = dx * dx + dy * dy;
      const on = square > 0 ? Math.min(Math.max(((x - at.x) * dx + (y - at.y) * dy) / square, 0), 1) : 0;
      least = Math.min(least, Math.hypot(x - at.x - on * dx, y - at.y - on * dy));
    }
    return least;
  };
  return under.length > 1
    ? under.map((bead) => [farness(bead), bead]).sort((a, b) => a[0] - b[0])[0][1]
    : under[0] || null;
};

/* Hovering and the keyboard alike: one bead of a drawing is in the order of the tab key, arrows go
 * from bead to bead. */
page.beadsMake = (root, scene) => {
  const note = document.getElementById('tip');
  const all = [...root.querySelectorAll('.beads [data-lap]')];
  const shown = () => all.filter((bead) => bead.closest('.layer.last'));
  const tell = (bead, x, y) => {
    note.textContent = page.beadWords(bead, scene);
    note.hidden = false;
    const box = note.getBoundingClientRect();
    note.style.left = `${Math.max(4, Math.min(x + 14, innerWidth - box.width - 8))}px`;
    note.style.top = `${Math.max(4, Math.min(y + 18, innerHeight - box.height - 8))}px`;
  };
  let lit = [];
  const light = (bead) => {
    for (const one of lit) one.classList.remove('lit');
    lit = bead
      ? all.filter((one) => one.dataset.layer === bead.dataset.layer && one.dataset.lap === bead.dataset.lap)
      : [];
    for (const one of lit) one.classList.add('lit');
  };
  const hush = () => {
    light(null);
    note.hidden = true;
  };
  const enter = () => {
    all.forEach((bead) => bead.setAttribute('tabindex', '-1'));
    const first = shown()[0];
    if (first) first.setAttribute('tabindex', '0');
  };
  for (const bead of all) {
    bead.setAttribute('role', 'img');
    bead.setAttribute('aria-label', page.beadWords(bead, scene));
  }
  enter();
  root.addEventListener('pointermove', (event) => {
    const bead = page.beadUnder(event.clientX, event.clientY);
    if (!bead) return hush();
    light(bead);
    tell(bead, event.clientX, event.clientY);
  });
  root.addEventListener('pointerleave', hush);
  root.addEventListener('focusin', (event) => {
    const box = event.target.getBoundingClientRect();
    light(event.target);
    tell(event.target, box.left + box.width / 2, box.top + box.height / 2);
  });
  root.addEventListener('focusout', hush);
  root.addEventListener('keydown', (event) => {
    const beads = shown();
    const at = beads.indexOf(event.target);
    const to = { ArrowRight: at + 1, ArrowDown: at + 1, ArrowLeft: at - 1, ArrowUp: at - 1, Home: 0, End: beads.length - 1 }[event.key];
    if (event.key === 'Escape') hush();
    if (at < 0 || to === undefined || !beads[to]) return;
    event.preventDefault();
    beads[at].setAttribute('tabindex', '-1');
    beads[to].setAttribute('tabindex', '0');
    beads[to].focus();
  });

  /* Which layer is shown, from 1: over the one below it, pale. */
  const layers = [...root.querySelectorAll('.layer')];
  const maps = [...root.querySelectorAll('.thickness[data-layers]')];
  let top = 0;
  const layerShow = (layer) => {
    if (layer === top) return;
    top = layer;
    for (const one of layers) {
      const number = Number(one.dataset.layer);
      one.classList.remove('last', 'pale', 'hidden');
      one.classList.add(number === layer ? 'last' : number === layer - 1 ? 'pale' : 'hidden');
    }
    for (const one of maps) {
      const isTop = Number(one.dataset.layers) === layer;
      one.classList.toggle('last', isTop);
      one.classList.toggle('hidden', !isTop);
    }
    enter();
  };
  return { layerShow };
};
