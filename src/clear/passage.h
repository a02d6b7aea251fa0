/* passage.h - pieces one behind the other along one curve, seen by place.
 *
 * Where the head is depends on q alone: how fast q passes matters only to the controller's chords
 * (chord.h).  So the seven pieces of a move are one stretch of its straight. */
#ifndef CLEAR_PASSAGE_H
#define CLEAR_PASSAGE_H

#include "borelay/path.h"

struct passage {
  const struct piece *pieces; /* first .. last-1 of count consecutive ones */
  size_t count, first, last;
  double qa, qb;
};

/* Whether the second piece goes on along the first one's curve. */
bool passage_goes_on(const struct piece *piece, const struct piece *next);
/* As many of the pieces from first on, before `end`, as lie on one curve. */
struct passage passage_find(const struct piece *pieces, size_t count, size_t first, size_t end);

/* The curve as a motion with q for its time. */
struct piece passage_by_place(const struct passage *passage);
/* Where it is at t, and when it is first at q; at the nearer end beyond its own. */
double passage_place(const struct passage *passage, double t);
double passage_time(const struct passage *passage, double q);

/* A line along which everything changes evenly, at the same rate all the way. */
bool curve_is_straight(const struct curve *curve);
/* piece_motion_bound() by place. */
struct motion_bound passage_bound(const struct passage *passage, double qa, double qb);

#endif
