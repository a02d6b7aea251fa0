/* chord.h - what the controller's straight runs from row to row may take off a distance. */
#ifndef CLEAR_CHORD_H
#define CLEAR_CHORD_H

#include "clear/passage.h"

/* Upper bounds by time, and by place where they hold, for any lever. */
struct chord {
  double level, turning; /* mm, and mm per mm of lever */
  bool one_curve;
  double place_level, place_turning;
};
/* For the stretch ta .. tb of a passage, what lies within a tick of it included. */
struct chord chord_find(const struct passage *passage, double ta, double tb, double tick);

/* Upper bounds on a whole piece, mm/s2 of H and rad/s2 of the head, kept while those beside it are
 * asked for; for one array of pieces. */
struct chord_rates {
  double level, turning;
};
enum { ROUGH_MOST = 64 };
struct chord_rough {
  const struct piece *piece[ROUGH_MOST];
  struct chord_rates rates[ROUGH_MOST];
};
void chord_rough_begin(struct chord_rough *rough);
/* The same as chord_find() for all of a passage: more, and sooner found. */
struct chord chord_find_rough(const struct passage *passage, double tick,
                              struct chord_rough *rough);
/* By time alone, of several passages in a row: pieces first .. last-1, on whatever curves. */
struct chord chord_find_over(const struct passage *row, double tick, struct chord_rough *rough);

/* Whether it costs nothing, all that lies within a tick included: one straight. */
bool chord_is_straight(const struct passage *passage, double tick);

/* Upper bound (mm) on how far a point carried at most `lever` from the head axis may lie, on any
 * chord of a tick's length that begins or ends within the stretch, from some place that the motion
 * itself brings it to within the same tick. */
double chord_cost(const struct chord *chord, double lever);

#endif
