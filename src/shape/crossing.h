/* crossing.h - where a straight crosses a segment of a contour. */
#ifndef SHAPE_CROSSING_H
#define SHAPE_CROSSING_H

#include "borelay/contour.h"

/* A crossing this little (mm) outside a segment counts as on its end: a straight that meets a
 * joint must meet one of the two segments. */
#define JOINT_SLACK 1e-9

struct seg_crossing {
  double u;     /* after the segment's start, in [0, length], mm */
  double range; /* along the straight, counted from `from`, any sign, mm */
};

/* Crossings of the endless straight through `from` along the unit vector `direction` with a
 * segment; 0 to 2 of them, in no order.  A line that lies along the straight, or beside it, has
 * none; an arc that is touched has two in one place, or none as rounding has it. */
size_t seg_crossings(const struct contour_seg *seg, vec2 from, vec2 direction,
                     struct seg_crossing out[2]);

/* Distance along an arc to the foot of a direction from its centre; in [-JOINT_SLACK, whole
 * circle): more than the arc's length where the direction misses it. */
double arc_position(const struct contour_seg *arc, vec2 arm);

#endif
