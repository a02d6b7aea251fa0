/* Sine and cosine: the angle is brought to |r| <= pi/4 by taking off quarter turns, then
 * both are summed as Taylor polynomials.
 *
 * Reduction: W. J. Cody, W. Waite, "Software Manual for the Elementary Functions" (1980),
 * ch. 8: pi/2 is split into parts short enough that k times a part is exact.  k < 2^30
 * here; QUARTER_1..3 hold at most 23 bits each, so k * QUARTER_i is exact (53 bits), and
 *   r1 = a - k Q1: both are multiples of min(ulp(a), 2^-22), and |r1| <= |a|: exact;
 *   r2 = r1 - k Q2: multiples of min(ulp(a), 2^-44), |r2| < 0.79: exact;
 *   r2 - k Q3: two-sum, its rounding error kept;
 *   k Q4: |.| < 2^-41, rounded once: error < 2^-94.
 * No double of that size lies nearer than about 2^-62 to a multiple of pi/2 but 0 itself
 * (tests/num/test_trig.c looks for the nearest), so r = head + tail is good to 2^-30 ulp.
 *
 * Truncation on |r| <= pi/4 (alternating series, next term): sine r^19/19! < 9e-20,
 * cosine r^20/20! < 4e-21: below 1e-3 ulp.  Rounding: docs/numbers.md. */
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "borelay/lanes.h"
#include "borelay/num.h"

#define QUARTERS_PER_RAD 0x1.45f306dc9c883p-1 /* 2/pi */
#define QUARTER_1        0x1.921fb4p+0
#define QUARTER_2        0x1.4442dp-24
#define QUARTER_3        0x1.846988p-48
#define QUARTER_4        0x1.8cc51701b839ap-72

#define LARGEST 1e9

/* (sin r - r) / r^3 and (cos r - 1 + r^2/2) / r^4 in z = r^2. */
static inline double sine_rest(double z) {
  const double s3 = -1.0 / 6, s5 = 1.0 / 120, s7 = -1.0 / 5040, s9 = 1.0 / 362880,
               s11 = -1.0 / 39916800, s13 = 1.0 / 6227020800, s15 = -1.0 / 1307674368000,
               s17 = 1.0 / 355687428096000;
  return s3 + z * (s5 + z * (s7 + z * (s9 + z * (s11 + z * (s13 + z * (s15 + z * s17))))));
}

static inline double cosine_rest(double z) {
  const double c4 = 1.0 / 24, c6 = -1.0 / 720, c8 = 1.0 / 40320, c10 = -1.0 / 3628800,
               c12 = 1.0 / 479001600, c14 = -1.0 / 87178291200, c16 = 1.0 / 20922789888000,
               c18 = -1.0 / 6402373705728000;
  return c4 + z * (c6 + z * (c8 + z * (c10 + z * (c12 + z * (c14 + z * (c16 + z * c18))))));
}

/* |a| less a whole number of quarter turns: head + tail. */
struct reduced {
  double head, tail;
  int32_t quarters;
};

/* For |a| <= LARGEST.  Both steps have no branches, so that a loop of them can be done several at a
 * time. */
static inline struct reduced reduce(double a) {
  double size = fabs(a);
  int32_t quarters = (int32_t)(size * QUARTERS_PER_RAD + 0.5); /* rounds down: size >= 0 */
  double k = (double)quarters;
  double r2 = (size - k * QUARTER_1) - k * QUARTER_2;
  double q3 = k * QUARTER_3;
  double sum = r2 - q3;
  double back = sum - r2;
  double lost = (r2 - (sum - back)) - (q3 + back);
  double tail = lost - k * QUARTER_4;
  double head = sum + tail;
  return (struct reduced){head, (sum - head) + tail, quarters};
}

static inline struct sincos of_reduced(double a, struct reduced r) {
  double head = r.head, tail = r.tail;
  double z = head * head;
  double half = 0.5 * z;
  double s = head + (z * head * sine_rest(z) + tail * (1.0 - half));
  double near_one = 1.0 - half;
  double c = near_one + (((1.0 - near_one) - half) + (z * z * cosine_rest(z) - head * tail));

  double sine = r.quarters & 1 ? c : s;
  double cosine = r.quarters & 1 ? s : c;
  double sine_sign = r.quarters & 2 ? -1.0 : 1.0;
  double cosine_sign = (r.quarters + 1) & 2 ? -1.0 : 1.0;
  return (struct sincos){(a < 0 ? -sine_sign : sine_sign) * sine, cosine_sign * cosine};
}

struct sincos num_sincos(double a) {
  if (!(fabs(a) <= LARGEST))
    return (struct sincos){(double)NAN, (double)NAN};
  return of_reduced(a, reduce(a));
}

/* Step by step: one long chain of operations for each would keep the processor waiting. */
LANES_VOID(all_of,
           (const double *restrict a, double *restrict sine, double *restrict cosine, size_t count),
           (a, sine, cosine, count)) {
  enum { STEP = 128 };
  double head[STEP], tail[STEP];
  int32_t quarters[STEP];
  for (size_t from = 0; from < count; from += STEP) {
    size_t step = count - from < STEP ? count - from : STEP;
    for (size_t i = 0; i < step; i++) {
      struct reduced r = reduce(a[from + i]);
      head[i] = r.head;
      tail[i] = r.tail;
      quarters[i] = r.quarters;
    }
    for (size_t i = 0; i < step; i++) {
      struct reduced r = {head[i], tail[i], quarters[i]};
      struct sincos of = of_reduced(a[from + i], r);
      sine[from + i] = of.sin;
      cosine[from + i] = of.cos;
    }
  }
}

/* Bits of doubles above 0 are in order as the numbers are; those of a NaN are above all. */
LANES(bool, all_near, (const double *a, size_t count), (a, count)) {
  const double most = LARGEST;
  int64_t most_bits, rest = 0;
  memcpy(&most_bits, &most, sizeof most_bits);
  for (size_t i = 0; i < count; i++) {
    double size = fabs(a[i]);
    int64_t bits;
    memcpy(&bits, &size, sizeof bits);
    rest |= most_bits - bits;
  }
  return rest >= 0;
}

void num_sincos_all(const double *restrict a, double *restrict sine, double *restrict cosine,
                    size_t count) {
  if (all_near(a, count)) {
    all_of(a, sine, cosine, count);
    return;
  }
  for (size_t i = 0; i < count; i++) {
    struct sincos of = num_sincos(a[i]);
    sine[i] = of.sin;
    cosine[i] = of.cos;
  }
}
