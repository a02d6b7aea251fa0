/* steady_piece.h - pieces that travel, sink and turn evenly, for property tests. */
#ifndef TESTS_STEADY_PIECE_H
#define TESTS_STEADY_PIECE_H

#include "support/random_piece.h"

/* Some seconds of an arc or a line; on either side of 0, hours into the stream and many turns on.
 */
static inline struct piece steady_piece(struct random *random) {
  struct piece piece = random_piece(random);
  struct curve *curve = &piece.curve;
  double later = random_whole(random, 0, 3) ? 0 : random_between(random, 0, 30000);
  piece.t0 += later;
  piece.t1 = piece.t0 + random_between(random, 20, 120);
  piece.q = (struct cubic){random_whole(random, 0, 1) ? random_between(random, 0, 9000) : 0,
                           random_between(random, 0, 8), 0, 0};
  curve->is_line = random_whole(random, 1, 4) == 1;
  double turn = random_between(random, -0.03, 0.03), turned = random_between(random, -4000, 4000);
  curve->turn = (struct cubic){turned, curve->is_line ? 1 : turn, 0, 0};
  curve->head = (struct cubic){turned, turn, 0, 0};
  if (curve->is_line || random_whole(random, 0, 1))
    curve->head.c1 = 0;
  else
    curve->rho = 0;
  curve->z.c1 = random_whole(random, 0, 2) ? random_between(random, -0.05, 0.05) : 0;
  curve->z.c2 = curve->z.c3 = 0;
  return piece;
}

#endif
