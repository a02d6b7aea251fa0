/* Angle of a vector: folded to the first octant, there the nearest of the tangents
 * c = 0, 1/4, 1/2, 3/4, 1 is taken off, with n / d the tangent, 0 <= n <= d:
 *   atan(n/d) = atan(c) + atan(z),  z = (n - c d) / (d + c n).
 * The numerator is exact (c has at most two bits and n/d lies within a factor of two of
 * it: Sterbenz), so z carries three roundings and is small against the result.
 * atan z, |z| < 0.19, is its Taylor series up to z^25; the next term is < 2e-21 |z|. */
#include <math.h>

#include "borelay/num.h"

/* A value and what its rounding left over. */
struct pair {
  double head, tail;
};

static const struct pair arc[5] = {/* atan(i/4) */
                                   {0, 0},
                                   {0x1.f5b75f92c80ddp-3, 0x1.8ab6e3cf7afbdp-57},
                                   {0x1.dac670561bb4fp-2, 0x1.a2b7f222f65e2p-56},
                                   {0x1.4978fa3269ee1p-1, 0x1.2419a87f2a458p-56},
                                   {0x1.921fb54442d18p-1, 0x1.1a62633145c07p-55}};
static const struct pair quarter_turn = {0x1.921fb54442d18p+0, 0x1.1a62633145c07p-54};
static const struct pair half_turn = {0x1.921fb54442d18p+1, 0x1.1a62633145c07p-53};

/* (atan z - z) / z^3 in w = z^2. */
static double arc_rest(double w) {
  double sum = 0;
  for (int n = 25; n >= 3; n -= 2)
    sum = w * sum + ((n & 2) ? -1.0 : 1.0) / n;
  return sum;
}

/* a + b, |a| >= |b| or a = 0. */
static struct pair pair_sum(double a, double b) {
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
static struct pair pair_below(struct pair a, struct pair b) {
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

double num_hypot(double x, double y) {
  return sqrt(x * x + y * y);
}
