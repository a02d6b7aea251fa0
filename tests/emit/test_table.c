/* The table's parts that go run by run and lap by lap, by whole texts. */
#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "emit/table_heat.h"
#include "emit/table_runs.h"
#include "emit/table_work.h"
#include "support/hand_contour.h"

/* A bore of radius 50 about (10, 0) in a part that lies turned by 30 deg, two layers. */
struct bench {
  struct arena *arena;
  struct hand_scene scene;
  struct verdict verdict;
  struct outcome outcome;
};

static void bench_begin(struct bench *bench) {
  static const double thickness[2] = {2, 2};
  static const struct range bands[2] = {{20, 60}, {20, 60}};
  *bench = (struct bench){.arena = arena_new()};
  hand_scene_begin(&bench->scene, bench->arena, 0);
  struct contour *contour = hand_round(bench->arena, "bore", (vec2){10, 0}, 50, 30 * hand_pi / 180);
  hand_overlay(&bench->scene, "wall", contour, 2, thickness, bands);
  bench->scene.plan.placement.turned = 30 * hand_pi / 180;
  bench->outcome = (struct outcome){.plan = &bench->scene.plan, .verdict = &bench->verdict};
}

static void printed_is(struct bench *bench, void (*print)(const struct outcome *, FILE *),
                       const char *want) {
  char *got = NULL;
  size_t size = 0;
  FILE *to = open_memstream(&got, &size);
  print(&bench->outcome, to);
  fclose(to);
  assert_string_equal(got, want);
  free(got);
  arena_free(bench->arena);
}

static void starts_and_stops(void **state) {
  (void)state;
  struct bench bench;
  bench_begin(&bench);
  const double right = 25 * hand_pi; /* a quarter of the wall */
  struct arc_run runs[] = {{0, 0, {1, 0, 56}, {1, right, 56}, right},
                           {0, 0, {1, 2 * right, 56}, {3, 3 * right, 52.25}, 812.5},
                           {0, 1, {1, 4 * right - 1e-9, 56}, {1, right, 56}, 400}};
  bench.verdict.runs = runs;
  bench.verdict.run_count = 3;
  printed_is(
      &bench, runs_print,
      "\n"
      "Starts and stops (mm, deg)\n"
      "  overlay wall, layer 1: 2 starts, 2 stops\n"
      "      run     lap    start s    angle     depth     lap     stop s    angle     depth      "
      "length\n"
      "        1       1       0.00     0.00     56.00       1      78.54    90.00     56.00       "
      "78.54\n"
      "        2       1     157.08   180.00     56.00       3     235.62   270.00     52.25      "
      "812.50\n"
      "  overlay wall, layer 2: 1 start, 1 stop\n"
      "      run     lap    start s    angle     depth     lap     stop s    angle     depth      "
      "length\n"
      "        1       1     314.16     0.00     56.00       1      78.54    90.00     56.00      "
      "400.00\n");
}

static void bare_lengths(void **state) {
  (void)state;
  struct bench bench;
  bench_begin(&bench);
  struct bare_length bare[] = {
      {BARE_DOWNSLOPE, 0, 0, 1, 10, 8.41}, {BARE_ZONE, 0, 0, 1, 18.41, 30},
      {BARE_DOWNSLOPE, 0, 0, 2, 10, 8.41}, {BARE_ZONE, 0, 0, 2, 18.41, 31},
      {BARE_DOWNSLOPE, 0, 0, 2, 90, 8.41}, {BARE_ZONE, 0, 0, 2, 98.41, 3.25},
      {BARE_WIRE, 0, 0, 2, 101.66, 1.5},   {BARE_ZONE, 0, 1, 5, 0, 314.16},
  };
  bench.verdict.bare = bare;
  bench.verdict.bare_count = sizeof bare / sizeof *bare;
  printed_is(&bench, bare_print,
             "\n"
             "Lengths that stay bare (mm)\n"
             "  overlay wall, layer 1\n"
             "    in zones: 3, 64.25 mm; in downslopes before these: 3, 25.23 mm; missing: 1, 1.50 "
             "mm\n"
             "    lap    1  downslope 8.41 from s 10.00;  zone 30.00 from s 18.41\n"
             "    lap    2  downslope 8.41 from s 10.00;  zone 31.00 from s 18.41;  downslope 8.41 "
             "from s 90.00;\n"
             "              zone 3.25 from s 98.41;  missing 1.50 from s 101.66\n"
             "  overlay wall, layer 2\n"
             "    in zones: 1, 314.16 mm; in downslopes before these: none; missing: none\n"
             "    lap    5  zone 314.16 from s 0.00\n");
}

static void nothing_bare(void **state) {
  (void)state;
  struct bench bench;
  bench_begin(&bench);
  printed_is(&bench, bare_print, "");
}

/* A hundred laps: sixty are shown. */
static void many_laps(void **state) {
  (void)state;
  struct bench bench;
  bench_begin(&bench);
  struct bare_length bare[100];
  for (int i = 0; i < 100; i++)
    bare[i] = (struct bare_length){BARE_ZONE, 0, 0, i + 1, 0, 1};
  bench.verdict.bare = bare;
  bench.verdict.bare_count = 100;
  char *got = NULL;
  size_t size = 0, lines = 0;
  FILE *to = open_memstream(&got, &size);
  bare_print(&bench.outcome, to);
  fclose(to);
  for (const char *at = got; *at; at++)
    lines += *at == '\n';
  assert_int_equal(lines, 4 + 60 + 1);
  assert_non_null(strstr(got, "    and 40 more lengths: see the summary\n"));
  free(got);
  arena_free(bench.arena);
}

/* -- heat, and what it takes --------------------------------------------------------------------
 */

static void print_first_heat(const struct outcome *outcome, FILE *to) {
  heat_print(outcome, 0, to);
}

static void heat_of_layers(void **state) {
  (void)state;
  struct bench bench;
  bench_begin(&bench);
  struct procedure hot = {.name = "hot"}, fill = {.name = "fill"};
  struct plan_layer *layers = bench.scene.overlays[0].layers;
  bench.scene.overlays[0].layer_count = 2;
  for (int k = 0; k < 2; k++) {
    layers[k].procedure = k ? &fill : &hot;
    layers[k].arc_energy = k ? 0.77 : 0.8344;
    layers[k].heat_input = k ? 0.462 : 0.5006;
    layers[k].wire_energy = 0.0631;
    layers[k].has_qualified_heat = true;
    layers[k].arc_energy_qualified = (struct range){0.5, k ? (double)INFINITY : 1.25};
    layers[k].heat_input_qualified = (struct range){0.3, k ? (double)INFINITY : 0.75};
    layers[k].has_cooling = true;
    layers[k].cooling = k ? (struct plan_cooling){COOLING_FROM_INTERPASS,
                                                  177,
                                                  8,
                                                  4.125,
                                                  10.5,
                                                  13.25,
                                                  true,
                                                  10.5,
                                                  {10.5, 10.5}}
                          : (struct plan_cooling){
                                COOLING_FROM_ROOM, 20, 8, 3.5, 2.25, 7.5, false, 3.5, {3.25, 3.75}};
  }
  struct lap_heat lap[] = {{300, 310, true, 0.9, 0.8, {0.8, 0.9}},
                           {310, 414.15, false, 0.8, 0.8, {0.8, 0.8}}};
  layers[0].lap_heats = lap;
  layers[0].lap_heat_count = 2;
  layers[0].arc_energies = (struct range){0.8, 0.9};
  struct layer_quantities sums[2] = {{1681.16, 615.3, 6, 0}, {1584, 537, 6, 12.5}};
  struct layer_quantities *rows[1] = {sums};
  bench.verdict.quantities.layers = rows;
  struct arc_run runs[] = {{0, 0, {1, 0, 56}, {1, 0, 56}, 300},
                           {0, 1, {1, 0, 56}, {1, 0, 56}, 300}};
  struct heat_stretch on[] = {{HEAT_STANDING_START, 0, 0, 2.4, 4.1065, 0.07},
                              {HEAT_RUN_UP, 0, 0.1, 0.072, 0.168, 0.012},
                              {HEAT_TRAVEL, 0.1, 271.8, 97.08, 226.8, 17.2},
                              {HEAT_DOWNSLOPE, 271.9, 8.3, 3, 3.957, 0}};
  struct heat_stretch off[] = {{HEAT_RUN_UP, 0, 0.1, 0.072, 0.168, 0.012},
                               {HEAT_RUN_DOWN, 270, 0.1, 0.064, 0.149, 0},
                               {HEAT_STANDING_END, 270.1, 0, 3, 3.957, 0}};
  struct run_heat heats[] = {{on, 4, 1.35827, 0.46391}, {off, 3, 0.85, 1.32}};
  struct motion motion = {.mode = MODE_WELD};
  bench.outcome.motion = &motion;
  bench.verdict.runs = runs;
  bench.verdict.heats = heats;
  bench.verdict.run_count = 2;
  printed_is(
      &bench, print_first_heat,
      "  layer    arc energy   heat input  wire energy         path     arc time       bare\n"
      "                kJ/mm        kJ/mm        kJ/mm            m          min         mm\n"
      "      1        0.8344       0.5006       0.0631        1.681        10.25       0.00\n"
      "      2        0.7700       0.4620       0.0631        1.584         8.95      12.50\n"
      "  arc energy along a lap of layer 1: 0.8000 .. 0.9000 kJ/mm\n"
      "    s    300.00 ..    310.00 mm  0.9000 to 0.8000, ramp\n"
      "    s    310.00 ..    414.15 mm  0.8000\n"
      "  arc energy where the pool stands or is slower; of each layer the start that gets most\n"
      "  layer    standing start          run-up first bead          run-down     standing end "
      "last bead\n"
      "               s       kJ       s      mm      kJ/mm         s      mm       s       kJ     "
      "kJ/mm\n"
      "      1     2.40    4.106   0.072   0.100     1.3583     0.000   0.000    0.00    0.000    "
      "0.4639\n"
      "      2     0.00    0.000   0.072   0.100     0.8500     0.064   0.100    3.00    3.957    "
      "1.3200\n"
      "  cooling time t8/5, EN 1011-2 Annex D for ferritic steels, shape factors F2 = F3 = 1, wall "
      "8 mm\n"
      "  layer       t8/5  heat flow             from               three-dim.     two-dim. "
      "transition\n"
      "                 s                        degC                        s            s        "
      " mm\n"
      "      1      3.500  three-dimensional     20.0  none given        3.500        2.250       "
      "7.50\n"
      "         3.250 .. 3.750 s along a lap\n"
      "      2     10.500  two-dimensional      177.0  interpass         4.125       10.500      "
      "13.25\n"
      "  a wall thinner than the transition thickness cools in two dimensions; the longer time "
      "governs\n"
      "  the ranges of current, voltage and travel speed of hot span\n"
      "    arc energy 0.5000 .. 1.2500 kJ/mm, heat input 0.3000 .. 0.7500 kJ/mm\n"
      "  the ranges of current, voltage and travel speed of fill span\n"
      "    arc energy 0.5000 kJ/mm and more, heat input 0.3000 kJ/mm and more\n");
}

static void what_it_takes(void **state) {
  (void)state;
  struct bench bench;
  bench_begin(&bench);
  struct procedure hot = {.name = "hot"}, fill = {.name = "fill"};
  struct work low = {600, 480, 20, 0.2, 150, 3}, all = {612, 480, 20, 0.2, 150, 3};
  struct work parts[2] = {{200, 160, 8, 0.075, 50, 1}, {400, 320, 12, 0.125, 100, 2}};
  struct procedure_work procedures[2] = {{&hot, parts[0]}, {&fill, parts[1]}};
  struct cell cell = {.tick = 0.01};
  struct job job = {.cell = &cell};
  bench.outcome.job = &job;
  bench.verdict.quantities = (struct quantities){.duration = 612,
                                                 .arc_time = 480,
                                                 .rows = 61201,
                                                 .wire_length_m = 20,
                                                 .wire_mass_kg = 0.2,
                                                 .gas_l = 150,
                                                 .whole = all,
                                                 .overlays = &low,
                                                 .procedures = procedures,
                                                 .procedure_count = 2,
                                                 .afterwards = 12};
  printed_is(&bench, work_print,
             "\n"
             "Quantities\n"
             "  duration   0 h 10 min 12.0 s  (61201 rows, one each 0.01 s)\n"
             "  arc time   0 h 08 min 00.0 s\n"
             "  wire       20.00 m, 0.200 kg\n"
             "  gas        150.0 L\n"
             "                                   time arc time arc on     wire     wire      gas "
             "starts deposited\n"
             "                                    min      min      %        m       kg        L   "
             "          kg/h\n"
             "  overlay wall                    10.00     8.00   80.0    20.00    0.200    150.0   "
             "   3     1.500\n"
             "  after the last postflow          0.20\n"
             "  in all                          10.20     8.00   78.4    20.00    0.200    150.0   "
             "   3     1.500\n"
             "  procedure hot                    3.33     2.67   80.0     8.00    0.075     50.0   "
             "   1     1.688\n"
             "  procedure fill                   6.67     5.33   80.0    12.00    0.125    100.0   "
             "   2     1.406\n");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(heat_of_layers),   cmocka_unit_test(what_it_takes),
      cmocka_unit_test(starts_and_stops), cmocka_unit_test(bare_lengths),
      cmocka_unit_test(nothing_bare),     cmocka_unit_test(many_laps),
  };
  return cmocka_run_group_tests_name("table", tests, NULL, NULL);
}
