/* Which temperature a layer's cooling time starts from, and one from which it cannot. */
#include "support/case_run.h"
#include "support/plan_job.h"

struct start_row {
  const char *name;
  double preheat, interpass; /* degC; negative: not given */
  struct {
    enum cooling_start start;
    double from;
  } layers[2];
};
static const struct start_row STARTS[] = {
    {"both", 150, 177, {{COOLING_FROM_PREHEAT, 150}, {COOLING_FROM_INTERPASS, 177}}},
    {"preheat alone", 150, -1, {{COOLING_FROM_PREHEAT, 150}, {COOLING_FROM_PREHEAT, 150}}},
    {"interpass alone", -1, 177, {{COOLING_FROM_ROOM, 20}, {COOLING_FROM_INTERPASS, 177}}},
    {"neither", -1, -1, {{COOLING_FROM_ROOM, 20}, {COOLING_FROM_ROOM, 20}}},
};

static void starts_from(void **state) {
  const struct start_row *row = *state;
  struct plan_job made;
  plan_job_init(&made);
  made.overlay.layer_count = 2;
  made.overlay.has_wall_thickness = true;
  made.overlay.wall_thickness = 60;
  for (size_t k = 0; k < 2; k++) {
    made.procedures[k].has_preheat = row->preheat >= 0;
    made.procedures[k].preheat = row->preheat;
    made.procedures[k].has_interpass = row->interpass >= 0;
    made.procedures[k].interpass = row->interpass;
  }
  const struct plan_layer *layers = plan_job_plan(&made)->overlays[0].layers;
  for (size_t k = 0; k < 2; k++) {
    assert_true(layers[k].has_cooling);
    assert_int_equal(layers[k].cooling.start, row->layers[k].start);
    assert_close(layers[k].cooling.from, row->layers[k].from, 0, 0);
    assert_close(layers[k].cooling.wall, 60, 0, 0);
  }
  plan_job_free(&made);
}

/* 12 V, 250 A, 200 mm/min, gas tungsten arc: 0.54 kJ/mm; figures worked elsewhere from EN 1011-2,
 * Annex D as restated: 4.2369 s in 60 mm, 9.6528 s in 8 mm, transition 12.075 mm from 150 degC. */
static void figures(void **state) {
  (void)state;
  for (int thin = 0; thin < 2; thin++) {
    struct plan_job made;
    plan_job_init(&made);
    made.procedures[0].has_preheat = made.overlay.has_wall_thickness = true;
    made.procedures[0].preheat = 150;
    made.overlay.wall_thickness = thin ? 8 : 60;
    const struct plan_cooling *cooling = &plan_job_plan(&made)->overlays[0].layers[0].cooling;
    assert_close(cooling->time, thin ? 9.6528 : 4.2369, 5.1e-5, 0);
    assert_close(cooling->three_dimensional, 4.2369, 5.1e-5, 0);
    assert_close(cooling->times.lo, cooling->time, 0, 0);
    assert_close(cooling->times.hi, cooling->time, 0, 0);
    assert_close(cooling->transition, 12.075, 5.1e-4, 0);
    assert_int_equal(cooling->is_two_dimensional, thin);
    plan_job_free(&made);
  }
}

static void not_asked(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  made.procedures[0].has_preheat = true;
  made.procedures[0].preheat = 500; /* nobody asks for a time */
  assert_false(plan_job_plan(&made)->overlays[0].layers[0].has_cooling);
  plan_job_free(&made);
}

static void qualified_heat(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  assert_false(plan_job_plan(&made)->overlays[0].layers[0].has_qualified_heat);
  made.procedures[0].has_limit[LIMIT_CURRENT] = true;
  made.procedures[0].limit[LIMIT_CURRENT] = (struct range){200, 300};
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  assert_true(layer->has_qualified_heat); /* 12 V, 200 mm/min, k 0.6 */
  assert_close(layer->arc_energy_qualified.lo, 0.72, 0, 1e-12);
  assert_close(layer->arc_energy_qualified.hi, 1.08, 0, 1e-12);
  assert_close(layer->heat_input_qualified.hi, 0.648, 0, 1e-12);
  plan_job_free(&made);
}

/* -- along a lap ----------------------------------------------------------------------------------
 */

/* Two sectors on a round of 160 mm: level parts at U I / v worked by hand, ramps between them, once
 * round; cooling at the least and the most heat. */
static void heat_along_a_lap(void **state) {
  (void)state;
  static const char TEXT[] =
      "use \"bench.lay\"; use \"bead.lay\"\n"
      "shape bore round { diameter 160 mm }\n"
      "envelope block { free bore { depths 0 .. 140 mm } }\n"
      "overlay band {\n"
      "  wall bore; depths 20 .. 90 mm; procedure bead; overlap 45 %; wall_thickness 60 mm\n"
      "  sector low { along 100 .. 200 mm; current 150 A; ramp 10 mm }\n"
      "  sector high { along 200 .. 300 mm; travel_speed 150 mm/min; ramp 10 mm }\n"
      "}\n"
      "job \"t\" { cell bench; envelope block; safe_height 60 mm }\n";
  struct run run;
  run_begin(&run);
  run_file("job.lay", TEXT);
  run_resolve(&run, NULL, 0);
  assert_string_equal(run.text, "");
  const struct plan *plan = plan_make(run.arena, run.job, run.diags);
  assert_non_null(plan);
  const struct plan_layer *layer = &plan->overlays[0].layers[0];
  double level = 11 * 190 / (165.0 / 60) / 1000, low = 11 * 150 / (165.0 / 60) / 1000;
  double high = 11 * 190 / (150.0 / 60) / 1000, turn = 160 * 3.14159265358979323846;
  const struct {
    double from, to, before, after;
  } wanted[] = {{95, 105, level, low},  {105, 195, low, low},    {195, 205, low, high},
                {205, 295, high, high}, {295, 305, high, level}, {305, turn + 95, level, level}};
  assert_int_equal(layer->lap_heat_count, 6);
  for (size_t i = 0; i < 6; i++) {
    const struct lap_heat *heat = &layer->lap_heats[i];
    assert_close(heat->from, wanted[i].from, 1e-9, 0);
    assert_close(heat->to, wanted[i].to, 1e-9, 0);
    assert_int_equal(heat->is_ramp, i % 2 == 0);
    assert_close(heat->before, wanted[i].before, 0, 1e-12);
    assert_close(heat->after, wanted[i].after, 0, 1e-12);
    assert_true(heat->all.lo <= fmin(heat->before, heat->after));
    assert_true(heat->all.hi >= fmax(heat->before, heat->after));
  }
  assert_close(layer->arc_energies.lo, low, 0, 1e-12);
  assert_close(layer->arc_energies.hi, high, 0, 1e-12);
  /* thick metal: in proportion to the heat */
  assert_close(layer->cooling.times.lo / layer->cooling.times.hi, low / high, 0, 1e-12);
  assert_true(layer->cooling.time > layer->cooling.times.lo);
  assert_true(layer->cooling.time < layer->cooling.times.hi);
  run_end(&run);
}

/* -- refused, whole texts ------------------------------------------------------------------------
 */

static void told_is(const char *procedure, const char *overlay, const char *want) {
  struct run run;
  char text[1024];
  snprintf(text, sizeof text,
           "use \"bench.lay\"; use \"bead.lay\"\n"
           "procedure warm like bead { %s }\n"
           "shape bore round { diameter 160 mm }\n"
           "envelope block { free bore { depths 0 .. 140 mm } }\n"
           "overlay band {\n"
           "  wall bore; depths 20 .. 90 mm; procedure warm; overlap 45 %%\n"
           "  %s\n"
           "}\n"
           "job \"t\" { cell bench; envelope block; safe_height 60 mm }\n",
           procedure, overlay);
  run_begin(&run);
  run_file("job.lay", text);
  run_resolve(&run, NULL, 0);
  assert_string_equal(run.text, "");
  const struct plan *plan = plan_make(run.arena, run.job, run.diags);
  free(run.text);
  size_t size;
  FILE *to = open_memstream(&run.text, &size);
  diag_print(run.diags, to);
  fclose(to);
  assert_string_equal(run.text, want);
  assert_int_equal(plan == NULL, *want != '\0');
  run_end(&run);
}

static void too_hot(void **state) {
  (void)state;
  told_is("preheat 500 degC", "wall_thickness 60 mm",
          "job.lay:2:36: error[E0610]: preheat of procedure `warm` is 500 degC: from there nothing "
          "cools from 800 to 500 degC\n"
          "    2 | procedure warm like bead { preheat 500 degC }\n"
          "      |                                    ^~~~~~~~\n"
          "job.lay:7:18: note: wall_thickness asks for that cooling time\n"
          "    7 |   wall_thickness 60 mm\n"
          "      |                  ^~~~~\n"
          "help: give a temperature below 500 degC, or leave wall_thickness out\n");
  told_is("preheat 499 degC; interpass 932.1 degF", "wall_thickness 60 mm; layers 2",
          "job.lay:2:56: error[E0610]: interpass of procedure `warm` is 500.056 degC: from there "
          "nothing cools from 800 to 500 degC\n"
          "    2 | procedure warm like bead { preheat 499 degC; interpass 932.1 degF }\n"
          "      |                                                        ^~~~~~~~~~\n"
          "job.lay:7:18: note: wall_thickness asks for that cooling time\n"
          "    7 |   wall_thickness 60 mm; layers 2\n"
          "      |                  ^~~~~\n"
          "help: give a temperature below 500 degC, or leave wall_thickness out\n");
  told_is("preheat 499 degC; interpass 600 degC", "wall_thickness 60 mm", "");
  told_is("preheat 600 degC", "", "");
}

enum { START_COUNT = sizeof STARTS / sizeof STARTS[0] };

int main(void) {
  struct CMUnitTest tests[START_COUNT + 5] = {
      cmocka_unit_test(figures),          cmocka_unit_test(not_asked),
      cmocka_unit_test(qualified_heat),   cmocka_unit_test(too_hot),
      cmocka_unit_test(heat_along_a_lap),
  };
  for (size_t k = 0; k < START_COUNT; k++)
    tests[5 + k] = (struct CMUnitTest){.name = STARTS[k].name,
                                       .test_func = starts_from,
                                       .initial_state = (void *)(uintptr_t)&STARTS[k]};
  return cmocka_run_group_tests_name("cooling of layers", tests, NULL, NULL);
}
