/* square.c - where the slope has one sign the ends decide; otherwise S stays within the mean
 * value's reach about the middle. */
#include "check/square.h"

#include <math.h>

static struct range product(struct range a, struct range b) {
  double p = a.lo * b.lo, q = a.lo * b.hi, r = a.hi * b.lo, s = a.hi * b.hi;
  return (struct range){fmin(fmin(p, q), fmin(r, s)), fmax(fmax(p, q), fmax(r, s))};
}

struct range square_range(const struct range away[3], const struct range speed[3],
                          const double known[3], double duration) {
  struct range slope = {0, 0};
  for (int i = 0; i < 3; i++) {
    struct range part = product(away[i], speed[i]);
    slope.lo += 2 * part.lo;
    slope.hi += 2 * part.hi;
  }
  if (slope.lo < 0 && slope.hi > 0) {
    double reach = fmax(-slope.lo, slope.hi) * duration / 2;
    return (struct range){fmax(known[1] - reach, 0), known[1] + reach};
  }
  return (struct range){fmin(known[0], known[2]), fmax(known[0], known[2])};
}
