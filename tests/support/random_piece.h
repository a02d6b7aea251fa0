/* random_piece.h - pieces with every term present, for property tests. */
#ifndef TESTS_RANDOM_PIECE_H
#define TESTS_RANDOM_PIECE_H

#include <math.h>

#include "borelay/path.h"
#include "support/random.h"

static inline struct cubic random_cubic(struct random *random, double c0, double c1, double c2,
                                        double c3) {
  return (struct cubic){random_between(random, -c0, c0), random_between(random, -c1, c1),
                        random_between(random, -c2, c2), random_between(random, -c3, c3)};
}

/* q rises, over about 1 s; angles turn by a few rad at most; now and then a term is absent. */
static inline struct piece random_piece(struct random *random) {
  double t0 = random_between(random, 0, 5000), duration = random_between(random, 0.05, 1.5);
  struct piece piece = {.t0 = t0, .t1 = t0 + duration};
  piece.q = (struct cubic){0, random_between(random, 0, 3), random_between(random, 0, 1.5),
                           random_between(random, 0, 1)};
  struct curve *curve = &piece.curve;
  curve->length = cubic_at(piece.q, duration);
  curve->is_line = random_whole(random, 1, 3) == 1;
  curve->centre = (vec2){random_between(random, -300, 300), random_between(random, -300, 300)};
  double angle = random_between(random, 0, NUM_TURN);
  curve->direction = (vec2){cos(angle), sin(angle)};
  curve->radius = random_between(random, -60, 90);
  curve->rho = random_whole(random, 0, 1) ? random_between(random, 10, 80) : 0;
  curve->turn = random_cubic(random, 50, 0.2, 0.005, 0.0001);
  curve->head = random_cubic(random, 50, 0.2, 0.005, 0.0001);
  curve->z = random_cubic(random, 500, 1, 0.2, 0.02);
  if (random_whole(random, 1, 4) == 1)
    curve->turn.c2 = curve->turn.c3 = 0;
  if (random_whole(random, 1, 4) == 1)
    piece.q.c2 = piece.q.c3 = 0;
  return piece;
}

#endif
