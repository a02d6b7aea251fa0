/* wave.h - (cos p, sin p) and its derivatives by time, p an angle that moves; the factors stand in
 * jet.c. */
#ifndef PATH_WAVE_H
#define PATH_WAVE_H

#include "borelay/num.h"

/* Adds scale (cos p, sin p) and its derivatives to x and y.  p: the angle and its derivatives, e:
 * sine and cosine of it. */
static inline void wave_add(double scale, const double p[4], struct sincos e, double x[4],
                            double y[4]) {
  double p1 = p[1], p2 = p[2], p3 = p[3];
  double a[4] = {1, 0, -p1 * p1, -3 * p1 * p2}, b[4] = {0, p1, p2, p3 - p1 * p1 * p1};
  for (int k = 0; k < 4; k++) {
    x[k] += scale * (a[k] * e.cos - b[k] * e.sin);
    y[k] += scale * (a[k] * e.sin + b[k] * e.cos);
  }
}

#endif
