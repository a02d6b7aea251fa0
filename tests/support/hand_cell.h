/* hand_cell.h - a head put together by hand. */
#ifndef TESTS_HAND_CELL_H
#define TESTS_HAND_CELL_H

#include "borelay/job.h"

struct hand_cell {
  struct cell cell;
  struct body bodies[2];
  struct capsule guards[2];
};

/* Level torch of reach 30 at 200 below H with a body of radius 5 that ends 6 short of the tip;
 * bodies of radius 12 beside the torch and 20 above it; one slanted guard, one upright. */
static inline void hand_cell_make(struct hand_cell *hand, double tick, double correction) {
  *hand = (struct hand_cell){.cell = {.name = "bench", .tick = tick, .correction = correction}};
  struct cell *cell = &hand->cell;
  cell->reach = 30;
  cell->drop = 200;
  cell->electrode_extension = 6;
  cell->torch = (struct capsule){"torch", {0, 0, -200}, {19, 0, -200}, 5, {{0, 0, 0}, NULL, 0}};
  cell->electrode_from = (vec3){24, 0, -200};
  cell->electrode_to = (vec3){30, 0, -200};
  hand->bodies[0] = (struct body){"lower", 12, {-210, -120}, {{0, 0, 0}, NULL, 0}};
  hand->bodies[1] = (struct body){"upper", 20, {-120, 40}, {{0, 0, 0}, NULL, 0}};
  hand->guards[0] =
      (struct capsule){"wire_guide", {8, -9, -150}, {22, -11, -194}, 2.5, {{0, 0, 0}, NULL, 0}};
  hand->guards[1] =
      (struct capsule){"hose", {-10, 6, -180}, {-10, 6, -60}, 3, {{0, 0, 0}, NULL, 0}};
  cell->bodies = hand->bodies;
  cell->body_count = 2;
  cell->guards = hand->guards;
  cell->guard_count = 2;
}

#endif
