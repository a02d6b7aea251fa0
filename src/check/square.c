/* square.c - S from both its ends and the range of its slope.
 *
 * No higher than the lines with the steepest rise from the beginning and the steepest fall to the
 * end, and no lower than those with the steepest fall and the steepest rise (the mean value
 * theorem): with one sign of the slope the ends decide. */
#include "check/square.h"

#include <math.h>

struct jet_stretch swung_carried(const struct swung *swung, double up) {
  struct jet_stretch made = *swung->centre;
  made.from.d[AXIS_Z][0] += up;
  made.to.d[AXIS_Z][0] += up;
  made.all.d[AXIS_Z][0].lo += up;
  made.all.d[AXIS_Z][0].hi += up;
  return made;
}

struct jet_stretch swung_nearest(const struct swung *swung, double z) {
  struct range centre = swung->centre->all.d[AXIS_Z][0];
  if (centre.hi + swung->amplitude <= z)
    return swung_carried(swung, swung->amplitude);
  if (centre.lo - swung->amplitude >= z)
    return swung_carried(swung, -swung->amplitude);
  struct jet_stretch made = *swung->centre;
  for (int k = 0; k < 4; k++) {
    double value = k == 0 ? z : 0;
    made.from.d[AXIS_Z][k] = made.to.d[AXIS_Z][k] = value;
    made.all.d[AXIS_Z][k] = (struct range){value, value};
  }
  return made;
}

static struct range product(struct range a, struct range b) {
  double p = a.lo * b.lo, q = a.lo * b.hi, r = a.hi * b.lo, s = a.hi * b.hi;
  double least_a = p < q ? p : q, least_b = r < s ? r : s;
  double most_a = p > q ? p : q, most_b = r > s ? r : s;
  return (struct range){least_a < least_b ? least_a : least_b, most_a > most_b ? most_a : most_b};
}

struct range square_range(const struct seen_stretch *stretch, const struct range away[3],
                          square_at *square, const void *context) {
  struct range slope = {0, 0};
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    struct range part = product(away[axis], stretch->jets->all.d[axis][1]);
    slope.lo += 2 * part.lo;
    slope.hi += 2 * part.hi;
  }
  double from = square(context, jet_place(&stretch->jets->from));
  double to = square(context, jet_place(&stretch->jets->to));
  double duration = stretch->tb - stretch->ta;
  struct range known = from < to ? (struct range){from, to} : (struct range){to, from};
  if (slope.lo >= 0 || slope.hi <= 0)
    return known;
  double rise = slope.hi, fall = -slope.lo;
  double up = (to - from + fall * duration) / (rise + fall);   /* s until the upper lines meet */
  double down = (from - to + rise * duration) / (rise + fall); /* the lower ones */
  return (struct range){fmax(fmin(from - fall * down, known.lo), 0),
                        fmax(from + rise * up, known.hi)};
}
