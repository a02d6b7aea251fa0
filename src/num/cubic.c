/* Cubics: the pieces of which depth, speed and rounded head angle are made. */
#include <math.h>

#include "borelay/num.h"

double cubic_at(struct cubic p, double x) {
  return ((p.c3 * x + p.c2) * x + p.c1) * x + p.c0;
}

double cubic_derivative(struct cubic p, double x, int k) {
  if (k == 1)
    return (3 * p.c3 * x + 2 * p.c2) * x + p.c1;
  if (k == 2)
    return 6 * p.c3 * x + 2 * p.c2;
  return 6 * p.c3;
}

struct cubic cubic_shift(struct cubic p, double shift) {
  return (struct cubic){cubic_at(p, shift), cubic_derivative(p, shift, 1), 3 * p.c3 * shift + p.c2,
                        p.c3};
}

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
  *least = fmin(at_a, at_b);
  *largest = fmax(at_a, at_b);
  double root[2];
  int count = quadratic_roots(3 * p.c3, p.c2, p.c1, root);
  for (int i = 0; i < count; i++) {
    if (!(root[i] > a && root[i] < b))
      continue;
    double value = cubic_at(p, root[i]);
    *least = fmin(*least, value);
    *largest = fmax(*largest, value);
  }
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
