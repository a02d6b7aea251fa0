/* sway.h - where across the lap a swaying tip has to be, as a function of the pool's path.
 *
 * Of a weld everything is worked out from the procedure and the run's times: whole sways from the
 * end of the run-up on, the last one over before the run-down.  What is rehearsed or taken up again
 * sways where the weld does, which only the motion knows: there its places are taken, not the form.
 */
#ifndef CHECK_SWAY_H
#define CHECK_SWAY_H

#include "borelay/motion.h"

struct sway_asked {
  const struct motion *motion;
  const struct phase *phase; /* WELD or DOWNSLOPE */
  struct run_info info;
  double width, half, cross; /* mm; s: half a sway, one crossing */
  int64_t first, last;       /* half sways; last <= first: none */
  int64_t near;              /* the one found last, or any */
  struct sway_known {        /* crossings of two half sways, one even, one odd */
    bool is_known;
    int64_t j;
    struct range over;
  } known[2];
};

struct sway_asked sway_asked_make(const struct motion *motion, const struct phase *phase);

/* A stretch of the pool's path, mm from the run's start, on which the sway is one cubic. */
struct sway_stretch {
  double to;           /* where it ends, > the place asked for; INFINITY: never */
  struct cubic deeper; /* than the lap's centre line, in q - the place asked for */
};
struct sway_stretch sway_asked_at(struct sway_asked *asked, double q);

/* How far the sway of these half sways is from what is asked for, mm, at most; ahead: of the pool's
 * path, to q of their curve.  INFINITY where they are not all among those asked for. */
double sway_asked_off(struct sway_asked *asked, const struct swings *swings, double ahead);

#endif
