/* plan.js - the head on the plan view: x and -y of the cell frame. */
page.planMake = (root) => {
  const shape = root.querySelector('g.head');
  const show = (pose) => {
    shape.setAttribute(
      'transform',
      `translate(${pose.x.toFixed(6)} ${(-pose.y).toFixed(6)}) rotate(${(-page.degrees(pose.head)).toFixed(6)})`
    );
  };
  return { show };
};
