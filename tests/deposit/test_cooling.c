/* Cooling time from 800 to 500 degC, and the heat that qualified ranges leave room for. */
#include "borelay/deposit.h"

#include <math.h>

#include "support/close.h"

static const double PI = 3.14159265358979323846;

/* Figures worked out elsewhere from the formulas of EN 1011-2, Annex D, as restated by open pages
 * that cite the standard (no page with a worked number was found): Q in kJ/mm with the efficiency
 * in it, preheat or interpass in degC, plate in mm; times in s to four decimals. */
struct cooling_row {
  const char *name;
  double heat, from, thickness;
  double three, two, transition;
};
static const struct cooling_row COOLING[] = {
    {"1.00 kJ/mm, 20 degC, 50 mm", 1.00, 20, 50, 5.2885, 0.4545, 14.659},
    {"0.54 kJ/mm, 150 degC, 60 mm", 0.54, 150, 60, 4.2369, 0.1716, 12.075},
    {"0.54 kJ/mm, 20 degC, 60 mm", 0.54, 20, 60, 2.8558, 0.0920, 10.772},
    {"0.90 kJ/mm, 150 degC, 80 mm", 0.90, 150, 80, 7.0615, 0.2681, 15.589},
    {"1.50 kJ/mm, 100 degC, 30 mm", 1.50, 100, 30, 9.9643, 4.0724, 19.179},
    {"1.00 kJ/mm, 20 degC, 10 mm", 1.00, 20, 10, 5.2885, 11.3636, 14.659},
    {"0.54 kJ/mm, 150 degC, 8 mm", 0.54, 150, 8, 4.2369, 9.6528, 12.075},
};

static void cooling_follows_annex_d(void **state) {
  const struct cooling_row *row = *state;
  struct cooling_time time = cooling_time_find(row->heat, row->from, row->thickness);
  assert_close(time.three_dimensional, row->three, 5.1e-5, 0);
  assert_close(time.two_dimensional, row->two, 5.1e-5, 0);
  assert_close(time.transition, row->transition, 5.1e-4, 0);
  assert_int_equal(time.is_two_dimensional, row->two > row->three);
  assert_close(time.governing, fmax(row->three, row->two), 5.1e-5, 0);
}

/* The other way round: 10 s from 150 degC in thick metal ask for 1.274509804 kJ/mm. */
static void heat_for_a_time(void **state) {
  (void)state;
  assert_close(cooling_time_find(1.274509804, 150, 1000).governing, 10, 0, 1e-9);
}

static void both_agree_at_the_transition(void **state) {
  (void)state;
  for (double from = -20; from < 480; from += 13.7)
    for (double heat = 0.1; heat < 4; heat *= 1.37) {
      double at = cooling_time_find(heat, from, 20).transition;
      struct cooling_time time = cooling_time_find(heat, from, at);
      assert_close(time.two_dimensional, time.three_dimensional, 0, 1e-12);
      assert_true(cooling_time_find(heat, from, at * 0.999).is_two_dimensional);
      assert_false(cooling_time_find(heat, from, at * 1.001).is_two_dimensional);
    }
}

/* -- against the field of a moving source -------------------------------------------------------
 */

/* Rosenthal 1946, a point source on thick metal: T - T0 = q/(2 pi k R) exp(-v (R + x)/(2 a)), x
 * ahead of the source (S. Kou, Welding Metallurgy, eq. 2.9); the hottest line is that behind the
 * source.  With k = 1000/(2 pi (6700 - 5 T0)) W/(mm K) the standard's formula is that of this
 * field. */
static double field(double q, double k, double v, double a, double x) {
  return q / (2 * PI * k * fabs(x)) * exp(-v * (fabs(x) + x) / (2 * a));
}

/* How far behind the source it is `temperature`. */
static double distance_behind(double q, double k, double v, double a, double temperature) {
  double near = 1e-6, far = 1e6;
  for (int i = 0; i < 200; i++) {
    double middle = (near + far) / 2;
    if (field(q, k, v, a, -middle) > temperature)
      near = middle;
    else
      far = middle;
  }
  return near;
}

static void thick_metal_cools_as_behind_a_moving_source(void **state) {
  (void)state;
  static const double FROM[] = {20, 100, 150, 250};
  double v = 200.0 / 60, q = 0.6 * 12 * 250, a = 9.1; /* mm/s, W, mm2/s */
  for (size_t i = 0; i < sizeof FROM / sizeof *FROM; i++) {
    double k = 1000 / (2 * PI * (6700 - 5 * FROM[i]));
    double time =
        (distance_behind(q, k, v, a, 500 - FROM[i]) - distance_behind(q, k, v, a, 800 - FROM[i])) /
        v;
    assert_close(cooling_time_find(q / v / 1000, FROM[i], 1000).three_dimensional, time, 0, 1e-9);
  }
  /* and k has the figures published for it: 24.1144, 26.7487 W/(m K) */
  assert_close(1e6 / (2 * PI * 6600), 24.1144, 1e-4, 0);
  assert_close(1e6 / (2 * PI * 5950), 26.7487, 1e-4, 0);
}

/* In thin metal the line source leaves T - T0 = (Q/d) / sqrt(4 pi k c t) behind it (Rosenthal, far
 * behind; k conductivity, c heat per volume, from memory), so the time goes with (Q/d)^2 and with
 * the squares of 1/(T - T0). */
static void thin_metal_cools_as_a_line_source(void **state) {
  (void)state;
  double from = 150, heat = 0.6e3, d = 6; /* J/mm */
  double kc = 1e6 / (4 * PI * (4300 - 4.3 * from) * 1e5);
  double until[2];
  for (int i = 0; i < 2; i++) {
    double above = (i == 0 ? 800 : 500) - from, rise = heat / d / above;
    until[i] = rise * rise / (4 * PI * kc);
  }
  assert_close(cooling_time_find(heat / 1000, from, d).two_dimensional, until[1] - until[0], 0,
               1e-12);
}

/* -- qualified ranges ---------------------------------------------------------------------------
 */

/* Highest heat from the most current and voltage at the lowest speed, and the other way round (rule
 * of notes on qualifying procedures); worked by hand. */
static void qualified_ranges_span_heat(void **state) {
  (void)state;
  struct procedure p = {.current = 200, .voltage = 12, .travel_speed = 3};
  assert_close(arc_energy_qualified(&p).lo, 0.8, 0, 1e-12);
  assert_close(arc_energy_qualified(&p).hi, 0.8, 0, 1e-12);
  p.has_limit[LIMIT_CURRENT] = p.has_limit[LIMIT_TRAVEL_SPEED] = true;
  p.limit[LIMIT_CURRENT] = (struct range){180, 230};
  p.limit[LIMIT_TRAVEL_SPEED] = (struct range){2.5, 4};
  assert_close(arc_energy_qualified(&p).lo, 12 * 180 / 4e3, 0, 1e-12);
  assert_close(arc_energy_qualified(&p).hi, 12 * 230 / 2.5e3, 0, 1e-12);
  p.has_limit[LIMIT_VOLTAGE] = true;
  p.limit[LIMIT_VOLTAGE] = (struct range){10, 14};
  assert_close(arc_energy_qualified(&p).lo, 10 * 180 / 4e3, 0, 1e-12);
  assert_close(arc_energy_qualified(&p).hi, 14 * 230 / 2.5e3, 0, 1e-12);
  p.limit[LIMIT_TRAVEL_SPEED] = (struct range){0, 4};
  assert_true(isinf(arc_energy_qualified(&p).hi));
  p.limit[LIMIT_TRAVEL_SPEED] = (struct range){-1, 0};
  assert_close(arc_energy_qualified(&p).lo, 0, 0, 0);
}

enum { COOLING_COUNT = sizeof COOLING / sizeof COOLING[0] };

int main(void) {
  struct CMUnitTest tests[COOLING_COUNT + 5] = {0};
  size_t count = 0;
  for (size_t k = 0; k < COOLING_COUNT; k++)
    tests[count++] = (struct CMUnitTest){.name = COOLING[k].name,
                                         .test_func = cooling_follows_annex_d,
                                         .initial_state = (void *)(uintptr_t)&COOLING[k]};
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(heat_for_a_time);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(both_agree_at_the_transition);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(thick_metal_cools_as_behind_a_moving_source);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(thin_metal_cools_as_a_line_source);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(qualified_ranges_span_heat);
  return cmocka_run_group_tests_name("cooling", tests, NULL, NULL);
}
