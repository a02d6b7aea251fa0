/* Many half sways judged at once against the same ones piece by piece (test_moving.c holds those to
 * samples): both lie below the truth by no more than 0.01. */
#include "borelay/clear.h"

#include "support/close.h"
#include "support/hand_cell.h"
#include "support/hand_contour.h"
#include "support/random.h"
#include "support/stepped_cavity.h"

enum { ROUNDS = 120, HALVES_MOST = 60 };

static struct swings random_swings(struct random *random) {
  struct swings s = {.count = 2 * random_whole(random, 1, HALVES_MOST / 2),
                     .amplitude = random_between(random, 0.3, 6),
                     .cross = random_between(random, 0.1, 0.6)};
  s.half = s.cross + random_between(random, 0, 0.3);
  double way = (double)s.count * s.half, rate = random_between(random, 0.5, 3);
  double angle = random_between(random, 0, 6.28);
  struct curve *curve = &s.centre.curve;
  *curve = (struct curve){.length = way,
                          .is_line = random_whole(random, 0, 1),
                          .centre = {random_between(random, -6, 6), random_between(random, -6, 6)},
                          .direction = {cos(angle), sin(angle)},
                          .radius = random_between(random, 2, 12)};
  curve->turn =
      (struct cubic){random_between(random, -3, 3), curve->is_line ? 1 : 1 / curve->radius, 0, 0};
  curve->head = curve->turn;
  if (curve->is_line || random_whole(random, 0, 1)) {
    curve->rho = random_between(random, 0, 6);
    curve->head = (struct cubic){random_between(random, -3, 3), 0, 0, 0};
  }
  curve->z =
      (struct cubic){random_between(random, 90, 200), random_between(random, -0.1, 0.1), 0, 0};
  s.centre.t1 = way / rate;
  s.centre.q = (struct cubic){0, rate, 0, 0};
  return s;
}

/* With one half sway on either side, as clear_swings() takes for granted. */
static double piece_by_piece(const struct cell *cell, const struct swings *swings,
                             const struct metal *metal, struct clear_parts parts, double limit) {
  static struct piece pieces[(HALVES_MOST + 2) * HALF_PIECES];
  struct clear_result worst = clear_begin(limit);
  struct clear_ask ask = {metal, parts, &worst};
  size_t first = swings_pieces(swings, -1, pieces), last = first;
  for (int64_t i = 0; i < swings->count; i++)
    last += swings_pieces(swings, i, pieces + last);
  size_t count = last + swings_pieces(swings, swings->count, pieces + last);
  clear_pieces(cell, pieces, count, first, last, &ask, 1);
  return worst.distance;
}

static void at_once_as_piece_by_piece(void **state) {
  (void)state;
  struct random random = {616161};
  int positive = 0, below = 0;
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    stepped_cavity(&scene, arena, &random);
    hand_cell_make(&head, random_whole(&random, 0, 1) ? 0.02 : 1e-6, 1.5);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct swings swings = random_swings(&random);
    struct clear_parts parts = {.bodies = round % 2 == 0, .torch = round % 3 == 0, .shifted = true};
    parts.electrode = !parts.bodies && !parts.torch;
    double limits[2] = {HUGE_VAL, 0};
    double known = piece_by_piece(&head.cell, &swings, metal, parts, HUGE_VAL);
    limits[1] = known + random_between(&random, -0.2, 0.2);
    for (int i = 0; i < 2; i++) {
      struct clear_result worst = clear_begin(limits[i]);
      struct clear_ask ask = {metal, parts, &worst};
      clear_swings(&head.cell, &swings, &ask, 1);
      double plain = i == 0 ? known : piece_by_piece(&head.cell, &swings, metal, parts, limits[i]);
      assert_close(worst.distance, plain, 0.01, 0);
      below += worst.distance < limits[i];
    }
    positive += known > 0.02;
    arena_free(arena);
  }
  print_message("%d of %d clear of the metal, %d figures below their limit\n", positive, ROUNDS,
                below);
  assert_true(positive > ROUNDS / 3 && below > ROUNDS);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(at_once_as_piece_by_piece)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
