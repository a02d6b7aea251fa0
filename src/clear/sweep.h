/* sweep.h - a stretch of motion settled at one go. */
#ifndef CLEAR_SWEEP_H
#define CLEAR_SWEEP_H

#include "clear/part.h"

/* What one curve passes through, or several that share a guide, each with what it leaves open. */
struct swath {
  const struct curve *guide;
  struct range turn;  /* rad about the guide's centre, or mm along its line */
  struct range inner; /* of the head's angle, on an arc less turn; whole turns do not count */
  struct range z;
};
struct swath swath_of(const struct curve *curve, double qa, double qb);
/* Whether both are about the same centre at the same radius, or along the same line. */
bool swath_joins(const struct swath *a, const struct swath *b);
void swath_add(struct swath *swath, const struct swath *other);

/* True only if the part's axis (a body: the body), at every shift, stays at least `distance` (> 0)
 * off metal all through a swath whose angles tell directions; quickly told, from one upright solid
 * that holds all it sweeps. */
bool swath_stays_off(const struct swath *swath, const struct part *part, const struct metal *metal,
                     double distance);

/* A swath and what serves all parts. */
struct sweep {
  struct swath swath;
  struct sincos inner, from, to; /* at the middle of inner, at both ends of turn */
};
struct sweep sweep_of(const struct swath *swath);

/* The same, more closely; false also where that takes a look. */
bool sweep_stays_off(const struct sweep *sweep, const struct part *part, const struct metal *metal,
                     double distance);

#endif
