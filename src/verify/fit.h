/* fit.h - circles and racetracks on touches, by Gauss and Newton's method. */
#ifndef VERIFY_FIT_H
#define VERIFY_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/job.h"

struct fitted {
  vec2 centre;
  double diameter;              /* circle */
  double length, width, turned; /* racetrack; straight 1 at negative y before turning */
};

/* Where the tip was, in the cell. */
vec2 touched_point(const struct touch *touch, double reach);
/* Least squares of the distances from the circle.  false: no circle comes out. */
bool fit_circle(const vec2 *points, size_t count, struct fitted *fitted);
/* Through five points: 1 and 2 on one straight, 3 on the half circle behind it, 4 on the other
 * straight, 5 on the other half circle. */
bool fit_track(const vec2 points[5], struct fitted *fitted);

#endif
