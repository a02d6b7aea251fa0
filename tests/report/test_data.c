/* The motion as the page holds it, evaluated here from the numbers on the page alone and compared
 * with the pieces; and the charts' bins against values in between. */
#include "report/paged.h"

#include <math.h>

#include "borelay/num.h"
#include "borelay/tick.h"
#include "support/random.h"

static double number(const json_t *array, size_t index) {
  return json_number_value(json_array_get(array, index));
}

static double cubic_of(const json_t *curve, size_t first, double c0, double q) {
  double c1 = number(curve, first), c2 = number(curve, first + 1), c3 = number(curve, first + 2);
  return c0 + q * (c1 + q * (c2 + q * c3));
}

/* Pieces unfolded one after the other. */
struct unfolding {
  const json_t *data;
  size_t index;
  double start[4]; /* t, turn, head, z of the piece at index, in whole units */
};

static struct unfolding unfold(const json_t *data) {
  struct unfolding at = {.data = data};
  for (size_t k = 0; k < 4; k++)
    at.start[k] = number(json_object_get(data, "start"), k);
  return at;
}

static const json_t *step_of(const struct unfolding *at) {
  const json_t *order = json_object_get(at->data, "pieces");
  return json_array_get(json_object_get(at->data, "steps"), (size_t)number(order, at->index));
}

static void unfold_next(struct unfolding *at) {
  const json_t *step = step_of(at);
  for (size_t k = 0; k < 4; k++)
    at->start[k] += number(step, 2 + k);
  at->index++;
}

static double start_of(const struct unfolding *at, size_t k) {
  return at->start[k] / pow(10, number(json_object_get(at->data, "decimals"), k));
}

/* The formula of path.h, in the layout that docs/report.md lays down. */
static struct pose pose_from(const struct unfolding *at, double t) {
  const json_t *step = step_of(at);
  const json_t *rate = json_array_get(json_object_get(at->data, "rates"), (size_t)number(step, 0));
  const json_t *curve =
      json_array_get(json_object_get(at->data, "curves"), (size_t)number(step, 1));
  double q = cubic_of(rate, 1, number(rate, 0), t - start_of(at, 0));
  double turn = cubic_of(curve, 6, start_of(at, 1), q);
  double head = cubic_of(curve, 9, start_of(at, 2), q);
  bool is_line = number(curve, 0) > 0;
  double a = number(curve, 3), b = number(curve, 4), rho = number(curve, 5);
  return (struct pose){number(curve, 1) + (is_line ? turn * a : a * cos(turn)) - rho * cos(head),
                       number(curve, 2) + (is_line ? turn * b : a * sin(turn)) - rho * sin(head),
                       cubic_of(curve, 12, start_of(at, 3), q), head};
}

enum { PLACES = 5 };
static const double MM = 1e-5, RAD = 1e-7;

static void walk(const char *path) {
  struct paged made = paged_make(path);
  json_t *data = paged_data(&made, "motion-data");
  struct unfolding told = unfold(data);
  const struct motion *motion = made.outcome.motion;
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      for (int k = 0; k <= PLACES; k++) {
        double t = piece.t0 + (piece.t1 - piece.t0) * k / PLACES;
        struct pose want = piece_at(&piece, t), got = pose_from(&told, t);
        assert_close(got.x, want.x, MM, 0);
        assert_close(got.y, want.y, MM, 0);
        assert_close(got.z, want.z, MM, 0);
        assert_close(got.head, want.head, RAD, 0);
      }
      unfold_next(&told);
    }
    piece_iter_release(&iter);
  }
  assert_int_equal(told.index, json_array_size(json_object_get(data, "pieces")));
  json_decref(data);
  paged_end(&made);
}

static void test_motion_rings(void **state) {
  (void)state;
  walk("programs/valve_bore.lay");
}
static void test_motion_racetrack_with_zones(void **state) {
  (void)state;
  walk("programs/keyway_track.lay");
}
static void test_motion_outline(void **state) {
  (void)state;
  walk("programs/boss_cavity.lay");
}
static void test_motion_two_hours(void **state) {
  (void)state;
  walk("tests/browser/two_hours.lay");
}

static void test_motion_sway(void **state) {
  (void)state;
  walk("programs/wide_barrel.lay");
}

/* -- current, voltage, wire -------------------------------------------------------------------- */

/* The value of a column at a tick, on the lines of the page. */
static double lined(const json_t *lines, size_t column, int64_t tick) {
  size_t k = 0;
  while (k + 1 < json_array_size(lines) && number(json_array_get(lines, k + 1), 0) <= (double)tick)
    k++;
  const json_t *from = json_array_get(lines, k), *to = json_array_get(lines, k + 1);
  double a = number(from, column);
  if (!to || column > 3)
    return a;
  double t0 = number(from, 0), t1 = number(to, 0);
  return a + (number(to, column) - a) * ((double)tick - t0) / (t1 - t0);
}

/* Every row of the phases with the arc on. */
static void values_of(const char *path) {
  struct paged made = paged_make(path);
  json_t *data = paged_data(&made, "motion-data");
  const json_t *phases = json_object_get(data, "phases");
  const struct motion *motion = made.outcome.motion;
  assert_int_equal(json_array_size(phases), motion->phase_count);
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    const json_t *lines = json_array_get(json_array_get(phases, i), 9);
    assert_true((lines != NULL) == phase->arc);
    for (int64_t k = phase->tick0; lines && k < phase->tick0 + phase->ticks; k++) {
      struct tick_values want = tick_phase_values(motion, phase, k);
      assert_close(lined(lines, 1, k), want.current, 0.0201, 0);
      assert_close(lined(lines, 2, k), want.voltage, 0.00201, 0);
      assert_close(lined(lines, 3, k), want.wire, 0.000201, 0);
      assert_close(lined(lines, 4, k), want.wire_current, 1e-3, 0);
      assert_true((lined(lines, 5, k) > 0) == want.avc);
    }
  }
  json_decref(data);
  paged_end(&made);
}

static void test_values_of_rows(void **state) {
  (void)state;
  values_of("programs/valve_bore.lay");
  values_of("programs/level_bore.lay");
}

/* -- the charts' bins ---------------------------------------------------------------------------
 */

/* Tenths of a per cent. */
static double bin_of(const json_t *strain, const char *kind, int axis, double t) {
  const json_t *bins = json_array_get(json_object_get(strain, kind), (size_t)axis);
  double bin = floor(t / json_number_value(json_object_get(strain, "bin_s")));
  size_t count = json_array_size(bins);
  return number(bins, bin >= (double)count ? count - 1 : (size_t)bin);
}

static void below_bins(const json_t *strain, const struct piece *piece, const struct cell *cell,
                       double t) {
  struct jet jet = piece_jet(piece, t);
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    double speed = fabs(jet.d[axis][1]) / cell->axis[axis].speed;
    double accel = fabs(jet.d[axis][2]) / cell->axis[axis].accel;
    assert_true(1000 * speed <= bin_of(strain, "speed", axis, t) + 1e-6);
    assert_true(1000 * accel <= bin_of(strain, "accel", axis, t) + 1e-6);
  }
}

static double most_of(const json_t *strain, const char *kind) {
  double most = 0;
  for (size_t axis = 0; axis < AXIS_COUNT; axis++) {
    const json_t *bins = json_array_get(json_object_get(strain, kind), axis);
    for (size_t i = 0; i < json_array_size(bins); i++)
      most = fmax(most, number(bins, i));
  }
  return most;
}

static double check_share(const struct verdict *verdict, const char *name) {
  for (size_t i = 0; i < verdict->result_count; i++)
    if (strcmp(verdict->results[i].name, name) == 0)
      return verdict->results[i].worst / verdict->results[i].limit;
  return -1;
}

/* Nothing lies above the bins, and their highest is what the check found. */
static void test_bins_hide_no_peak(void **state) {
  (void)state;
  struct random random = {2606};
  print_message("seed %d\n", 2606);
  struct paged made = paged_make("programs/keyway_track.lay");
  json_t *strain = paged_data(&made, "strain-data");
  const struct motion *motion = made.outcome.motion;
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece))
      for (int k = 0; k < 40; k++)
        below_bins(strain, &piece, motion->plan->job->cell,
                   random_between(&random, piece.t0, piece.t1));
    piece_iter_release(&iter);
  }
  const struct verdict *verdict = made.outcome.verdict;
  assert_close(most_of(strain, "speed"), 1000 * check_share(verdict, "axis-speed"), 6, 0);
  assert_close(most_of(strain, "accel"), 1000 * check_share(verdict, "axis-accel"), 6, 0);
  json_decref(strain);
  paged_end(&made);
}

/* Thickness over depth as the chart has it: mean never under least, and in the middle of the band
 * the valley floors are those that the check of thickness goes by. */
static void test_profile_of_thickness(void **state) {
  (void)state;
  struct paged made = paged_make("programs/valve_bore.lay");
  json_t *scene = paged_data(&made, "scene-data");
  const json_t *overlay = json_array_get(json_object_get(scene, "overlays"), 0);
  const json_t *profile = json_object_get(overlay, "profile");
  const json_t *middle = json_array_get(profile, json_array_size(profile) / 2);
  double worst = -1;
  for (size_t i = 0; i < json_array_size(profile); i++)
    assert_true(number(json_array_get(profile, i), 2) >= number(json_array_get(profile, i), 1));
  for (size_t i = 0; i < made.outcome.verdict->result_count; i++)
    if (strcmp(made.outcome.verdict->results[i].name, "thickness") == 0)
      worst = made.outcome.verdict->results[i].worst;
  assert_close(number(middle, 0), 38, 0.2, 0);
  assert_close(number(middle, 3), worst, 1e-6, 0);
  json_decref(scene);
  paged_end(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_motion_rings),      cmocka_unit_test(test_motion_racetrack_with_zones),
      cmocka_unit_test(test_motion_outline),    cmocka_unit_test(test_motion_two_hours),
      cmocka_unit_test(test_motion_sway),       cmocka_unit_test(test_values_of_rows),
      cmocka_unit_test(test_bins_hide_no_peak), cmocka_unit_test(test_profile_of_thickness)};
  return cmocka_run_group_tests_name("report data", tests, NULL, NULL);
}
