/* interval.c - ranges of products, of sine and cosine, of cubics.
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

struct range interval_mul(struct range a, struct range b) {
  double p = a.lo * b.lo, q = a.lo * b.hi, r = a.hi * b.lo, s = a.hi * b.hi;
  return (struct range){least(least(p, q), least(r, s)), largest(largest(p, q), largest(r, s))};
}

struct range interval_square(struct range a) {
  double p = a.lo * a.lo, q = a.hi * a.hi;
  if (a.lo <= 0 && a.hi >= 0)
    return (struct range){0, largest(p, q)};
  return (struct range){least(p, q), largest(p, q)};
}

struct range interval_cube(struct range a) {
  return (struct range){a.lo * a.lo * a.lo, a.hi * a.hi * a.hi};
}

struct range interval_common(struct range a, struct range b) {
  struct range common = {largest(a.lo, b.lo), least(a.hi, b.hi)};
  return common.lo <= common.hi ? common : a;
}

double interval_magnitude(struct range a) {
  return largest(fabs(a.lo), fabs(a.hi));
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

struct range interval_cos(struct range a) {
  return wave_range(a, num_sincos(a.lo).cos, num_sincos(a.hi).cos, 0);
}

struct range interval_sin(struct range a) {
  return wave_range(a, num_sincos(a.lo).sin, num_sincos(a.hi).sin, NUM_PI / 2);
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
