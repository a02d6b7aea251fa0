/* fit_round.h - circles through points.  Methods and sources: docs/fits.md. */
#ifndef SHAPE_FIT_ROUND_H
#define SHAPE_FIT_ROUND_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/vec.h"

struct circle {
  vec2 centre;
  double radius;
};

struct round_fit {
  struct circle circle;
  double square_sum;   /* of the residuals, mm2 */
  double residual_max; /* mm */
  size_t worst;        /* the point that has it */
  double spread;       /* standard error of the centre, larger principal one, for points whose
                          own standard error is 1 */
};

/* Circle through three points; false where they lie on a line or coincide. */
bool circle_through(const vec2 points[3], struct circle *circle);
/* Least sum of (d^2 - R^2)^2, d the distance from the centre; count >= 3. */
bool circle_algebraic(const vec2 *points, size_t count, struct circle *circle);
/* Least sum of (d - R)^2: geometric, "orthogonal" least squares, count >= 3.  Three points: the
 * circle through them.  Converged to 1e-12 of the circle's size where spread is below 100.
 * false: on a line, as far as the points tell, or all in one place. */
bool round_fit(const vec2 *points, size_t count, struct round_fit *fit);

/* Angle of the smallest sector about the centre that holds all points, rad. */
double points_span(const vec2 *points, size_t count, vec2 centre);

#endif
