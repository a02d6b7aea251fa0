/* A motion that begins days after the stream does: times are told less finely there, and pieces
 * still follow one another without gap. */
#include "support/job_text.h"

enum { STARTS = 400 };
static const double DAY = 86400; /* s */

/* The same motion so many ticks later. */
static struct motion later(struct arena *arena, const struct motion *motion, int64_t ticks) {
  struct motion made = *motion;
  made.phases = arena_alloc(arena, motion->phase_count, sizeof *made.phases);
  for (size_t i = 0; i < motion->phase_count; i++) {
    made.phases[i] = motion->phases[i];
    made.phases[i].tick0 += ticks;
    made.phases[i].track_tick += ticks;
  }
  return made;
}

static void assert_joined(const struct motion *motion) {
  struct piece last = {.t1 = -1};
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      struct pose now = piece_at(&piece, piece.t0);
      struct pose before = last.t1 < 0 ? now : piece_at(&last, last.t1);
      assert_true(last.t1 < 0 || piece.t0 == last.t1);
      assert_true(piece.t1 >= piece.t0);
      assert_close(now.x, before.x, 1e-7, 0);
      assert_close(now.y, before.y, 1e-7, 0);
      assert_close(now.z, before.z, 1e-7, 0);
      assert_close(now.head, before.head, 1e-9, 0);
      last = piece;
    }
    piece_iter_release(&iter);
  }
}

static void test_pieces_join_late(void **state) {
  (void)state;
  struct job_motion made = job_motion_make(base_text);
  assert_string_equal(made.told, "");
  double tick = made.motion->plan->job->cell->tick;
  for (int i = 0; i < STARTS; i++) {
    struct arena *arena = arena_new();
    struct motion motion = later(arena, made.motion, (int64_t)(i * DAY / 40 / tick) + i);
    assert_joined(&motion);
    arena_free(arena);
  }
  job_motion_end(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_pieces_join_late),
  };
  return cmocka_run_group_tests_name("motion late", tests, NULL, NULL);
}
