/* interval.h - arithmetic of ranges.  Ends are rounded to nearest: the doubles' rounding is not
 * enclosed (path.h). */
#ifndef PATH_INTERVAL_H
#define PATH_INTERVAL_H

#include "borelay/job.h"
#include "borelay/num.h"

static inline struct range interval_add(struct range a, struct range b) {
  return (struct range){a.lo + b.lo, a.hi + b.hi};
}
static inline struct range interval_sub(struct range a, struct range b) {
  return (struct range){a.lo - b.hi, a.hi - b.lo};
}
static inline struct range interval_scale(struct range a, double k) {
  return k >= 0 ? (struct range){a.lo * k, a.hi * k} : (struct range){a.hi * k, a.lo * k};
}
struct range interval_mul(struct range a, struct range b);
struct range interval_square(struct range a);
struct range interval_cube(struct range a);
/* The part common to both; a where rounding leaves none. */
struct range interval_common(struct range a, struct range b);
double interval_magnitude(struct range a); /* largest |value| */

/* Exact ranges of cosine and sine over angles a (rad), extremes inside included. */
struct range interval_cos(struct range a);
struct range interval_sin(struct range a);

/* Range of a cubic's k-th derivative (k = 0 .. 3) over x; exact. */
struct range interval_cubic(struct cubic p, struct range x, int k);

#endif
