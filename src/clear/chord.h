/* chord.h - what the controller's straight runs from row to row may take off a distance. */
#ifndef CLEAR_CHORD_H
#define CLEAR_CHORD_H

#include "borelay/path.h"

struct chord_reach {
  const struct piece *pieces; /* count consecutive ones */
  size_t count, at;
  double ta, tb; /* a stretch of pieces[at] */
};

/* Upper bounds by time, and by place where they hold, for any lever. */
struct chord {
  double level, turning; /* mm, and mm per mm of lever */
  bool one_curve;
  double place_level, place_turning;
};
struct chord chord_find(const struct chord_reach *reach, double tick);

/* Upper bound (mm) on how far a point carried at most `lever` from the head axis may lie, on any
 * chord of a tick's length that begins or ends within the stretch, from some place that the motion
 * itself brings it to within the same tick. */
double chord_cost(const struct chord *chord, double lever);

#endif
