/* When rows are due, and the line that shows where a play is: no clock, no waiting. */
#include "support/close.h"

#include <string.h>

#include "play/pace.h"
#include "play/progress.h"

#define STEP 0.008

/* A day and a half of rows, each a little late: the last is due when it should be. */
static void test_small_delays_do_not_add_up(void **state) {
  (void)state;
  enum { ROWS = 16000000 };
  struct pace pace;
  pace_begin(&pace, 1000, STEP, false);
  for (int i = 0; i < ROWS; i++)
    pace_delivered(&pace, pace.due_s + (i % 7) * 0.008, false, false);
  assert_close(pace.due_s, 1000 + ROWS * STEP, 1e-3, 0);
}

/* More than jitter is lost, and never made up for by going faster. */
static void test_long_delays_are_lost(void **state) {
  (void)state;
  struct pace pace;
  pace_begin(&pace, 0, STEP, false);
  pace_delivered(&pace, 5, false, false);
  assert_close(pace.due_s, 5 + STEP, 1e-12, 0);
  pace_delivered(&pace, 9, true, true); /* with the arc on nothing may be lost */
  assert_close(pace.due_s, 5 + 2 * STEP, 1e-12, 0);
  pace_delivered(&pace, 9, true, false); /* the row that puts it out, too */
  assert_close(pace.due_s, 5 + 3 * STEP, 1e-12, 0);
}

static void test_slower_and_back(void **state) {
  (void)state;
  struct pace pace;
  double before = 0, slowest = 0, rate = 1, start;
  pace_begin(&pace, 0, STEP, false);
  pace_aim(&pace, true);
  for (int i = 0; i < 500; i++) {
    before = pace.due_s;
    pace_delivered(&pace, pace.due_s, false, false);
    double step = pace.due_s - before;
    assert_true(step >= STEP * (1 - 1e-9));
    assert_true(step <= STEP / PACE_SLOW * (1 + 1e-9));
    /* no faster than the ramp allows */
    assert_true(rate - pace.rate <= STEP / PACE_RAMP_S * (1 + 1e-9));
    rate = pace.rate;
    slowest = step;
  }
  assert_close(slowest, STEP / PACE_SLOW, 1e-9, 0);
  pace_aim(&pace, false);
  start = pace.due_s;
  while (pace.rate < 1)
    pace_delivered(&pace, pace.due_s, false, false);
  assert_true(pace.due_s - start > (1 - PACE_SLOW) * PACE_RAMP_S);
  /* the arc knows one speed */
  pace_aim(&pace, true);
  before = pace.due_s;
  pace_delivered(&pace, pace.due_s, false, true);
  assert_close(pace.due_s - before, STEP, 1e-9, 0);
}

static void test_begins_slowly_from_rest(void **state) {
  (void)state;
  struct pace pace;
  pace_begin(&pace, 0, STEP, true);
  pace_delivered(&pace, 0, false, false);
  assert_true(pace.due_s > 3 * STEP);
  assert_true(pace.due_s <= STEP / PACE_SLOW);
}

static void test_standing(void **state) {
  (void)state;
  struct pace pace;
  pace_begin(&pace, 10, STEP, false);
  pace_stood(&pace, 5); /* not due yet: nothing is gained */
  assert_close(pace.due_s, 10, 0, 0);
  pace_stood(&pace, 25);
  assert_close(pace.due_s, 25, 0, 0);
}

static void test_progress_line(void **state) {
  (void)state;
  struct borelay_header header = {
      .rows = 1000001, .tick_us = 8000, .duration_us = UINT64_C(8000000000)};
  struct borelay_row row = {.index = 480000,
                            .t_us = UINT64_C(3840000000),
                            .phase = BORELAY_WELD_PHASE,
                            .overlay = 1,
                            .layer = 2,
                            .lap = 17,
                            .line = 40};
  char text[PROGRESS_ROOM];
  progress_text(text, &header, &row, "seal_bore", 1, "");
  assert_string_equal(text, "[#########-----------]  48 %  weld  seal_bore layer 2 lap 17  "
                            "1:09:20 left");
  progress_text(text, &header, &row, "seal_bore", 4, "stands: go");
  assert_string_equal(text, "[#########-----------]  48 %  weld  seal_bore layer 2 lap 17  "
                            "0:17:20 left  stands: go");
  row = (struct borelay_row){.index = 1000000, .t_us = header.duration_us};
  progress_text(text, &header, &row, "", 1, "");
  assert_string_equal(text, "[####################] 100 %  move  0:00:00 left");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_small_delays_do_not_add_up),
      cmocka_unit_test(test_long_delays_are_lost),
      cmocka_unit_test(test_slower_and_back),
      cmocka_unit_test(test_begins_slowly_from_rest),
      cmocka_unit_test(test_standing),
      cmocka_unit_test(test_progress_line),
  };
  return cmocka_run_group_tests_name("play pace", tests, NULL, NULL);
}
