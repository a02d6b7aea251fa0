/* sway.h - the tip's sway across the lap, over the way of its centre line.
 *
 * Half sway j = first .. last begins at t0 + j half with a crossing, from one end of the sway to
 * the other, and goes on standing at that end until the next one begins; the first crossing comes
 * from the centre line, the last one goes back to it, and behind that there is no sway.  Even
 * crossings lead to the deeper end.  Each goes as borelay/swings.h has it, from rest to rest
 * without a step in acceleration: with D over a time C its speed is at most 2 D/C, its acceleration
 * 8 D/C^2, its jerk 32 D/C^3, and no way of that kind has less jerk (docs/motion.md).
 *
 * Times are those of the run that the sway was laid out for; they become places of the track
 * through that run's own profile.  So the sway is a function of place: slower or faster, taken up
 * again or whole, the tip goes the same path. */
#ifndef BORELAY_MOTION_SWAY_H
#define BORELAY_MOTION_SWAY_H

#include <math.h>
#include <stdint.h>

#include "borelay/job.h"
#include "borelay/swings.h"
#include "motion/profile.h"

struct sway {
  const struct profile *along; /* of the run it was laid out for */
  double q_shift;              /* q of that run where the track begins */
  double t0, half, cross;      /* s; cross < = half */
  double amplitude;            /* mm to either side */
  int64_t first, last;         /* even; none where last <= first */
};

/* From t0 on as many whole sways as end by t1 (times of `along`).  last = 0: there is no room. */
struct sway sway_make(const struct oscillation *oscillation, const struct profile *along, double t0,
                      double t1);
/* Only what lies within q_a .. q_b, begun and ended on the centre line. */
void sway_limit(struct sway *sway, double q_a, double q_b);

bool sway_exists(const struct sway *sway);
/* q of the track at which half sway j begins, and at which its crossing ends. */
struct range sway_crossing(const struct sway *sway, int64_t j);
/* The half sway that holds q, at its lower end; first - 1 before the sway, last + 1 behind it. */
int64_t sway_find(const struct sway *sway, double q);
/* The half sway that holds a place q, for those who go along the track. */
struct sway_place {
  int64_t j;
  struct range over; /* its crossing; nothing before the sway and behind it */
  struct range next; /* that of the next one, where there is one */
  double from, to;   /* it holds from <= q < to */
};
/* None yet: it holds no place. */
static inline struct sway_place sway_place_none(void) {
  return (struct sway_place){.from = (double)INFINITY, .to = (double)INFINITY};
}
struct sway_place sway_place_at(const struct sway *sway, double q);
/* On to a later q; at once where it lies in the same half sway or in the next. */
void sway_place_follow(const struct sway *sway, struct sway_place *place, double q);
/* How much deeper than its centre line the tip is, as a cubic in q - q_a, over the part of the half
 * sway that holds `inside`; parts end at quarters of crossings (sway_cuts). */
struct cubic sway_cubic(const struct sway *sway, const struct sway_place *place, double q_a,
                        double inside);
/* The four places at which the parts of half sway j begin. */
void sway_cuts(const struct sway *sway, int64_t j, double cuts[4]);

/* s that the procedure leaves for one. */
double oscillation_crossing(const struct oscillation *oscillation);
/* Shortest time, s, for a crossing of `width` mm, that axis z has limits for: `part` of its
 * acceleration and jerk, and the speed that `sinking` mm/s leave of it; and four rows long, so that
 * rows show it.  INFINITY where sinking leaves no speed. */
double sway_least_crossing(const struct cell *cell, double width, double sinking, double part);

#endif
