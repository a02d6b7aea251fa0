/* Landmarks on long ways: few are kept, and each leads back into the same pieces. */
#include "support/told.h"

#include "borelay/resolve.h"
#include "check/landmarks.h"

static struct piece_mark mark_at(size_t piece) {
  return (struct piece_mark){.t = (double)piece, .leg = (int64_t)piece};
}

/* However long the way: the last one before a place is never farther back than a few strides. */
static void few_on_a_long_way(void **state) {
  (void)state;
  struct phase phases[2] = {{.tick0 = 0}, {.tick0 = 1}};
  struct landmarks landmarks = {.stride = LANDMARK_STRIDE};
  const size_t length = 100000;
  for (size_t i = 0; i < length; i++) {
    struct piece_mark mark = mark_at(i);
    landmark_pass(&landmarks, &phases[0], i, &mark);
  }
  assert_true(landmarks.count > LANDMARKS_MOST / 4 && landmarks.count <= LANDMARKS_MOST);
  assert_null(landmark_before(&landmarks, &phases[0], 0));
  assert_null(landmark_before(&landmarks, &phases[1], 1e9));
  assert_null(landmark_before(NULL, &phases[0], 1e9));
  for (double t = 2 * (double)landmarks.stride; t < (double)length; t += 977.5) {
    const struct piece_mark *found = landmark_before(&landmarks, &phases[0], t);
    assert_non_null(found);
    assert_true(found->t < t && found->t >= t - (double)landmarks.stride - 1);
    assert_int_equal(found->leg, (int64_t)found->t);
  }
}

/* An iteration that goes on from a mark gives the pieces of the one that was marked, to the bit. */
static void marks_lead_back(void **state) {
  (void)state;
  struct told told = told_begin();
  const char *unreadable = NULL;
  const struct job *job = job_resolve(told.arena, told.sources, told.diags,
                                      "programs/valve_bore.lay", NULL, 0, &unreadable);
  const struct plan *plan = plan_make(told.arena, job, told.diags);
  const struct motion *motion = motion_make(told.arena, plan, told.diags);
  size_t compared = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    for (size_t k = 0;; k++) {
      struct piece_mark mark = piece_iter_mark(&iter);
      if (!piece_iter_next(&iter, &piece))
        break;
      struct piece_iter again;
      struct piece same;
      piece_iter_begin_at(&again, motion, &motion->phases[i], &mark);
      assert_true(piece_iter_next(&again, &same));
      piece_iter_release(&again);
      struct pose a = piece_at(&piece, piece.t1), b = piece_at(&same, same.t1);
      assert_true(piece.t0 == same.t0 && piece.t1 == same.t1);
      assert_true(a.x == b.x && a.y == b.y && a.z == b.z && a.head == b.head);
      compared += k > 0;
    }
    piece_iter_release(&iter);
  }
  assert_true(compared > 100);
  told_end(&told);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(few_on_a_long_way),
                                     cmocka_unit_test(marks_lead_back)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
