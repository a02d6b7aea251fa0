/* cavity_motion.h - a head that moves about the axis of a cavity at random: its way, without its
 * turning and its height. */
#ifndef TESTS_CAVITY_MOTION_H
#define TESTS_CAVITY_MOTION_H

#include <math.h>

#include "borelay/path.h"
#include "support/random.h"

/* radius: an arc's is as much at most, either way (mm). */
static inline struct piece cavity_motion(struct random *random, double t0, double radius) {
  double duration = random_between(random, 0.2, 2);
  struct piece piece = {.t0 = t0, .t1 = t0 + duration};
  piece.q = (struct cubic){0, random_between(random, 0, 8), random_between(random, 0, 2), 0};
  struct curve *curve = &piece.curve;
  curve->length = cubic_at(piece.q, duration);
  curve->is_line = random_whole(random, 0, 1);
  curve->centre = (vec2){random_between(random, -6, 6), random_between(random, -6, 6)};
  double angle = random_between(random, 0, 6.28);
  curve->direction = (vec2){cos(angle), sin(angle)};
  curve->radius = random_between(random, -radius, radius);
  curve->rho = random_whole(random, 0, 1) ? random_between(random, 0, 6) : 0;
  return piece;
}

#endif
