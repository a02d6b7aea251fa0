/* The table's parts that go run by run and lap by lap, by whole texts. */
#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "emit/table_runs.h"
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

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(starts_and_stops),
      cmocka_unit_test(bare_lengths),
      cmocka_unit_test(nothing_bare),
      cmocka_unit_test(many_laps),
  };
  return cmocka_run_group_tests_name("table", tests, NULL, NULL);
}
