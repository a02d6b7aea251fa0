/* nominal.h - contours of the shapes by their sizes, anywhere in the plane. */
#ifndef SHAPE_NOMINAL_H
#define SHAPE_NOMINAL_H

#include "borelay/contour.h"

/* s = 0 at the angle `turned` about the centre. */
struct contour *contour_round(struct arena *arena, vec2 centre, double diameter, double turned);
/* 0 < corner <= half of the smaller of length, width; turned by `turned` about the centre;
 * s = 0 in the middle of the side at negative y before turning. */
struct contour *contour_rectangle(struct arena *arena, vec2 centre, double length, double width,
                                  double corner, double turned);
/* A rectangle whose corner is half its width: 0 < width <= length. */
struct contour *contour_racetrack(struct arena *arena, vec2 centre, double length, double width,
                                  double turned);

#endif
