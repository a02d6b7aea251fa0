/* random_swings.h - half sways in a row about a random centre line. */
#ifndef TESTS_RANDOM_SWINGS_H
#define TESTS_RANDOM_SWINGS_H

#include "borelay/swings.h"
#include "support/random.h"

static inline struct swings random_swings(struct random *random) {
  struct swings s = {.first = 2 * random_whole(random, 0, 500),
                     .count = 2 * random_whole(random, 1, 40),
                     .amplitude = random_between(random, 0.5, 4)};
  double rate = random_between(random, 0.5, 5);
  bool is_line = random_whole(random, 0, 2) == 0, is_level = random_whole(random, 0, 1);
  s.cross = random_between(random, 0.4, 3);
  s.half = s.cross + (random_whole(random, 0, 3) ? random_between(random, 0.05, 1) : 0);
  double way = (double)s.count * s.half, begin = random_between(random, 0, 20);
  struct curve *curve = &s.centre.curve;
  *curve = (struct curve){.length = begin + way,
                          .is_line = is_line,
                          .centre = {random_between(random, -500, 500), 40},
                          .direction = {0.6, -0.8},
                          .radius = is_line ? 0 : random_between(random, 20, 120)};
  double turn = is_line ? 1 : 1 / curve->radius;
  curve->turn = (struct cubic){random_between(random, -9, 9), turn, 0, 0};
  curve->head = curve->turn;
  if (is_line || random_whole(random, 0, 2) == 0) {
    curve->rho = 30;
    curve->head = (struct cubic){random_between(random, -9, 9), 0, 0, 0};
  }
  curve->z = (struct cubic){500, is_level ? 0 : random_between(random, -0.02, 0.02), 0, 0};
  s.centre.t0 = random_between(random, 0, 4000);
  s.centre.t1 = s.centre.t0 + way / rate;
  s.centre.q = (struct cubic){begin, rate, 0, 0};
  return s;
}

#endif
