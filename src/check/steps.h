/* steps.h - what steps of velocity and acceleration where pieces meet cost a controller that is
 * fed a row a tick T.
 *
 * Rows are values p of an axis at whole ticks.  Their differences are means of the motion's
 * derivatives under a spline of T-long boxes (de Boor, A Practical Guide to Splines, 1978, chapter
 * X: divided differences have B-splines as their Peano kernels), plus what steps add:
 *     (p1 - p0) / T                       = mean of v over T      + dp / T
 *     (p2 - 2 p1 + p0) / T^2              = mean of a over 2 T    + dv w / T + dp w' / T^2
 *     (p3 - 3 p2 + 3 p1 - p0) / T^3       = mean of j over 3 T    + da W / T + dv W' / T^2 + dp W''
 * / T^3 where the hat w <= 1, the quadratic spline W <= 3/4, |w'| <= 1, |W'| <= 1, |W''| <= 2.  So,
 * wherever the rows lie, a third difference is at most the largest smooth jerk within its 3 T plus
 * what the steps in them add by these factors; the second and first alike.  The window that begins
 * at its first step holds every step of it, so looking at one window behind each step looks at all.
 * Besides, each step alone counts as semantics.md says: dv as acceleration dv / T and jerk dv /
 * T^2, da as jerk da / T. */
#ifndef CHECK_STEPS_H
#define CHECK_STEPS_H

#include <stdbool.h>

#include "borelay/motion.h"
#include "check/search.h"

struct arena;

struct steps_piece {
  struct piece piece;
  struct jet_range all; /* along it */
};
struct step { /* where two pieces meet; magnitudes of the steps in place, velocity, acceleration */
  double t;
  const struct phase *phase; /* the later one */
  double size[AXIS_COUNT][3];
  bool counts[AXIS_COUNT]; /* large enough to matter */
};

struct steps {
  struct arena *arena;
  const struct cell *cell;
  double quiet[AXIS_COUNT][3]; /* steps in place, velocity, acceleration that cannot matter */
  struct steps_piece *pieces;  /* those that a step may still need */
  size_t piece_count, piece_room;
  struct jet end;    /* of the last of them */
  struct step *open; /* steps whose 3 T are not over yet */
  size_t open_count, open_room;
};

struct steps steps_begin(struct arena *arena, const struct cell *cell);
/* The next piece in time; whole: over all of it.  search->best[4 * axis + k], k = 1 ..
 * 3, the axis's speed, acceleration and jerk, rises to what steps make of it. */
void steps_add(struct steps *steps, struct search *search, const struct phase *phase,
               const struct piece *piece, const struct jet_stretch *whole);
/* All of a stretch at once that is gone along without a step, longer than 3 T; false: a step may
 * reach into it, and its pieces are wanted. */
bool steps_pass(struct steps *steps, const struct jet_stretch *whole);
void steps_end(struct steps *steps, struct search *search);

#endif
