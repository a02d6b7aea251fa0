/* passes.h - what roundings add near a place, and where the rounded tip passes from one line or arc
 * to the next. */
#ifndef BORELAY_MOTION_PASSES_H
#define BORELAY_MOTION_PASSES_H

#include <math.h>

#include "motion/layout.h"

static inline bool bump_alive(double q, double knot, double half) {
  return half > 0 && fabs(q - knot) < half;
}

/* jump * b(q - knot) as a cubic in x = q - origin; `inside` tells on which side of the knot. */
static inline void bump_add(struct cubic *p, double origin, double inside, double knot, double half,
                            double jump) {
  double k = jump / (6 * half * half);
  double side = inside < knot ? 1 : -1;
  double y = half + side * (origin - knot);
  p->c0 += k * y * y * y;
  p->c1 += k * 3 * y * y * side;
  p->c2 += k * 3 * y;
  p->c3 += k * side;
}

/* q at which the tip comes to place p > 0 of the layout; widest: of all roundings' half widths. */
double place_pass(const struct layout *layout, double widest, size_t p);

#endif
