/* interval.c - ranges of sine and cosine, of cubics.
 *
 * Cosine over an interval takes its extremes at the ends and at whole multiples of pi inside, where
 * it is +1 or -1; sine is cosine a quarter turn on. */
#include "path/interval.h"

#include <math.h>

static double least(double a, double b) {
  return a < b ? a : b;
}
static double largest(double a, double b) {
  return a > b ? a : b;
}

/* end_lo, end_hi: the function's values at both ends; origin: an angle at which it is +1. */
static struct range wave_range(struct range a, double end_lo, double end_hi, double origin) {
  struct range r = {least(end_lo, end_hi), largest(end_lo, end_hi)};
  double first = ceil((a.lo - origin) / NUM_PI), last = floor((a.hi - origin) / NUM_PI);
  if (first > last)
    return r;
  bool first_even = floor(first / 2) * 2 == first; /* an even multiple of pi: the crest */
  if (first_even || last > first)
    r.hi = 1;
  if (!first_even || last > first)
    r.lo = -1;
  return r;
}

struct wave_ranges interval_waves_known(struct range a, struct sincos lo, struct sincos hi) {
  return (struct wave_ranges){wave_range(a, lo.cos, hi.cos, 0),
                              wave_range(a, lo.sin, hi.sin, NUM_PI / 2)};
}

struct wave_ranges interval_waves(struct range a) {
  return interval_waves_known(a, num_sincos(a.lo), num_sincos(a.hi));
}

struct range interval_cubic(struct cubic p, struct range x, int k) {
  struct cubic d = p;
  if (k == 1)
    d = (struct cubic){p.c1, 2 * p.c2, 3 * p.c3, 0};
  if (k == 2)
    d = (struct cubic){2 * p.c2, 6 * p.c3, 0, 0};
  if (k == 3)
    d = (struct cubic){6 * p.c3, 0, 0, 0};
  struct range r;
  cubic_range(d, x.lo, x.hi, &r.lo, &r.hi);
  return r;
}
