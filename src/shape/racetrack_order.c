/* Exchanging 1 with 2 or 3 with 5 names the same racetrack, so of 120 orders 30 are tried: which
 * touch is the fourth, which two of the others are on the half circles. */
#include "shape/racetrack_order.h"

#include <math.h>

#include "shape/fit_racetrack.h"
#include "shape/taught_kinds.h"

enum { FOURTHS = 5, PAIRS = 6 };

static struct touch_order order_make(int fourth, int pair) {
  static const int ends[PAIRS][2] = {{0, 1}, {0, 2}, {0, 3}, {1, 2}, {1, 3}, {2, 3}};
  int left[4] = {0}, count = 0, straight = 0;
  for (int i = 0; i < 5; i++)
    if (i != fourth)
      left[count++] = i;
  struct touch_order order;
  order.touch[3] = fourth;
  order.touch[2] = left[ends[pair][0]];
  order.touch[4] = left[ends[pair][1]];
  for (int i = 0; i < 4; i++)
    if (i != ends[pair][0] && i != ends[pair][1])
      order.touch[straight++] = left[i];
  return order;
}

static bool order_fits(const struct shape *shape, const vec2 tips[5],
                       const struct touch_order *order) {
  vec2 points[5];
  for (int i = 0; i < 5; i++)
    points[i] = tips[order->touch[i]];
  struct racetrack_fit fit;
  if (racetrack_fit(points, shape->fit_tolerance, &fit).fault != RACETRACK_FITS ||
      fit.spread > BOUND_PER_SIGMA)
    return false;
  double width = 2 * fit.radius, length = fit.straight + width;
  return !shape->has_dimensions || (fabs(width - shape->width) <= shape->fit_tolerance &&
                                    fabs(length - shape->length) <= shape->fit_tolerance);
}

int touch_order_kept(const struct touch_order *order) {
  int kept = 0;
  for (int i = 0; i < 5; i++)
    kept += order->touch[i] == i;
  return kept;
}

static struct touch_order exchanged(struct touch_order order, int a, int b) {
  int touch = order.touch[a];
  order.touch[a] = order.touch[b];
  order.touch[b] = touch;
  return order;
}

static struct touch_order nearest_of_four(struct touch_order order) {
  struct touch_order ways = exchanged(order, 0, 1);
  const struct touch_order others[3] = {ways, exchanged(order, 2, 4), exchanged(ways, 2, 4)};
  for (int i = 0; i < 3; i++)
    if (touch_order_kept(&others[i]) > touch_order_kept(&order))
      order = others[i];
  return order;
}

bool touch_order_find(const struct shape *shape, const vec2 tips[5], struct touch_order *order) {
  for (int k = 0; k < FOURTHS * PAIRS; k++) {
    struct touch_order tried = order_make(k / PAIRS, k % PAIRS);
    if (!order_fits(shape, tips, &tried))
      continue;
    *order = nearest_of_four(tried);
    return touch_order_kept(order) < 5;
  }
  return false;
}
