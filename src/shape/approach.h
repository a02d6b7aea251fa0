/* approach.h - how near two lines or arcs come to one another. */
#ifndef SHAPE_APPROACH_H
#define SHAPE_APPROACH_H

#include "borelay/contour.h"

struct approach {
  double distance; /* 0 where they cross or touch */
  double u_a, u_b; /* where, mm after the start of each */
};

/* Least distance of two segments of any length; closed form, exact but for rounding. */
struct approach seg_approach(const struct contour_seg *a, const struct contour_seg *b);

#endif
