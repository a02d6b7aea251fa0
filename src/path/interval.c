/* interval.c - ranges of sine and cosine, of cubics.
 *
 * Both take their extremes at the ends and at whole quarter turns inside, where by turns the one or
 * the other is +1 or -1. */
#include "path/interval.h"

#include <math.h>
#include <stdint.h>

static struct range between(double a, double b) {
  return a < b ? (struct range){a, b} : (struct range){b, a};
}

static const double COUNTED = 0x1p50; /* quarter turns that a double tells apart, and more */

struct wave_ranges interval_waves_known(struct range a, struct sincos lo, struct sincos hi) {
  struct wave_ranges r = {between(lo.cos, hi.cos), between(lo.sin, hi.sin)};
  double first = ceil(a.lo / (NUM_PI / 2)), last = floor(a.hi / (NUM_PI / 2));
  const struct wave_ranges any = {{-1, 1}, {-1, 1}};
  if (last - first >= 3)
    return any;
  if (!(fabs(first) < COUNTED))
    return isfinite(first) ? any : r;
  for (double quarter = first; quarter <= last; quarter++)
    switch ((int64_t)quarter & 3) {
    case 0:
      r.cos.hi = 1;
      break;
    case 1:
      r.sin.hi = 1;
      break;
    case 2:
      r.cos.lo = -1;
      break;
    case 3:
      r.sin.lo = -1;
      break;
    }
  return r;
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
