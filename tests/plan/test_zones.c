/* Paths broken into runs: ends by hand, in every pattern and direction, starts in zones, and the
 * window of a cross bore against its closed form. */
#include "support/plan_job.h"

#include <stdio.h>
#include <unistd.h>

#include "borelay/num.h"
#include "support/random.h"

#define DEG (NUM_PI / 180)
static const double TURN = 100 * NUM_PI; /* of the bore of 100 mm */

/* Two laps of 10 mm beads on 20 .. 35 mm: centre lines at 30 and 25 mm. */
static void make_two_laps(struct plan_job *made, enum pattern pattern, struct zone *zones,
                          size_t count) {
  plan_job_init(made);
  made->overlay.pattern = pattern;
  made->layers[0].depths.hi = 35;
  made->overlay.zones = zones;
  made->overlay.zone_count = count;
}

static const struct plan_layer *planned(struct plan_job *made) {
  return &plan_job_plan(made)->overlays[0].layers[0];
}

struct run_row {
  size_t path;
  double from, to, room;
  size_t crossing_count;
};
static void assert_runs(const struct plan_layer *layer, const struct run_row *rows, size_t count) {
  assert_int_equal(layer->run_count, count);
  for (size_t i = 0; i < count; i++) {
    const struct plan_run *run = &layer->runs[i];
    assert_int_equal(run->path, rows[i].path);
    assert_close(run->from, rows[i].from, 1e-9, 0);
    assert_close(run->to, rows[i].to, 1e-9, 0);
    if (isinf(rows[i].room))
      assert_true(isinf(run->room));
    else
      assert_close(run->room, rows[i].room, 1e-9, 0);
    assert_int_equal(run->crossing_count, rows[i].crossing_count);
  }
}

static struct zone off_angles(double lo, double hi) {
  return (struct zone){.name = "z", .has_angles = true, .angles = {lo * DEG, hi * DEG}};
}
static struct zone off_along(double lo, double hi) {
  return (struct zone){.name = "z", .has_along = true, .along = {lo, hi}};
}

/* A ring runs from its start to the zone, and from the zone's end over its start. */
static void rings_break_and_tie_in(void **state) {
  (void)state;
  struct zone zone = off_along(100, 140);
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, &zone, 1);
  const struct run_row want[] = {
      {0, 0, 100, 0, 0}, {0, 140, TURN + 8, 92, 1}, {1, 0, 100, 0, 0}, {1, 140, TURN + 8, 92, 1}};
  const struct plan_layer *layer = planned(&made);
  assert_runs(layer, want, 4);
  assert_close(layer->runs[1].s_start, 140, 1e-9, 0);
  assert_close(layer->runs[1].crossing[0].s_length, 40, 1e-9, 0);
  assert_int_equal(layer->runs[1].leg_count, 2); /* the lap's rest and the tie-in */
  assert_close(layer->runs[1].legs[1].s_length, 8, 1e-9, 0);
  plan_job_free(&made);
}

static void tie_in_ends_at_a_zone_behind_the_start(void **state) {
  (void)state;
  struct zone zone = off_along(3, 40);
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, &zone, 1);
  made.layers[0].depths.hi = 30; /* one lap */
  const struct run_row want[] = {{0, 0, 3, 0, 0}, {0, 40, TURN + 3, 0, 1}};
  assert_runs(planned(&made), want, 2);
  plan_job_free(&made);
}

/* No tie-in where the start lies in a zone: begins at its end, and ends where it begins. */
static void start_in_a_zone(void **state) {
  (void)state;
  struct zone zone = off_along(-30, 20);
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, &zone, 1);
  const struct run_row want[] = {{0, 20, TURN - 30, 0, 0}, {1, 20, TURN - 30, 0, 0}};
  assert_runs(planned(&made), want, 2);
  plan_job_free(&made);
}

static void clockwise_turns_the_ends_about(void **state) {
  (void)state;
  struct zone zone = off_along(100, 140);
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, &zone, 1);
  made.layers[0].clockwise = true;
  made.layers[0].depths.hi = 30;
  const struct run_row want[] = {{0, 0, TURN - 140, 0, 0},
                                 {0, TURN - 100, TURN + 8, TURN - 148, 1}};
  const struct plan_layer *layer = planned(&made);
  assert_runs(layer, want, 2);
  assert_close(layer->runs[1].s_start, 100, 1e-9, 0);
  plan_job_free(&made);
}

/* A spiral of two laps: level turn, sinking turn, level turn.  The last turn being broken it does
 * not tie in; depths are those of the unbroken path. */
static void spiral_keeps_its_depths(void **state) {
  (void)state;
  struct zone zone = off_angles(90, 180);
  struct plan_job made;
  make_two_laps(&made, PATTERN_SPIRAL, &zone, 1);
  const struct run_row want[] = {{0, 0, TURN / 4, 0, 0},
                                 {0, TURN / 2, 1.25 * TURN, 0, 1},
                                 {0, 1.5 * TURN, 2.25 * TURN, 0, 1},
                                 {0, 2.5 * TURN, 3 * TURN, TURN / 4, 1}};
  const struct plan_layer *layer = planned(&made);
  assert_runs(layer, want, 4);
  const struct plan_run *sinking = &layer->runs[1];
  assert_int_equal(sinking->leg_count, 2);
  assert_close(sinking->legs[1].depth_from, 30, 1e-9, 0);
  assert_close(sinking->legs[1].depth_to, 28.75, 1e-9, 0);
  assert_close(layer->runs[2].legs[0].depth_from, 27.5, 1e-9, 0);
  assert_close(layer->runs[2].crossing[0].depth_from, 28.75, 1e-9, 0);
  assert_close(layer->runs[2].crossing[0].depth_to, 27.5, 1e-9, 0);
  assert_int_equal(layer->runs[2].legs[0].lap, 2);
  plan_job_free(&made);
}

/* A zone at the depth of the first lap only: the last turn is whole, and ties in. */
static void spiral_ties_in_once(void **state) {
  (void)state;
  struct zone zone = off_angles(90, 180);
  zone.has_depths = true;
  zone.depths = (struct range){29, 32};
  struct plan_job made;
  make_two_laps(&made, PATTERN_SPIRAL, &zone, 1);
  const struct run_row want[] = {{0, 0, TURN / 4, 0, 0},
                                 {0, TURN / 2, 3 * TURN + 8, (double)INFINITY, 1}};
  assert_runs(planned(&made), want, 2);
  plan_job_free(&made);
}

/* depths alone on a sinking turn: it leaves the zone where it has risen far enough. */
static void depths_cut_a_sinking_turn(void **state) {
  (void)state;
  struct zone zone = {.name = "z", .has_depths = true, .depths = {10, 27}, .margin = 1};
  struct plan_job made;
  make_two_laps(&made, PATTERN_SPIRAL, &zone, 1);
  /* from 30 to 25 over the second turn: 28 at 2/5 of it */
  const struct run_row want[] = {{0, 0, 1.4 * TURN, 0, 0}};
  assert_runs(planned(&made), want, 1);
  plan_job_free(&made);
}

static void on_zones_and_margins(void **state) {
  (void)state;
  struct zone zones[] = {off_along(40, 120), off_along(110, 200), off_along(60, 70)};
  zones[0].is_on = zones[1].is_on = true;
  zones[0].margin = 2;
  zones[1].margin = 1;
  zones[2].margin = 5;
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, zones, 3);
  made.layers[0].depths.hi = 30;
  const struct run_row want[] = {{0, 42, 55, 0, 0}, {0, 75, 199, 0, 1}};
  assert_runs(planned(&made), want, 2);
  plan_job_free(&made);
}

static void a_range_may_pass_a_turn(void **state) {
  (void)state;
  struct zone zone = off_angles(350, 370);
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, &zone, 1);
  made.layers[0].depths.hi = 30;
  made.overlay.start = START_ANGLE;
  made.overlay.start_value = 90 * DEG;
  double a = TURN / 360;
  const struct run_row want[] = {{0, 0, 260 * a, 0, 0}, {0, 280 * a, TURN + 8, 260 * a - 8, 1}};
  assert_runs(planned(&made), want, 2);
  plan_job_free(&made);
}

/* One ring of two taken whole: the other is laid; both taken: refused. */
static void zones_round_the_whole_lap(void **state) {
  (void)state;
  struct zone zone = {.name = "z", .has_angles = true, .angles = {0, NUM_TURN}};
  zone.has_depths = true;
  zone.depths = (struct range){28, 40};
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, &zone, 1);
  const struct run_row want[] = {{1, 0, TURN + 8, (double)INFINITY, 0}};
  assert_runs(planned(&made), want, 1);
  zone.depths.lo = 20;
  assert_null(plan_make(made.arena, &made.job, made.diags));
  assert_string_equal(diag_view_get(made.diags, 0).message,
                      "the zones leave no place for the arc in layer 1");
  plan_job_free(&made);
}

static void stepped_laps_break_on_their_steps(void **state) {
  (void)state;
  struct zone zone = off_along(5, 10);
  struct plan_job made;
  make_two_laps(&made, PATTERN_STEPPED, &zone, 1);
  /* level turn 0 .. TURN, step of 20 mm, level turn; the zone cuts the step at a quarter and a
     half; the last lap starts at s = 20 mm and is broken by it as well */
  const struct run_row want[] = {{0, 0, 5, 0, 0},
                                 {0, 10, TURN + 5, 0, 1},
                                 {0, TURN + 10, 2 * TURN + 5, 0, 1},
                                 {0, 2 * TURN + 10, 2 * TURN + 20, TURN - 15, 1}};
  const struct plan_layer *layer = planned(&made);
  assert_runs(layer, want, 4);
  assert_true(layer->runs[2].legs[0].is_step);
  assert_close(layer->runs[2].legs[0].depth_from, 27.5, 1e-9, 0);
  plan_job_free(&made);
}

/* -- cross bores ------------------------------------------------------------------------------ */

/* Half angle of the mouth of a bore of radius r in one of radius R at height z from its axis:
 * asin(sqrt(r^2 - z^2) / R).  Figures: two right circular cylinders whose axes meet at right
 * angles, closed form worked out to six digits, R 50, r 20. */
static const double MOUTH[][2] = {{0, 23.578178},  {5, 22.786498}, {10, 20.267901},
                                  {15, 15.341709}, {19, 7.174979}, {20, 0}};

static void mouth_of_a_cross_bore_on_level_laps(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof MOUTH / sizeof *MOUTH; i++) {
    struct zone zone = {.name = "port", .has_cross_bore = true, .bore_diameter = 36, .margin = 2};
    zone.bore_depth = 25 + MOUTH[i][0];
    zone.bore_toward = 200 * DEG;
    struct plan_job made;
    make_two_laps(&made, PATTERN_RINGS, &zone, 1);
    made.layers[0].depths.hi = 30; /* one lap at 25 mm */
    const struct plan_layer *layer = planned(&made);
    if (MOUTH[i][1] == 0) {
      assert_int_equal(layer->run_count, 1);
    } else {
      assert_int_equal(layer->run_count, 2);
      assert_close(layer->runs[0].to / 50 / DEG, 200 - MOUTH[i][1], 5e-7, 0);
      assert_close(layer->runs[1].from / 50 / DEG, 200 + MOUTH[i][1], 5e-7, 0);
    }
    plan_job_free(&made);
  }
}

/* Distance of the wall at sigma of the path from the axis, by the shape's own formula. */
static double off_axis(const struct plan_layer *layer, const struct zone *zone, double sigma,
                       double depth) {
  double angle = (layer->paths[0].s_start + layer->dir * sigma) / 50 - zone->bore_toward;
  struct sincos at = num_sincos(angle);
  double v = 50 * at.sin, w = depth - zone->bore_depth;
  return at.cos >= 0 ? sqrt(v * v + w * w) : sqrt(2500 + w * w);
}

/* On sinking turns: every end of a run lies on the mouth, and no run comes nearer to the axis. */
static void mouths_on_sinking_turns(void **state) {
  (void)state;
  struct random random = {20261125};
  for (int round = 0; round < 200; round++) {
    struct zone zone = {.name = "port",
                        .has_cross_bore = true,
                        .bore_diameter = random_between(&random, 2, 60),
                        .bore_depth = random_between(&random, 0, 90),
                        .bore_toward = random_between(&random, -7, 7)};
    double r = zone.bore_diameter / 2;
    struct plan_job made;
    make_two_laps(&made, PATTERN_SPIRAL, &zone, 1);
    made.layers[0].depths = (struct range){20, 80};
    made.layers[0].clockwise = round % 2;
    const struct plan_layer *layer = planned(&made);
    for (size_t i = 0; i < layer->run_count; i++) {
      const struct plan_run *run = &layer->runs[i];
      const struct plan_leg *last = &run->legs[run->leg_count - 1];
      if (i > 0)
        assert_close(off_axis(layer, &zone, run->from, run->legs[0].depth_from), r, 1e-9, 0);
      if (run->room == 0)
        assert_close(off_axis(layer, &zone, run->to, last->depth_to), r, 1e-9, 0);
      double sigma = run->from;
      for (size_t k = 0; k < run->leg_count; k++)
        for (int j = 0; j <= 500; j++) {
          double share = j / 500.0;
          double depth =
              run->legs[k].depth_from + share * (run->legs[k].depth_to - run->legs[k].depth_from);
          assert_true(off_axis(layer, &zone, sigma + share * run->legs[k].s_length, depth) >=
                      r - 1e-9);
          if (j == 500)
            sigma += run->legs[k].s_length;
        }
    }
    plan_job_free(&made);
  }
}

/* A ray alone, by its margin, as a place alone is. */
static void a_zone_without_width_has_its_margin(void **state) {
  (void)state;
  struct zone zones[2] = {off_angles(90, 90), off_along(TURN / 4, TURN / 4)};
  for (int i = 0; i < 2; i++) {
    struct plan_job made;
    make_two_laps(&made, PATTERN_RINGS, &zones[i], 1);
    made.layers[0].depths.lo = 25; /* one lap, at 30 mm */
    zones[i].margin = 3;
    const struct run_row want[] = {{0, 0, TURN / 4 - 3, 0, 0},
                                   {0, TURN / 4 + 3, TURN + 8, TURN / 4 - 11, 1}};
    assert_runs(planned(&made), want, 2);
    zones[i].margin = 0;
    made.diags = diag_list_new(made.arena, source_set_new(made.arena));
    assert_runs(planned(&made), &(struct run_row){0, 0, TURN + 8, INFINITY, 0}, 1);
    plan_job_free(&made);
  }
}

/* A straight side beside the axis, and a round wall behind the ray's end, that run along the bore's
 * very edge, all of which is outside: 50 mm from the axis and 120 mm above it, radius 130 mm. */
static void laps_along_the_edge_of_a_cross_bore(void **state) {
  (void)state;
  struct zone zone = {
      .name = "port", .has_cross_bore = true, .bore_diameter = 260, .bore_depth = 150};
  struct plan_job made;
  make_two_laps(&made, PATTERN_RINGS, &zone, 1);
  made.layers[0].depths.lo = 25; /* one lap, at 30 mm */
  const struct run_row behind = {0, TURN / 4, 3 * TURN / 4, 0, 0};
  assert_runs(planned(&made), &behind, 1);
  made.wall.kind = SHAPE_RACETRACK;
  made.wall.length = 160;
  made.wall.width = 100;
  const struct run_row beside[] = {{0, 0, 30, 0, 0}, {0, 30 + TURN / 2, 120 + TURN + 8, 22, 1}};
  assert_runs(planned(&made), beside, 2);
  plan_job_free(&made);
}

/* Of the process, as the system has it. */
static double mapped_mib(void) {
  long pages = 0;
  FILE *file = fopen("/proc/self/statm", "r");
  assert_non_null(file);
  assert_int_equal(fscanf(file, "%ld", &pages), 1);
  fclose(file);
  return (double)pages * (double)sysconf(_SC_PAGESIZE) / 1048576;
}

/* Each run holds its own legs, not room for all of the path: 3000 runs of a spiral, each of two
 * legs or three, took 430 MiB for 3000 each. */
static void runs_take_room_for_their_own_legs(void **state) {
  (void)state;
  struct zone zone = off_angles(10, 40);
  struct plan_job made;
  make_two_laps(&made, PATTERN_SPIRAL, &zone, 1);
  made.procedures[0].wire_feed_speed = 0.02;
  made.layers[0].pitch = 0.01;
  made.layers[0].depths = (struct range){20, 60};
  double before = mapped_mib();
  assert_int_equal(planned(&made)->run_count, 3003);
  assert_true(mapped_mib() - before < 100);
  plan_job_free(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(rings_break_and_tie_in),
      cmocka_unit_test(tie_in_ends_at_a_zone_behind_the_start),
      cmocka_unit_test(start_in_a_zone),
      cmocka_unit_test(clockwise_turns_the_ends_about),
      cmocka_unit_test(spiral_keeps_its_depths),
      cmocka_unit_test(spiral_ties_in_once),
      cmocka_unit_test(depths_cut_a_sinking_turn),
      cmocka_unit_test(on_zones_and_margins),
      cmocka_unit_test(a_range_may_pass_a_turn),
      cmocka_unit_test(zones_round_the_whole_lap),
      cmocka_unit_test(stepped_laps_break_on_their_steps),
      cmocka_unit_test(mouth_of_a_cross_bore_on_level_laps),
      cmocka_unit_test(a_zone_without_width_has_its_margin),
      cmocka_unit_test(laps_along_the_edge_of_a_cross_bore),
      cmocka_unit_test(runs_take_room_for_their_own_legs),
      cmocka_unit_test(mouths_on_sinking_turns),
  };
  return cmocka_run_group_tests_name("zones break paths into runs", tests, NULL, NULL);
}
