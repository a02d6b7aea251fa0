/* Angle of a vector: folded to the first octant, there the nearest of the tangents
 * c = 0, 1/4, 1/2, 3/4, 1 is taken off, with n / d the tangent, 0 <= n <= d:
 *   atan(n/d) = atan(c) + atan(z),  z = (n - c d) / (d + c n).
 * The numerator is exact (c has at most two bits and n/d lies within a factor of two of
 * it: Sterbenz), so z carries three roundings and is small against the result.
 * atan z, |z| < 0.19, is its Taylor series up to z^25; the next term is < 2e-21 |z|. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "borelay/lanes.h"
#include "borelay/num.h"

/* A value and what its rounding left over. */
struct pair {
  double head, tail;
};

#define ARC_1            0x1.f5b75f92c80ddp-3 /* atan(i/4) */
#define ARC_1_TAIL       0x1.8ab6e3cf7afbdp-57
#define ARC_2            0x1.dac670561bb4fp-2
#define ARC_2_TAIL       0x1.a2b7f222f65e2p-56
#define ARC_3            0x1.4978fa3269ee1p-1
#define ARC_3_TAIL       0x1.2419a87f2a458p-56
#define ARC_4            0x1.921fb54442d18p-1
#define ARC_4_TAIL       0x1.1a62633145c07p-55
#define ARC_QUARTER      0x1.921fb54442d18p+0
#define ARC_QUARTER_TAIL 0x1.1a62633145c07p-54
#define ARC_HALF         0x1.921fb54442d18p+1
#define ARC_HALF_TAIL    0x1.1a62633145c07p-53
static const struct pair arc[5] = {
    {0, 0}, {ARC_1, ARC_1_TAIL}, {ARC_2, ARC_2_TAIL}, {ARC_3, ARC_3_TAIL}, {ARC_4, ARC_4_TAIL}};
static const struct pair quarter_turn = {ARC_QUARTER, ARC_QUARTER_TAIL};
static const struct pair half_turn = {ARC_HALF, ARC_HALF_TAIL};

/* (atan z - z) / z^3 in w = z^2. */
static inline double arc_rest(double w) {
  const double c3 = -1.0 / 3, c5 = 1.0 / 5, c7 = -1.0 / 7, c9 = 1.0 / 9, c11 = -1.0 / 11,
               c13 = 1.0 / 13, c15 = -1.0 / 15, c17 = 1.0 / 17, c19 = -1.0 / 19, c21 = 1.0 / 21,
               c23 = -1.0 / 23, c25 = 1.0 / 25;
  double far = c17 + w * (c19 + w * (c21 + w * (c23 + w * c25)));
  return c3 + w * (c5 + w * (c7 + w * (c9 + w * (c11 + w * (c13 + w * (c15 + w * far))))));
}

/* a + b, |a| >= |b| or a = 0. */
static inline struct pair pair_sum(double a, double b) {
  double head = a + b;
  return (struct pair){head, b - (head - a)};
}

/* Angle in [0, pi/4] whose tangent is n / d, 0 <= n <= d, d > 0. */
static struct pair octant_angle(double n, double d) {
  double t = n / d;
  int i = t < 0.1875 ? 0 : t < 0.375 ? 1 : t < 0.625 ? 2 : t < 0.875 ? 3 : 4;
  static const double half_part[5] = {0, 0, 0.5, 0.5, 1}, rest_part[5] = {0, 0.25, 0, 0.25, 0};
  double z = i == 0 ? t : ((n - half_part[i] * d) - rest_part[i] * d) / (d + 0.25 * i * n);
  double w = z * z;
  double bend = z * w * arc_rest(w);
  if (i == 0)
    return pair_sum(z, bend);
  struct pair sum = pair_sum(arc[i].head, z);
  sum.tail += bend + arc[i].tail;
  return sum;
}

/* a - b for a constant a not below b. */
static inline struct pair pair_below(struct pair a, struct pair b) {
  struct pair sum = pair_sum(a.head, -b.head);
  sum.tail += a.tail - b.tail;
  return sum;
}

double num_atan2(double y, double x) {
  double up = fabs(y), out = fabs(x);
  if (up == 0 && out == 0)
    return 0;
  struct pair angle =
      up <= out ? octant_angle(up, out) : pair_below(quarter_turn, octant_angle(out, up));
  if (x < 0)
    angle = pair_below(half_turn, angle);
  double a = angle.head + angle.tail;
  return y < 0 ? -a : a;
}

/* -- many at a time --------------------------------------------------------------------------- */

/* The same operations with the choices made by factors of 0 and 1, which add or take off nothing
 * where they are 0: a branch that holds arithmetic keeps a compiler from doing several at a time,
 * and it makes one of every comparison that it understands. */
static inline double is_negative(double value) {
  double plain = value + 0.0; /* no -0 */
  uint64_t bits;
  memcpy(&bits, &plain, sizeof bits);
  return (double)(int32_t)(bits >> 63);
}

static inline struct pair octant_angle_even(double n, double d) {
  double t = n / d;
  int32_t i = (t >= 0.1875) + (t >= 0.375) + (t >= 0.625) + (t >= 0.875);
  double tangent = 0.25 * (double)i;
  double half = 0.5 * (double)((t >= 0.375) + (t >= 0.875));
  double rest = tangent - half; /* a quarter or nothing: exact */
  double z = ((n - half * d) - rest * d) / (d + tangent * n);
  double w = z * z;
  double bend = z * w * arc_rest(w);
  double far = (double)((i + 3) >> 2), near = 1.0 - far;
  int32_t is_3 = i & i >> 1 & 1;
  double in_3 = (double)is_3, in_1 = (double)((i & 1) - is_3), in_2 = (double)((i >> 1 & 1) - is_3),
         in_4 = (double)(i >> 2);
  double head = in_1 * ARC_1 + in_2 * ARC_2 + in_3 * ARC_3 + in_4 * ARC_4;
  double tail = in_1 * ARC_1_TAIL + in_2 * ARC_2_TAIL + in_3 * ARC_3_TAIL + in_4 * ARC_4_TAIL;
  struct pair sum = pair_sum(head + near * z, near * bend + far * z);
  sum.tail += far * (bend + tail);
  return sum;
}

/* The angle itself, or turned by it back from a constant not below it. */
static inline struct pair pair_back(double is_back, struct pair from, struct pair angle) {
  double sign = 1.0 - 2.0 * is_back;
  struct pair sum = pair_sum(is_back * from.head, sign * angle.head);
  sum.tail += is_back * from.tail + sign * angle.tail;
  return sum;
}

static inline double angle_even(double y, double x) {
  double up = fabs(y), out = fabs(x);
  double least = up > out ? out : up, most = up > out ? up : out;
  struct pair angle = octant_angle_even(least, most + is_negative(most - 1e-300)); /* (0, 0): 0 */
  angle = pair_back(is_negative(out - up), (struct pair){ARC_QUARTER, ARC_QUARTER_TAIL}, angle);
  angle = pair_back(is_negative(x), (struct pair){ARC_HALF, ARC_HALF_TAIL}, angle);
  return (angle.head + angle.tail) * (1.0 - 2.0 * is_negative(y));
}

LANES_VOID(all_of,
           (const double *restrict y, const double *restrict x, double *restrict angle,
            size_t count),
           (y, x, angle, count)) {
  for (size_t i = 0; i < count; i++)
    angle[i] = angle_even(y[i], x[i]);
}

void num_atan2_all(const double *restrict y, const double *restrict x, double *restrict angle,
                   size_t count) {
  all_of(y, x, angle, count);
}
