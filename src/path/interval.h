/* interval.h - arithmetic of ranges.  Ends are rounded to nearest: the doubles' rounding is not
 * enclosed (path.h). */
#ifndef PATH_INTERVAL_H
#define PATH_INTERVAL_H

#include <math.h>

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
static inline struct range interval_mul(struct range a, struct range b) {
  double p = a.lo * b.lo, q = a.lo * b.hi, r = a.hi * b.lo, s = a.hi * b.hi;
  double least_a = p < q ? p : q, least_b = r < s ? r : s;
  double most_a = p > q ? p : q, most_b = r > s ? r : s;
  return (struct range){least_a < least_b ? least_a : least_b, most_a > most_b ? most_a : most_b};
}
static inline struct range interval_square(struct range a) {
  double p = a.lo * a.lo, q = a.hi * a.hi, most = p > q ? p : q;
  return (struct range){a.lo <= 0 && a.hi >= 0 ? 0 : p < q ? p : q, most};
}
static inline struct range interval_cube(struct range a) {
  return (struct range){a.lo * a.lo * a.lo, a.hi * a.hi * a.hi};
}
/* The part common to both; a where rounding leaves none. */
static inline struct range interval_common(struct range a, struct range b) {
  struct range common = {a.lo > b.lo ? a.lo : b.lo, a.hi < b.hi ? a.hi : b.hi};
  return common.lo <= common.hi ? common : a;
}
/* Largest |value|. */
static inline double interval_magnitude(struct range a) {
  double lo = fabs(a.lo), hi = fabs(a.hi);
  return lo > hi ? lo : hi;
}

/* Exact ranges of cosine and sine over angles a (rad), extremes inside included. */
struct wave_ranges {
  struct range cos, sin;
};
struct wave_ranges interval_waves(struct range a);
/* The same where they are known at a.lo and a.hi. */
struct wave_ranges interval_waves_known(struct range a, struct sincos lo, struct sincos hi);

/* Range of a cubic's k-th derivative (k = 0 .. 3) over x; exact. */
struct range interval_cubic(struct cubic p, struct range x, int k);

#endif
