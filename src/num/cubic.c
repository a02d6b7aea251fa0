/* Cubics: the pieces of which depth, speed and rounded head angle are made. */
#include <math.h>

#include "borelay/num.h"

/* Real roots of q2 x^2 + 2 q1 x + q0, without cancellation: the root farther from zero by
 * the sum of like signs, the other from the product of the two. */
static int quadratic_roots(double q2, double q1, double q0, double root[2]) {
  double d = q1 * q1 - q2 * q0;
  if (d < 0)
    return 0;
  double far = q1 < 0 ? -q1 + sqrt(d) : -(q1 + sqrt(d));
  int count = 0;
  if (q2 != 0)
    root[count++] = far / q2;
  if (far != 0)
    root[count++] = q0 / far;
  return count;
}

void cubic_range(struct cubic p, double a, double b, double *least, double *largest) {
  double at_a = cubic_at(p, a), at_b = cubic_at(p, b);
  double lo = at_a < at_b ? at_a : at_b, hi = at_a > at_b ? at_a : at_b;
  double root[2];
  int count = cubic_is_linear(p) ? 0 : quadratic_roots(3 * p.c3, p.c2, p.c1, root);
  for (int i = 0; i < count; i++) {
    if (!(root[i] > a && root[i] < b))
      continue;
    double value = cubic_at(p, root[i]);
    lo = value < lo ? value : lo;
    hi = value > hi ? value : hi;
  }
  *least = lo;
  *largest = hi;
}

/* Newton's step where it stays inside the bracket and is at most half as long as the step
 * before, otherwise the middle of the bracket: so it ends, after the same steps everywhere. */
double cubic_solve_rising(struct cubic p, double a, double b, double value) {
  if (!(cubic_at(p, a) < value))
    return a;
  if (!(cubic_at(p, b) > value))
    return b;
  double x = a + (b - a) * 0.5, before = b - a;
  double close = 0x1p-52 * fmax(fabs(a), fabs(b));
  for (;;) {
    double miss = cubic_at(p, x) - value;
    if (miss == 0)
      return x;
    if (miss < 0)
      a = x;
    else
      b = x;
    double slope = cubic_derivative(p, x, 1);
    double next = x - miss / slope;
    if (!(slope > 0 && next > a && next < b && fabs(next - x) <= 0.5 * before))
      next = a + (b - a) * 0.5;
    before = fabs(next - x);
    if (before <= close || b - a <= close)
      return next;
    x = next;
  }
}
