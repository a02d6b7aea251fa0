/* num.h - arithmetic of our own that gives the same bits on every machine.
 *
 * Only plus, minus, times, divide and sqrt are used (IEEE 754 rounds those alike
 * everywhere; the build forbids contraction).  The C library's sin, cos, atan2
 * differ in the last bit from one machine to another. */
#ifndef BORELAY_NUM_H
#define BORELAY_NUM_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#define NUM_PI   3.14159265358979323846
#define NUM_TURN 6.28318530717958647692 /* 2 pi, rad */

struct sincos {
  double sin, cos;
};

/* Sine and cosine of a (rad), |a| <= 1e9 (about 1.6e8 turns): each within 1 unit in its
 * own last place, so 1.2e-16 absolute at most; sin(-a) = -sin a, cos(-a) = cos a exactly;
 * (0, 1) at 0.  NaN for a larger or not finite: such an angle tells no direction any more.
 * Proof: docs/numbers.md; tests/num/test_trig.c measures 0.8. */
struct sincos num_sincos(double a);
/* The same of many angles, to the same bits, several at a time.  The arrays do not overlap. */
void num_sincos_all(const double *restrict a, double *restrict sine, double *restrict cosine,
                    size_t count);
/* The same, but each only within 4e-16; two or three times as fast.  False, and what stands there
 * is of no use: an angle lies farther than 1/16 rad from the one in the middle.  The same bits on
 * every machine all the same.  tests/num/test_trig.c */
bool num_sincos_near(const double *restrict a, double *restrict sine, double *restrict cosine,
                     size_t count);
/* Angle of (x, y) from +X, (-pi, pi], error at most 2 ulp; 0 for (0, 0); a y of -0 counts as
 * 0.  For 1e-150 <= |x|, |y| <= 1e300 or 0. */
double num_atan2(double y, double x);
/* The same of many vectors, to the same bits, several at a time.  The arrays do not overlap. */
void num_atan2_all(const double *restrict y, const double *restrict x, double *restrict angle,
                   size_t count);
/* Of radians, as people are told them. */
static inline double num_degrees(double angle) {
  return angle * 180 / NUM_PI;
}
/* sqrt(x*x + y*y), no care for overflow: millimetres */
static inline double num_hypot(double x, double y) {
  return sqrt(x * x + y * y);
}

/* The lesser and the larger of two; a where that is no number.  fmin() and fmax() are calls. */
static inline double num_lesser(double a, double b) {
  return b < a ? b : a;
}
static inline double num_larger(double a, double b) {
  return b > a ? b : a;
}

/* c0 + c1 x + c2 x^2 + c3 x^3 */
struct cubic {
  double c0, c1, c2, c3;
};
static inline double cubic_at(struct cubic p, double x) {
  return ((p.c3 * x + p.c2) * x + p.c1) * x + p.c0;
}
static inline bool cubic_is_linear(struct cubic p) {
  return p.c2 == 0 && p.c3 == 0;
}
static inline struct cubic cubic_less(struct cubic p, struct cubic by) {
  return (struct cubic){p.c0 - by.c0, p.c1 - by.c1, p.c2 - by.c2, p.c3 - by.c3};
}
/* Derivative k = 1, 2, 3. */
static inline double cubic_derivative(struct cubic p, double x, int k) {
  if (k == 1)
    return (3 * p.c3 * x + 2 * p.c2) * x + p.c1;
  return k == 2 ? 6 * p.c3 * x + 2 * p.c2 : 6 * p.c3;
}
/* Coefficients of p(x + shift), that is p seen from an origin moved by shift. */
static inline struct cubic cubic_shift(struct cubic p, double shift) {
  return (struct cubic){cubic_at(p, shift), cubic_derivative(p, shift, 1), 3 * p.c3 * shift + p.c2,
                        p.c3};
}
/* Least and largest value for a <= x <= b, from the roots of the derivative: never a sample.
 * Exact but for the rounding of cubic_at(). */
void cubic_range(struct cubic p, double a, double b, double *least, double *largest);
/* x in [a, b] with p(x) = value, for p not decreasing on [a, b] and p(a) <= value <= p(b)
 * (otherwise the nearer end).  Accurate to 2 ulp of the larger of |a|, |b| where p rises; where
 * p is flat, as sharp as the rounding of cubic_at() tells.  Same steps on every machine. */
double cubic_solve_rising(struct cubic p, double a, double b, double value);

#endif
