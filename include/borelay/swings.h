/* swings.h - many half sways in a row, all alike, seen as one stretch of motion.
 *
 * Where the tip sways about the centre line of a lap and all but the sway is even, a half sway is
 * the one two before it, carried on.  So the ranges of one period, and of the centre line over the
 * whole stretch, hold for all of them: no piece need be looked at.
 *
 * Half sways 0, 2, .. begin at the shallower end with a crossing to the deeper one and stay there,
 * 1, 3, .. lead back. */
#ifndef BORELAY_SWINGS_H
#define BORELAY_SWINGS_H

#include <stdint.h>

#include "borelay/path.h"

/* -- one crossing -----------------------------------------------------------------------------
 * Over the way L of q the tip goes D E(x / L): E is 16/3 y^3 up to a quarter, 1/2 + 2 (y - 1/2) -
 * 16/3 (y - 1/2)^3 up to three quarters, then like the first quarter backward.  16/3: two quarters
 * of y^3 and the straight between them make 1. */
enum crossing_part { CROSSING_FIRST, CROSSING_MIDDLE, CROSSING_LAST };
/* D E of a part, as a cubic in the q that lies behind where the crossing begins, has its middle, or
 * ends. */
static inline struct cubic crossing_cubic(enum crossing_part part, double d, double length) {
  double k = d * (16.0 / 3) / (length * length * length);
  if (part == CROSSING_FIRST)
    return (struct cubic){0, 0, 0, k};
  if (part == CROSSING_LAST)
    return (struct cubic){d, 0, 0, k};
  return (struct cubic){d / 2, 2 * d / length, 0, -k};
}
/* Largest magnitude of E's k-th derivative, k = 1 .. 3; of E itself, on either side of the middle.
 */
static const double CROSSING_MOST[4] = {0.5, 2, 8, 32};

/* -- many of them ----------------------------------------------------------------------------- */

struct swings {
  struct piece centre; /* of the centre line, over all of them: q, turn, head and z are linear, and
                          the head stands or turns as the guide does; begins at q.c0 of its curve */
  int64_t first;       /* half sways before these, of the run; even */
  int64_t count;       /* half sways; even, > 0 */
  double half, cross;  /* q of a half sway, of its crossing; cross <= half */
  double amplitude;    /* mm to either side */
};

/* Whether turn, head and z are such that a piece of that curve can be a centre. */
bool curve_is_even(const struct curve *curve);

/* Half sways from .. from + count - 1 of them, both even. */
struct swings swings_part(const struct swings *all, int64_t from, int64_t count);
/* Pieces of half sway i, in order: three of the crossing, one of the stay where there is one.  It
 * may lie one before or behind them.  Returns how many. */
enum { HALF_PIECES = 4 };
size_t swings_pieces(const struct swings *swings, int64_t i, struct piece pieces[HALF_PIECES]);
/* Of half sways i and i + 1. */
enum { SWAY_PIECES = 2 * HALF_PIECES };
size_t swings_sway(const struct swings *swings, int64_t i, struct piece pieces[SWAY_PIECES]);
/* The earlier (0) or the later (1) half of them, in whole sways; count > 2. */
struct swings swings_halved(const struct swings *swings, int half);

/* As piece_jet_stretch() over all of them: ranges that hold those of every piece, sharp but for
 * what the centre line's z changes meanwhile. */
void swings_stretch(const struct swings *swings, struct jet_stretch *stretch);
/* As piece_motion_bound(): no more than the largest of any piece. */
struct motion_bound swings_bound(const struct swings *swings);
/* Largest slope of the sway, mm per mm of q. */
double swings_slope(const struct swings *swings);

#endif
