/* space.js - walls, clad, the tip's path and the head in three dimensions, by three.js, which is
 * read only when this picture is about to be seen.  Cell frame, Z up. */
page.spaceMake = (holder, scene, metal, motion) => {
  page.libraryLoad('space-library');
  const { datum, head } = scene;
  let renderer;
  const canvas = page.element('canvas');
  try {
    const context =
      canvas.getContext('webgl', { antialias: true, alpha: true }) ||
      canvas.getContext('experimental-webgl');
    if (!context) throw new Error('no WebGL');
    renderer = new THREE.WebGLRenderer({ canvas, context, antialias: true, alpha: true });
  } catch (error) {
    holder.replaceChildren(
      page.element('p', { class: 'quiet' }, 'This browser shows no three-dimensional pictures (no WebGL); the drawings hold the same.')
    );
    return { show: () => {} };
  }
  holder.replaceChildren(canvas);
  const world = new THREE.Scene();
  const camera = new THREE.PerspectiveCamera(35, 1, 1, 20000);
  camera.up.set(0, 0, 1);
  world.add(new THREE.HemisphereLight(0xffffff, 0x777777, 0.95));
  const lamp = new THREE.DirectionalLight(0xffffff, 0.45);
  world.add(lamp);

  const colours = () => ({
    metal: new THREE.Color(page.colour('--draw-metal')),
    clad: new THREE.Color(page.colour('--draw-clad')),
    head: new THREE.Color(page.colour('--draw-head')),
    tip: new THREE.Color(page.colour('--draw-tip')),
    quiet: new THREE.Color(page.colour('--draw-faint')),
    ink: new THREE.Color(page.colour('--draw-ink')),
  });
  let materials = [];
  const material = (name, make) => {
    const made = make(colours()[name]);
    materials.push([name, made]);
    return made;
  };
  const surface = (name, opacity, side) =>
    material(name, (color) => new THREE.MeshLambertMaterial({ color, opacity, transparent: opacity < 1, side, depthWrite: opacity === 1 }));

  /* An upright wall along points of a contour. */
  const ribbon = (points, low, high) => {
    const places = [];
    const faces = [];
    points.forEach((p, i) => {
      places.push(p.x, p.y, low, p.x, p.y, high);
      const [a, b] = [2 * i, 2 * ((i + 1) % points.length)];
      faces.push(a, b, a + 1, b, b + 1, a + 1);
    });
    const shape = new THREE.BufferGeometry();
    shape.setAttribute('position', new THREE.Float32BufferAttribute(places, 3));
    shape.setIndex(faces);
    shape.computeVertexNormals();
    return shape;
  };
  for (const volume of metal.volumes) {
    const points = volume.contour.outline(3);
    world.add(
      new THREE.Mesh(
        ribbon(points, volume.low, volume.high),
        surface(volume.free ? 'quiet' : 'metal', volume.free ? 0.22 : 0.85, THREE.DoubleSide)
      )
    );
    for (const z of [volume.low, volume.high]) {
      const rim = new THREE.BufferGeometry().setFromPoints(points.map((p) => new THREE.Vector3(p.x, p.y, z)));
      world.add(new THREE.LineLoop(rim, material('ink', (color) => new THREE.LineBasicMaterial({ color, transparent: true, opacity: 0.55 }))));
    }
  }
  scene.overlays.forEach((overlay, i) => {
    for (const layer of overlay.layers) {
      const points = metal.overlays[i].outline(3, (k) => layer.clad[k]);
      const [low, high] = [datum[2] - layer.depths[1], datum[2] - layer.depths[0]];
      world.add(new THREE.Mesh(ribbon(points, low, high), surface('clad', 0.35, THREE.DoubleSide)));
    }
  });

  /* The tip's path: as many points as a curve needs to look like one. */
  const lines = { tip: [], quiet: [] };
  motion.pieces.forEach((piece, i) => {
    const end = i + 1 < motion.pieces.length ? motion.pieces[i + 1][0] : motion.duration;
    const from = motion.poseAt(piece[0]);
    const to = motion.poseAt(end - 1e-7);
    const long = Math.hypot(to.x - from.x, to.y - from.y, to.z - from.z) / 8;
    const count = Math.min(64, Math.ceil(Math.max(Math.abs(to.head - from.head) / 0.12, long, 1)));
    if (long === 0 && to.head === from.head) return;
    const list = motion.valuesAt(piece[0] + 1e-7).arc ? lines.tip : lines.quiet;
    let before = motion.tipOf(from);
    for (let k = 1; k <= count; k++) {
      const t = piece[0] + ((end - piece[0]) * k) / count - (k === count ? 1e-7 : 0);
      const tip = motion.tipOf(motion.poseAt(t));
      list.push(before.x, before.y, before.z, tip.x, tip.y, tip.z);
      before = tip;
    }
  });
  for (const name of ['tip', 'quiet']) {
    const shape = new THREE.BufferGeometry();
    shape.setAttribute('position', new THREE.Float32BufferAttribute(lines[name], 3));
    const look = material(name, (color) => new THREE.LineBasicMaterial({ color, transparent: true, opacity: name === 'tip' ? 0.9 : 0.45 }));
    world.add(new THREE.LineSegments(shape, look));
  }

  /* The head: bodies and capsules from H, out = x, left = y, up = z. */
  const model = new THREE.Group();
  const between = (a, b, radius, look) => {
    const [from, to] = [new THREE.Vector3(...a), new THREE.Vector3(...b)];
    const way = to.clone().sub(from);
    const rod = new THREE.Mesh(new THREE.CylinderGeometry(radius, radius, way.length(), 24), look);
    rod.position.copy(from.clone().add(to).multiplyScalar(0.5));
    rod.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), way.clone().normalize());
    model.add(rod);
    return [from, to];
  };
  const soft = surface('head', 0.55, THREE.FrontSide);
  const firm = surface('head', 1, THREE.FrontSide);
  for (const body of head.bodies)
    between([0, 0, body.heights[0]], [0, 0, body.heights[1]], body.radius, soft);
  for (const capsule of head.capsules)
    for (const end of between(capsule.from, capsule.to, capsule.radius, firm)) {
      const ball = new THREE.Mesh(new THREE.SphereGeometry(capsule.radius, 20, 12), firm);
      ball.position.copy(end);
      model.add(ball);
    }
  between(head.electrode_from, head.electrode_to, 0.8, material('tip', (color) => new THREE.MeshBasicMaterial({ color })));
  world.add(model);

  /* The eye goes round the middle of everything that is there, at first so far away that all of it is
   * just in sight, on a narrow screen too. */
  const corners = metal.volumes.flatMap((volume) =>
    volume.contour.outline(20).flatMap((p) => [volume.low, volume.high].map((z) => new THREE.Vector3(p.x, p.y, z)))
  );
  const bounds = new THREE.Box3().setFromPoints(corners);
  const middle = bounds.getCenter(new THREE.Vector3());
  const size = bounds.getSize(new THREE.Vector3()).length();
  const eye = { around: -0.9, up: 0.6, times: 1 };
  const wayOf = (around, up) =>
    new THREE.Vector3(Math.cos(up) * Math.cos(around), Math.cos(up) * Math.sin(around), Math.sin(up));
  const farOf = (aspect) => {
    const back = wayOf(-0.9, 0.6);
    const right = new THREE.Vector3(0, 0, 1).cross(back).normalize();
    const up = back.clone().cross(right);
    const half = Math.tan((camera.fov * Math.PI) / 360) * 0.94;
    return Math.max(...corners.map((corner) => {
      const at = corner.clone().sub(middle);
      return at.dot(back) + Math.max(Math.abs(at.dot(up)), Math.abs(at.dot(right)) / aspect) / half;
    }));
  };
  const draw = () => {
    const width = holder.clientWidth || 400;
    const height = holder.clientHeight || 360;
    renderer.setPixelRatio(devicePixelRatio || 1);
    renderer.setSize(width, height, false);
    const far = eye.times * farOf(width / height);
    camera.aspect = width / height;
    camera.near = far / 500;
    camera.far = far + 50 * size;
    camera.updateProjectionMatrix();
    camera.position.copy(middle).addScaledVector(wayOf(eye.around, eye.up), far);
    camera.lookAt(middle);
    lamp.position.copy(camera.position);
    renderer.render(world, camera);
  };
  let asked = false;
  const drawSoon = () => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      draw();
    });
  };
  const turn = (around, up) => {
    eye.around += around;
    eye.up = Math.min(Math.max(eye.up + up, -1.5), 1.5);
    drawSoon();
  };
  const near = (factor) => {
    eye.times *= factor;
    drawSoon();
  };
  holder.addEventListener('pointerdown', (event) => holder.setPointerCapture(event.pointerId));
  holder.addEventListener('pointermove', (event) => {
    if (event.buttons & 1) turn(-event.movementX / 150, event.movementY / 150);
  });
  /* A page that is scrolled past the picture goes on scrolling: the wheel is the picture's once it has
   * been clicked, or with the control key, which is also what two fingers on a pad give. */
  holder.addEventListener('wheel', (event) => {
    if (document.activeElement !== holder && !event.ctrlKey) return;
    event.preventDefault();
    near(event.deltaY > 0 ? 1.1 : 1 / 1.1);
  }, { passive: false });
  holder.addEventListener('keydown', (event) => {
    const acts = {
      ArrowLeft: () => turn(0.1, 0), ArrowRight: () => turn(-0.1, 0),
      ArrowUp: () => turn(0, 0.1), ArrowDown: () => turn(0, -0.1),
      '+': () => near(1 / 1.15), '-': () => near(1.15),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    event.stopPropagation();
    acts[event.key]();
  });
  addEventListener('resize', drawSoon);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => {
    for (const [name, one] of materials) one.color.copy(colours()[name]);
    drawSoon();
  });

  const show = (pose) => {
    model.position.set(pose.x, pose.y, pose.z);
    model.rotation.z = pose.head;
    drawSoon();
  };
  return { show, model };
};
