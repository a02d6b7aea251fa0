/* ways.h - between an overlay's entry and a place backed off from its wall, at one depth. */
#ifndef BORELAY_MOTION_WAYS_H
#define BORELAY_MOTION_WAYS_H

#include "motion/attempt.h"

struct journey {
  const struct plan_overlay *overlay;
  double room;             /* mm that the tip keeps from the bare wall at the entry */
  double offset;           /* mm from the shape to the backed-off tip */
  double s;                /* contour place that the backed-off torch faces */
  struct pose entry, wall; /* of H; one height */
};

/* Adds the best way (docs/motion.md, "Ways") from where builder->pose is, the one end, to the
 * other. */
struct attempt_result ways_in(struct builder *builder, const struct journey *journey);
struct attempt_result ways_out(struct builder *builder, const struct journey *journey);

#endif
