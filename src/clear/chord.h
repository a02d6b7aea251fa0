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

/* Bounds on whole pieces, kept while those beside them are asked for; all zero to begin with, and
 * for one array of pieces. */
enum { ROUGH_MOST = 64 };
struct rough {
  const struct piece *piece[ROUGH_MOST];
  struct motion_bound bound[ROUGH_MOST];
};
struct motion_bound rough_bound(struct rough *rough, const struct piece *pieces, size_t at);
/* The same as chord_find() from bounds on whole pieces: more, and sooner found. */
struct chord chord_rough(const struct chord_reach *reach, double tick, struct rough *rough);

/* Upper bound (mm) on how far a point carried at most `lever` from the head axis may lie, on any
 * chord of a tick's length that begins or ends within the stretch, from some place that the motion
 * itself brings it to within the same tick. */
double chord_cost(const struct chord *chord, double lever);

#endif
