/* Points as table and CSV, whole texts; points of outcomes. */
#include "borelay/grid.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support/told.h"

static const char *const SIZES[] = {"84mm", "100mm"};
static const char *const LAYERS[] = {"1", "2"};

/* Four points: passed; refused with figures; refused alike; refused before any. */
static void points_make(struct grid_point points[4]) {
  double none = (double)NAN;
  points[0] = (struct grid_point){.passed = true,
                                  .failed = "",
                                  .why = "",
                                  .layers = 1,
                                  .laps = 6,
                                  .starts = 6,
                                  .thickness = 2.5,
                                  .flat = 2.25,
                                  .iron = 0.12,
                                  .arc_energy = 0.8344,
                                  .heat_input = 0.50066,
                                  .cooling_least = 3.9,
                                  .cooling_most = 4.1,
                                  .duration = 600,
                                  .arc_time = 480,
                                  .wire_length_m = 20,
                                  .wire_mass_kg = 0.2,
                                  .gas_l = 150};
  points[1] = points[0];
  points[1].passed = false;
  points[1].failed = "torch-clearance";
  points[1].why = "bore.lay:2:1: check torch-clearance does not hold: 1 mm at 2.000 s, limit 2 mm; "
                  "torch to the wall of \"bore\", a long way down";
  points[1].iron = none;
  points[2] = points[1];
  points[3] = (struct grid_point){.failed = "E0503",
                                  .why = "bore.lay:9:3: layer 2 lies too far in",
                                  .layers = -1,
                                  .laps = -1,
                                  .starts = -1,
                                  .thickness = none,
                                  .flat = none,
                                  .iron = none,
                                  .arc_energy = none,
                                  .heat_input = none,
                                  .cooling_least = none,
                                  .cooling_most = none,
                                  .duration = none,
                                  .arc_time = none,
                                  .wire_length_m = none,
                                  .wire_mass_kg = none,
                                  .gas_l = none};
}

static void given_is(void (*give)(const struct grid *, const struct grid_point *, FILE *),
                     const char *want) {
  struct vary varies[] = {{"size", (const char **)(uintptr_t)SIZES, 2},
                          {"layers", (const char **)(uintptr_t)LAYERS, 2}};
  struct grid grid = {"bore.lay", varies, 2};
  struct grid_point points[4];
  points_make(points);
  char *got = NULL;
  size_t size = 0;
  FILE *to = open_memstream(&got, &size);
  give(&grid, points, to);
  fclose(to);
  assert_string_equal(got, want);
  free(got);
}

static void table(void **state) {
  (void)state;
  given_is(
      grid_print,
      "bore.lay: 1 of 4 points passes\n"
      "\n"
      "   size  layers           failed first    layers  laps thickness    iron     heat     time  "
      "   wire\n"
      "                                                              mm       %    kJ/mm      min  "
      "     kg\n"
      "   84mm       1  passed                        1     6     2.250  12.000   0.5007    10.00  "
      "  0.200\n"
      "   84mm       2  refused  torch-clearance      1     6     2.250       -   0.5007    10.00  "
      "  0.200\n"
      "    bore.lay:2:1: check torch-clearance does not hold: 1 mm at 2.000 s, limit 2 mm; torch "
      "to "
      "the\n"
      "    wall of \"bore\", a long way down\n"
      "  100mm       1  refused  torch-clearance      1     6     2.250       -   0.5007    10.00  "
      "  0.200\n"
      "  100mm       2  refused  E0503                -     -         -       -        -        -  "
      "      -\n"
      "    bore.lay:9:3: layer 2 lies too far in\n"
      "\n"
      "Thickness at the valley floors, iron of the last layer, heat input of the hottest; "
      "estimates "
      "from\n"
      "the geometry and the procedures as stated.  Nothing has been run on any machine.  The "
      "qualified\n"
      "procedure, local codes and licensed practice decide.\n");
}

/* RFC 4180: fields with commas or quotes are quoted, quotes in them doubled. */
static void csv(void **state) {
  (void)state;
#define FIGURES "0.8344,0.50066,3.9,4.1,600,480,20,0.2,150,"
#define WHY                                                                                        \
  "\"bore.lay:2:1: check torch-clearance does not hold: 1 mm at 2.000 s, limit 2 mm; torch to "    \
  "the "                                                                                           \
  "wall of \"\"bore\"\", a long way down\"\n"
  given_is(grid_csv,
           "size,layers,verdict,failed,layers,laps,starts,thickness_mm,flat_thickness_mm,iron,"
           "arc_energy_kj_mm,heat_input_kj_mm,t85_least_s,t85_most_s,duration_s,arc_time_s,"
           "wire_length_m,wire_mass_kg,gas_l,why\n"
           "84mm,1,passed,,1,6,6,2.5,2.25,0.12," FIGURES "\n"
           "84mm,2,failed,torch-clearance,1,6,6,2.5,2.25,," FIGURES WHY
           "100mm,1,failed,torch-clearance,1,6,6,2.5,2.25,," FIGURES WHY
           "100mm,2,failed,E0503,,,,,,,,,,,,,,,,bore.lay:9:3: layer 2 lies too far in\n");
}

/* -- points of outcomes --------------------------------------------------------------------------
 */

static void point_of_a_refused_check(void **state) {
  (void)state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "shop/bore.lay", "overlay wall {\n}\n");
  struct check_result results[3] = {{.name = "axis-speed", .judged = true, .passed = true},
                                    {.name = "clearance",
                                     .judged = true,
                                     .worst = 1.5,
                                     .limit = 2,
                                     .unit = "mm",
                                     .t = -1,
                                     .at = {file, 8, 12},
                                     .detail = "body stem"},
                                    {.name = "iron",
                                     .judged = true,
                                     .worst = 6,
                                     .limit = 5,
                                     .unit = "%",
                                     .t = -1,
                                     .at = {file, 0, 7}}};
  struct verdict verdict = {.results = results, .result_count = 3};
  verdict.quantities.duration = 600;
  refusal_tell(&verdict, NULL, told.diags);
  struct outcome outcome = {.sources = told.sources, .diags = told.diags, .verdict = &verdict};
  struct grid_point point = grid_point_of(told.arena, &outcome);
  assert_false(point.passed);
  assert_string_equal(point.failed, "clearance"); /* not the iron, which stands before it */
  assert_string_equal(point.why, "bore.lay:1:9: check clearance does not hold: 1.5 mm, limit 2 mm; "
                                 "body stem");
  assert_close(point.duration, 600, 0, 0);
  assert_int_equal(point.layers, -1);
  assert_true(isnan(point.iron));
  told_end(&told);
}

static void point_of_an_error(void **state) {
  (void)state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "bore.lay", "overlay wall {\n}\n");
  diag_warning(told.diags, DIAG_BAND_DIVIDES_BADLY, (span){file, 0, 1}, "laps crowd");
  diag_error(told.diags, DIAG_BAND_NARROW, (span){file, 8, 12}, "too narrow");
  struct outcome outcome = {.sources = told.sources, .diags = told.diags};
  struct grid_point point = grid_point_of(told.arena, &outcome);
  assert_string_equal(point.failed, "E0500");
  assert_string_equal(point.why, "bore.lay:1:9: too narrow");
  assert_true(isnan(point.duration) && point.starts == -1);
  point = grid_point_unread(told.arena, "gone.lay", 2);
  assert_string_equal(point.failed, "unreadable");
  assert_string_equal(point.why, "cannot read gone.lay: No such file or directory");
  told_end(&told);
}

/* Two overlays: the least thickness, the most iron and heat. */
static void figures_of_a_plan(void **state) {
  (void)state;
  struct told told = told_begin();
  struct plan_layer low[2] = {{.laps = 6, .has_iron = true, .iron = 0.12},
                              {.laps = 5, .has_iron = true, .iron = 0.016}};
  struct plan_layer high[1] = {{.laps = 3, .has_iron = true, .iron = 0.05}};
  low[0].heat_inputs = (struct range){0.4, 0.5};
  low[1].heat_inputs = (struct range){0.4, 0.4};
  high[0].heat_inputs = (struct range){0.3, 0.45};
  low[0].has_cooling = low[1].has_cooling = true;
  low[0].cooling.times = (struct range){3.9, 4.1};
  low[1].cooling.times = (struct range){4.0, 4.2};
  struct plan_overlay overlays[2] = {
      {.layers = low, .layer_count = 2, .thickness_true = 5, .thickness_flat = 4.5},
      {.layers = high, .layer_count = 1, .thickness_true = 2.5, .thickness_flat = 2.5}};
  struct plan plan = {.overlays = overlays, .overlay_count = 2};
  struct verdict verdict = {.passed = true};
  verdict.quantities.whole.starts = 14;
  struct outcome outcome = {
      .sources = told.sources, .diags = told.diags, .plan = &plan, .verdict = &verdict};
  struct grid_point point = grid_point_of(told.arena, &outcome);
  assert_true(point.passed);
  assert_string_equal(point.why, "");
  assert_int_equal(point.layers, 3);
  assert_int_equal(point.laps, 14);
  assert_int_equal(point.starts, 14);
  assert_close(point.thickness, 2.5, 0, 0);
  assert_close(point.flat, 2.5, 0, 0);
  assert_close(point.iron, 0.05, 0, 0);
  assert_close(point.heat_input, 0.5, 0, 0);
  assert_close(point.cooling_least, 3.9, 0, 0);
  assert_close(point.cooling_most, 4.2, 0, 0);
  told_end(&told);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(table),
      cmocka_unit_test(csv),
      cmocka_unit_test(point_of_a_refused_check),
      cmocka_unit_test(point_of_an_error),
      cmocka_unit_test(figures_of_a_plan),
  };
  return cmocka_run_group_tests_name("grid given out", tests, NULL, NULL);
}
