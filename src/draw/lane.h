/* lane.h - legs of the plan laid along the wall by the length of the pool's path. */
#ifndef DRAW_LANE_H
#define DRAW_LANE_H

#include "borelay/plan.h"
#include "draw/pen.h"

struct lane {
  const struct contour *contour;
  const struct plan_layer *layer;
  double s_start;
  const struct plan_leg *legs;
  size_t leg_count;
  double *begin; /* leg_count + 1 lengths of the pool's path at which legs begin; mm */
  double *sigma; /* the same in contour length from s_start */
};
struct lane lane_make(struct arena *arena, const struct contour *contour,
                      const struct plan_layer *layer, double s_start, const struct plan_leg *legs,
                      size_t leg_count);

/* A stretch on one leg; s not wrapped, in the direction of travel. */
struct lane_part {
  size_t leg;
  int64_t lap;
  double s_from, s_to, depth_from, depth_to;
};
/* The parts between two lengths, from <= to; behind the last leg it goes on level.  *out is in the
 * arena. */
size_t lane_parts(struct arena *arena, const struct lane *lane, double from, double to,
                  struct lane_part **out);
/* Length at which the lap passes s (any whole number of turns off); < 0: it does not. */
double lane_find(const struct lane *lane, int64_t lap, double s);

/* Path data of a part, broken where the contour begins anew; *at is where the pen stands (NULL
 * members: nowhere yet). */
struct lane_pen {
  bool down;
  double s, depth;
};
void lane_put(struct drawing *drawing, const struct contour *contour, double offset,
              const struct lane_part *part, struct lane_pen *at);

#endif
