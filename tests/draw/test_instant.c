/* The stream at one time, and where beads begin. */
#include "draw/drawn.h"

#include "draw/instant.h"
#include "draw/path_data.h"
#include "support/job_text.h"

static double time_of(const struct outcome *outcome, enum phase_kind kind, int layer, int nth) {
  for (size_t i = 0; i < outcome->motion->phase_count; i++) {
    const struct phase *phase = &outcome->motion->phases[i];
    if (phase->kind == kind && phase->layer == layer && nth-- == 0)
      return ((double)phase->tick0 + 0.5 * (double)phase->ticks) * outcome->job->cell->tick;
  }
  fail_msg("no such phase");
  return 0;
}

/* docs/semantics.md, Checks: the layer being laid counts as finished for bodies and torch. */
static void standing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/valve_bore.lay");
  const struct motion *motion = outcome.motion;
  double end = (double)motion->ticks * outcome.job->cell->tick;
  assert_int_equal(instant_at(arena, motion, 0).layers[0], 0);
  assert_int_equal(instant_at(arena, motion, time_of(&outcome, PHASE_PREFLOW, 1, 0)).layers[0], 1);
  assert_int_equal(instant_at(arena, motion, time_of(&outcome, PHASE_WAIT, 2, 0)).layers[0], 1);
  assert_int_equal(instant_at(arena, motion, time_of(&outcome, PHASE_WELD, 2, 3)).layers[0], 2);
  assert_int_equal(instant_at(arena, motion, end).layers[0], 2);
  struct instant weld = instant_at(arena, motion, time_of(&outcome, PHASE_WELD, 2, 3));
  assert_int_equal(instant_lap(motion, &weld), 4);
  arena_free(arena);
}

/* In each overlay's plan the head is in that overlay's bore. */
static void worth_drawing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/twin_bores.lay");
  for (size_t i = 0; i < outcome.plan->overlay_count; i++) {
    struct pose pose = draw_pose_at(outcome.motion, draw_overlay_time(&outcome, i));
    const struct contour *contour = outcome.plan->overlays[i].contour;
    assert_true(contour_distance(contour, (vec2){pose.x, pose.y}) < 0);
  }
  arena_free(arena);
}

/* The pose at the border of two phases and anywhere is that of the piece there. */
static void poses(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/twin_bores.lay");
  for (size_t i = 0; i < outcome.motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, outcome.motion, &outcome.motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      double t = piece.t0 + 0.37 * (piece.t1 - piece.t0);
      struct pose want = piece_at(&piece, t), got = draw_pose_at(outcome.motion, t);
      assert_close(got.x, want.x, 1e-9, 0);
      assert_close(got.y, want.y, 1e-9, 0);
      assert_close(got.z, want.z, 1e-9, 0);
      assert_close(got.head, want.head, 1e-9, 0);
    }
    piece_iter_release(&iter);
  }
  arena_free(arena);
}

static struct drawn_path *bead_of(struct arena *arena, const char *text) {
  char path[] = "/tmp/borelay_draw_XXXXXX";
  int descriptor = mkstemp(path);
  assert_true(descriptor >= 0);
  FILE *file = fdopen(descriptor, "w");
  fputs(text, file);
  fclose(file);
  struct outcome outcome = outcome_of(arena, path);
  unlink(path);
  struct drawn drawn = drawn_read(draw_wall(arena, &outcome, 0, &plain_look));
  char *data = drawn_text(&drawn, "string(//s:path[@class='bead'][1]/@d)");
  struct drawn_path *bead = arena_alloc(arena, 1, sizeof *bead);
  path_read(bead, data);
  assert_close(drawn_number(&drawn, "//s:svg//s:g[@class='beads'][1]/@stroke-width"), 8, 1e-9, 0);
  xmlFree(data);
  drawn_free(&drawn);
  return bead;
}

static double length_of(const struct drawn_path *path) {
  double sum = 0;
  for (size_t i = 0; i < path->count; i++)
    sum += fabs(path->edges[i].b.x - path->edges[i].a.x);
  return sum;
}

/* Rings that begin at s = 30 mm on a pocket of 539.4 mm round: a lap and its tie-in of 8 mm, over
 * s = 0 without a line across the wall.  With the wire 3 s late at 170 mm/min it begins 8.5 mm on.
 */
static void begins(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  double round = 2 * (160 + 120) - 8 * 12 + 2 * NUM_PI * 12;
  struct drawn_path *bead = bead_of(arena, base_text);
  assert_close(bead->edges[0].a.x, 30, 0.006, 0);
  assert_close(length_of(bead), round + 8, 0.03, 0);
  for (size_t i = 0; i < bead->count; i++)
    assert_true(fmin(bead->edges[i].a.x, bead->edges[i].b.x) >= 0 &&
                fmax(bead->edges[i].a.x, bead->edges[i].b.x) <= round + 0.01);
  char *late = text_again(strdup(base_text), "tie_in 8 mm;", "tie_in 16 mm; wire_start_delay 3 s;");
  bead = bead_of(arena, late);
  assert_close(bead->edges[0].a.x, 30 + 8.5, 0.1, 0);
  assert_close(length_of(bead), round + 16 - 8.5, 0.15, 0);
  free(late);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(standing), cmocka_unit_test(poses),
                                     cmocka_unit_test(worth_drawing), cmocka_unit_test(begins)};
  int failed = cmocka_run_group_tests_name("draw/instant", tests, NULL, NULL);
  xmlCleanupParser();
  return failed;
}
