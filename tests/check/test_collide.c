/* Clearances over motions of many pieces, and the metal that stands. */
#include "support/close.h"

#include "check/collide.h"
#include "check/hand_motion.h"
#include "support/hand_cell.h"

enum { PIECES = 500 };

struct bench {
  struct hand_motion motion;
  struct hand_cell cell;
};

/* A bore of radius 60 from the face down, H at a height that has both bodies below the face; a
 * layer that is nominally 2 mm thick on its wall. */
static int setup(void **state) {
  struct bench *bench = calloc(1, sizeof *bench);
  struct hand_motion *hand = &bench->motion;
  hand->arena = arena_new();
  struct contour *bore = hand_round(hand->arena, "bore", (vec2){0, 0}, 60, 0);
  hand_motion_begin(hand, bore);
  hand_cell_make(&bench->cell, 0.008, 0);
  hand->scene.cell = bench->cell.cell;
  hand->scene.cell.clearance = 2;
  hand->scene.cell.torch_clearance = 1;
  hand_volume(&hand->scene, true, bore, 0, 400);
  *state = bench;
  return 0;
}

static int teardown(void **state) {
  struct bench *bench = *state;
  arena_free(bench->motion.arena);
  free(bench);
  return 0;
}

/* H goes out along -x (the torch points to +x) to `farthest` at piece `turn`, and back. */
static void out_and_back(struct hand_motion *hand, int turn, double farthest) {
  hand->run->count = 0;
  for (int i = 0; i < PIECES; i++) {
    struct piece *piece = hand_piece(hand, 0.008 * i, 0.008 * (i + 1));
    double out = i < turn ? farthest / turn : -farthest / (PIECES - turn);
    double from = i < turn ? farthest * i / turn : farthest * (PIECES - i) / (PIECES - turn);
    piece->q = (struct cubic){0, 1 / 0.008, 0, 0};
    piece->curve = (struct curve){.length = 1,
                                  .is_line = true,
                                  .direction = {-1, 0},
                                  .turn = {from, out, 0, 0},
                                  .z = {-100, 0, 0, 0}};
  }
}

static void judge(struct hand_motion *hand, struct check_result results[2]) {
  struct scene scene = {hand->arena, &hand->motion, false};
  struct collide_judge collide = collide_begin(&scene);
  collide_phase_begin(&collide, &hand->phase);
  for (size_t i = 0; i < hand->run->count; i++)
    collide_piece(&collide, &hand->phase, &hand->run->pieces[i]);
  collide_phase_end(&collide, &hand->phase);
  collide_end(&collide, results);
}

/* The upper body of radius 20 comes within 60 - 20 - 30 = 10 of the wall, in whichever batch. */
static void nearest_in_every_batch(void **state) {
  static const int turns[] = {1, 40, 62, 63, 64, 65, 128, 129, 300, 499};
  for (size_t i = 0; i < sizeof turns / sizeof *turns; i++) {
    struct bench *bench = *state;
    bench->motion.phase.kind = PHASE_MOVE;
    out_and_back(&bench->motion, turns[i], 30);
    struct check_result results[2];
    judge(&bench->motion, results);
    /* the path turns on the spot there: the chord of a row cuts the corner, and is not farther out
     */
    assert_true(results[0].worst <= 10 + 1e-9);
    assert_true(results[0].worst >= 10 - 0.5);
    assert_close(results[0].t, 0.008 * turns[i], 0.02, 0);
    assert_true(results[0].passed);
  }
}

/* While a layer is laid it stands for the bodies, not yet for the electrode. */
static void the_layer_being_laid(void **state) {
  struct bench *bench = *state;
  struct hand_motion *hand = &bench->motion;
  struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
  ((struct layer *)(uintptr_t)layer->layer)->depths = (struct range){0, 390};
  layer->bead_area = 8;
  layer->pitch = 4;
  layer->laps = 90;
  double true_thickness = 60 - sqrt(3600 - 2 * 60 * 2.0);
  /* H stands still 27 from the axis with the torch to +x: the tip 3 mm off the wall. */
  struct piece *piece = hand_piece(hand, 0, 0.8);
  piece->curve = (struct curve){.length = 1,
                                .is_line = true,
                                .direction = {1, 0},
                                .turn = {27, 0, 0, 0},
                                .z = {-100, 0, 0, 0}};
  struct check_result results[2];
  judge(hand, results);
  assert_close(results[0].worst, 60 - true_thickness - 27 - 20, 0.011, 0);
  assert_close(results[1].limit, 2.9, 1e-12, 0);
  assert_close(results[1].worst, 3, 0.011, 0); /* electrode to the bore's wall */
  assert_true(results[1].passed);
  hand->phase.kind = PHASE_TOUCH; /* the tip comes near on purpose: only torch and guards count */
  judge(hand, results);
  assert_close(results[1].limit, 1, 0, 0);
  hand->phase.kind = PHASE_MOVE; /* before the first touch nothing is laid */
  judge(hand, results);
  assert_close(results[0].worst, 60 - 27 - 20, 0.011, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(nearest_in_every_batch, setup, teardown),
      cmocka_unit_test_setup_teardown(the_layer_being_laid, setup, teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
