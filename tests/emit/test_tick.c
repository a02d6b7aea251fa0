/* What a phase's rows say, tick by tick: docs/stream-format.md, "What a row means". */
#include "support/close.h"

#include <string.h>

#include "borelay/tick.h"
#include "emit/setpoint.h"
#include "emit/text_row.h"
#include "support/job_text.h"

struct stand {
  struct cell cell;
  struct job job;
  struct procedure procedure;
  struct plan_leg legs[3];
  struct plan_run run;
  struct plan_layer layer;
  struct overlay overlay;
  struct plan_overlay plan_overlay;
  struct plan plan;
  struct motion motion;
};

static void stand_up(struct stand *stand) {
  memset(stand, 0, sizeof *stand);
  stand->cell.tick = 0.01;
  stand->job.cell = &stand->cell;
  stand->procedure = (struct procedure){
      .current = 205, .voltage = 11.5, .wire_feed_speed = 26.6667, .wire_current = 55};
  for (int i = 0; i < 3; i++)
    stand->legs[i] = (struct plan_leg){.s_length = 100, .lap = i + 1};
  stand->run = (struct plan_run){.legs = stand->legs, .leg_count = 3};
  stand->layer =
      (struct plan_layer){.procedure = &stand->procedure, .runs = &stand->run, .run_count = 1};
  stand->overlay.line = 17;
  stand->plan_overlay.overlay = &stand->overlay;
  stand->plan =
      (struct plan){.job = &stand->job, .overlays = &stand->plan_overlay, .overlay_count = 1};
  stand->motion.plan = &stand->plan;
}

static struct phase phase_of(struct stand *stand, enum phase_kind kind) {
  return (struct phase){.kind = kind,
                        .tick0 = 1000,
                        .ticks = 8,
                        .overlay = 1,
                        .layer = 1,
                        .lap = 1,
                        .plan_layer = &stand->layer};
}

static struct phase first_phase(const struct motion *motion, enum phase_kind kind) {
  size_t i = 0;
  while (motion->phases[i].kind != kind)
    i++;
  return motion->phases[i];
}

/* Row k of N: from + (to - from) k / N; the row after the last belongs to the next phase. */
static void test_current_ramps(void **state) {
  (void)state;
  struct job_motion made = job_motion_make(base_text);
  struct phase up = first_phase(made.motion, PHASE_UPSLOPE);
  up.ticks = 8;
  for (int k = 0; k < 8; k++) {
    struct tick_values values = tick_phase_values(made.motion, &up, up.tick0 + k);
    assert_close(values.current, 20.5 + 184.5 * k / 8, 1e-12, 0);
    assert_close(values.voltage, 11.5, 0, 0);
    assert_close(values.wire, 0, 0, 0);
    assert_true(values.arc && values.gas && !values.avc);
    assert_int_equal(values.line, made.motion->plan->overlays[0].overlay->line);
  }
  job_motion_end(&made);
}

static void test_wire_is_drawn_back(void **state) {
  (void)state;
  struct job_motion made = job_motion_make(base_text);
  struct phase down = first_phase(made.motion, PHASE_DOWNSLOPE);
  down.wire = (struct wire_times){.retract_ticks = 3, .retract = 1600.0 / 60, .retract_last = 5};
  const double feed = 1600.0 / 60, want[8] = {-feed, -feed, -5};
  assert_int_equal(down.ticks, 375);
  for (int k = 0; k < 8; k++) {
    struct tick_values values = tick_phase_values(made.motion, &down, down.tick0 + k);
    assert_close(values.wire, want[k], 0, 1e-15);
    assert_close(values.wire_current, 0, 0, 0); /* hot only while it feeds forward */
    assert_close(values.current, 205 - 184.5 * k / 375, 1e-12, 0);
    assert_int_equal(values.lap, 1);
  }
  job_motion_end(&made);
}

/* Before a zone the downslope lies within the laps, and may pass from one to the next: here 2 mm
 * before the edge, in the last of its 8.4 mm. */
static void test_downslope_over_a_start(void **state) {
  (void)state;
  char *text = text_again(text_with("pattern rings", "pattern spiral"), "retract 5 mm",
                          "zone z { arc off; along 32 .. 60 mm; depths 18 .. 35 mm }");
  struct job_motion made = job_motion_make(text);
  struct phase down = first_phase(made.motion, PHASE_DOWNSLOPE);
  double border = run_leg_start(made.motion, &down, 2), end = run_leg_start(made.motion, &down, 3);
  assert_close(end - border, 2, 1e-3, 0);
  for (int64_t k = 0; k < down.ticks; k++) {
    int64_t tick = down.tick0 + k;
    struct tick_values values = tick_phase_values(made.motion, &down, tick);
    double place = run_length_at(made.motion, &down, (double)tick * 0.008);
    assert_int_equal(values.lap, place < border - 1e-8 ? 2 : 3);
    assert_false(values.avc);
  }
  assert_int_equal(tick_phase_values(made.motion, &down, down.tick0).lap, 2);
  assert_int_equal(tick_phase_values(made.motion, &down, down.tick0 + down.ticks - 1).lap, 3);
  job_motion_end(&made);
  free(text);
}

/* Arc out: nothing electrical; a postflow still belongs to the lap that it ends. */
static void test_postflow_and_move(void **state) {
  (void)state;
  struct stand stand;
  stand_up(&stand);
  struct phase post = phase_of(&stand, PHASE_POSTFLOW);
  post.gas = true;
  struct tick_values values = tick_phase_values(&stand.motion, &post, 1004);
  assert_true(values.gas && !values.arc);
  assert_close(values.current, 0, 0, 0);
  assert_close(values.voltage, 0, 0, 0);
  assert_int_equal(values.lap, 3);
  struct phase move = phase_of(&stand, PHASE_MOVE);
  assert_int_equal(tick_phase_values(&stand.motion, &move, 1004).lap, 1); /* leads to lap 1 */
  move.overlay = move.layer = 0;
  move.lap = 0;
  move.plan_layer = NULL;
  values = tick_phase_values(&stand.motion, &move, 1004);
  assert_int_equal(values.overlay + values.layer + values.lap + values.line, 0);
}

static struct setpoint setpoint;

static void expect_row(struct text_row *row, const struct tick_values *values, const char *want) {
  char got[TEXT_ROW_ROOM + 1];
  assert_true(setpoint_make(&setpoint, values));
  *text_row_put(row, &setpoint.row, got) = '\0';
  assert_string_equal(got, want);
}

static void test_row_text(void **state) {
  (void)state;
  struct text_row row;
  text_row_begin(&row);
  setpoint_begin(&setpoint, 8000);
  struct tick_values values = {.tick = 0, .pose = {100, -20.5, 1050, 0}, .phase = PHASE_MOVE};
  expect_row(
      &row, &values,
      "0.000000,100.000000,-20.500000,1050.000000,0.000000,move,0,0.0,0.00,0.000,0.0,0,0,0,0,"
      "0,0\n");
  values = (struct tick_values){.tick = 123456,
                                .pose = {-1e-9, 1e-7, 12.3456785, -6.283185307179586},
                                .phase = PHASE_WELD,
                                .arc = true,
                                .gas = true,
                                .avc = true,
                                .current = 205.25,
                                .voltage = 11.5,
                                .wire = 26.6667,
                                .wire_current = 55,
                                .overlay = 2,
                                .layer = 1,
                                .lap = 12,
                                .line = 40};
  expect_row(
      &row, &values,
      "987.648000,0.000000,0.000000,12.345679,-360.000000,weld,1,205.3,11.50,26.667,55.0,1,1,2,"
      "1,12,40\n");
  values.tick++;
  values.avc = false; /* the kept tail is made anew when one thing changes */
  values.wire = -26.6667;
  expect_row(
      &row, &values,
      "987.656000,0.000000,0.000000,12.345679,-360.000000,weld,1,205.3,11.50,-26.667,55.0,1,0,"
      "2,1,12,40\n");
}

/* Every figure as long as its type allows, and more than a stream may have. */
static void test_longest_row(void **state) {
  (void)state;
  const struct borelay_row longest = {.t_us = INT64_MAX,
                                      .x_nm = -140737488355327,
                                      .y_nm = -140737488355327,
                                      .z_nm = -140737488355327,
                                      .head_udeg = -INT64_MAX,
                                      .phase = PHASE_DOWNSLOPE,
                                      .current_100ma = UINT32_MAX,
                                      .voltage_10mv = UINT32_MAX,
                                      .wire_um_s = -INT32_MAX,
                                      .wire_current_100ma = UINT32_MAX,
                                      .overlay = UINT32_MAX,
                                      .layer = UINT32_MAX,
                                      .lap = UINT32_MAX,
                                      .line = UINT32_MAX};
  struct text_row text;
  char room[2 * TEXT_ROW_ROOM];
  text_row_begin(&text);
  assert_int_equal(text_row_put(&text, &longest, room) - room, 206);
  assert_true(206 <= TEXT_ROW_ROOM);
}

/* The largest that a row has room for, and one digit more: docs/stream-format.md, "What a reader
 * refuses". */
static void test_room_of_a_row(void **state) {
  (void)state;
  static const struct {
    struct tick_values values;
    bool fits;
  } ROWS[] = {{{.pose = {140737488.355327, -140737488.355327, 0, 0}}, true},
              {{.pose = {140737488.355328, 0, 0, 0}}, false},
              {{.pose = {0, 0, -140737488.355328, 0}}, false},
              {{.current = 1677721.5, .voltage = 167772.15, .wire_current = 1677721.5}, true},
              {{.current = 1677721.6}, false},
              {{.voltage = 167772.16}, false},
              {{.wire_current = 1677721.6}, false},
              {{.wire = -2147483.647}, true},
              {{.wire = 2147483.648}, false},
              {{.lap = UINT32_MAX}, true},
              {{.lap = (int64_t)UINT32_MAX + 1}, false},
              {{.current = 1e300}, false},
              {{.voltage = (double)NAN}, false}};
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    setpoint_begin(&setpoint, 8000);
    if (setpoint_make(&setpoint, &ROWS[i].values) != ROWS[i].fits)
      fail_msg("row %zu of the table", i);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_current_ramps),
      cmocka_unit_test(test_wire_is_drawn_back),
      cmocka_unit_test(test_downslope_over_a_start),
      cmocka_unit_test(test_postflow_and_move),
      cmocka_unit_test(test_row_text),
      cmocka_unit_test(test_longest_row),
      cmocka_unit_test(test_room_of_a_row),
  };
  return cmocka_run_group_tests_name("emit tick", tests, NULL, NULL);
}
