/* lift.h - how far the moves at an edge of a band must be lifted to keep a clearance. */
#ifndef CHECK_LIFT_H
#define CHECK_LIFT_H

#include "check/collide.h"

#define LIFT_STEP_MM 0.005 /* how closely the lift is found */

/* An edge of one layer's band, and which way it is moved. */
struct edge {
  size_t overlay, layer;
  int up;       /* +1: the deeper edge is lifted; -1: the shallower one is lowered */
  double depth; /* of the lap at that edge */
};

/* The last weld before a phase: what the head leaves.  NULL: there is none. */
const struct phase *weld_before(const struct motion *motion, const struct phase *phase);
/* Does the head move in this overlay, or away from it? */
bool is_at_overlay(const struct motion *motion, const struct phase *phase, size_t overlay);

/* The edge of the layer at whose depths the miss lies; false: it lies at none. */
bool edge_find(const struct scene *scene, const struct near_miss *miss, int up, struct edge *edge);
/* The least lift (mm, <= most, > 0) with which the moves at that edge keep the limit of the part
 * that misses it; 0: none does, or they keep it as they are. */
double lift_least(struct arena *arena, const struct scene *scene, const struct near_miss *miss,
                  const struct edge *edge, double most);

#endif
