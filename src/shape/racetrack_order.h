/* racetrack_order.h - in which other order the five touches of a racetrack would fit. */
#ifndef SHAPE_RACETRACK_ORDER_H
#define SHAPE_RACETRACK_ORDER_H

#include "borelay/job.h"

struct touch_order {
  int touch[5]; /* which touch, 0 .. 4, stands first, second, .. */
};

/* An order in which the tips fit, with a sound centre, and give the shape's sizes where it has
 * them: of the four that name one racetrack, the one that leaves the most touches in their places.
 * There is hardly ever a second (docs/fits.md).  false: there is none, or they stand in it. */
bool touch_order_find(const struct shape *shape, const vec2 tips[5], struct touch_order *order);
int touch_order_kept(const struct touch_order *order); /* how many are in their places */

#endif
