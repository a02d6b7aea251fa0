/* fit_racetrack.h - a racetrack through five touches.  Source: docs/fits.md. */
#ifndef SHAPE_FIT_RACETRACK_H
#define SHAPE_FIT_RACETRACK_H

#include <stdbool.h>

#include "borelay/vec.h"

/* Points in the order of the language: 1 and 2 on one straight, 3 on a half circle, 4 on the
 * other straight, 5 on the other half circle. */
struct racetrack_fit {
  double heading;  /* angle of the way from point 1 to 2, (-pi, pi] */
  double across;   /* point 4 from the straight of 1 and 2, positive on the left of that way */
  double radius;   /* of the half circles: half the width */
  double straight; /* length of the straights */
  vec2 centre;
  vec2 end_3, end_5;  /* centres of the half circles that hold point 3 and point 5 */
  double turned;      /* direction of straight 1 as it is run through anticlockwise, (-pi, pi] */
  double off_apex[2]; /* where points 3 and 5 lie on their half circles: angle from the middle of
                         it, rad, positive on the left of the way from point 1 to 2 */
  double spread;      /* standard error of the centre, larger principal one, for points whose own
                         standard error is 1 */
  bool spreads_along; /* the centre is held worse along the straights than across */
};

enum racetrack_fault {
  RACETRACK_FITS,
  RACETRACK_SAME_POINT,    /* points 1 and 2 coincide: point 2, figure their distance */
  RACETRACK_SAME_STRAIGHT, /* point 4 lies on the straight of 1 and 2: figure its distance */
  RACETRACK_NOT_AN_END,    /* point 3 or 5 lies no nearer to the axis than the straights do:
                              figure its distance from the axis */
  RACETRACK_SAME_END,      /* points 3 and 5 lie so near that no straight is left between the
                              half circles: point 5, figure what is missing */
  RACETRACK_PAST_STRAIGHT  /* point 1, 2 or 4 lies on no straight: figure how far past its end,
                              more than `least` */
};

struct racetrack_misfit {
  enum racetrack_fault fault;
  int point;     /* 1 .. 5 */
  double figure; /* mm */
};

/* least: distances (mm, > 0) up to which points 1 and 2, or point 4 and the straight of 1 and 2,
 * count as one.  *fit is filled as far as the fault lets it. */
struct racetrack_misfit racetrack_fit(const vec2 points[5], double least,
                                      struct racetrack_fit *fit);

#endif
