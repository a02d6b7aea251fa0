/* What a stream was made from: the layouts of docs/stream-format.md. */
#include "support/close.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/digest.h"

static struct axis_limits axis_of(double lo, double hi, double speed, double accel, double jerk) {
  return (struct axis_limits){.travel = {lo, hi}, .speed = speed, .accel = accel, .jerk = jerk};
}

static const double DEGREE = 0.017453292519943295;

static void test_cell_text(void **state) {
  (void)state;
  struct capsule guard = {
      .name = "wire_guide", .from = {14, -12, -300}, .to = {34, -14, -332}, .radius = 5};
  struct body body = {.name = "lower", .radius = 26, .heights = {-350, 0}};
  struct keep_out boxes[] = {{.name = "fence", .lo = {-900, 700.5, 0}, .hi = {900, 760, 2000}},
                             {.name = "column", .lo = {-300, -450, 0}, .hi = {-150, -300, 3000}}};
  struct cell cell = {
      .name = "bay",
      .tick = 0.008,
      .tick_us = 8000,
      .park = {150, -250, 1050},
      .park_head = 90 * DEGREE,
      .axis = {axis_of(-900, 900, 220, 700, 7000), axis_of(-901, 901, 221, 701, 7001),
               axis_of(0, 1400, 180, 700, 7000),
               axis_of(0, 0, 72 * DEGREE, 200 * DEGREE, 2000 * DEGREE)},
      .reach = 46,
      .drop = 340,
      .electrode_extension = 8,
      .torch = {.name = "torch", .from = {0, 0, -340}, .to = {30, 0, -340}, .radius = 8},
      .wire_side = WIRE_SIDE_RIGHT,
      .guards = &guard,
      .guard_count = 1,
      .bodies = &body,
      .body_count = 1,
      .has_working_range = true,
      .range_from = {0, -1000, 700},
      .range_radius = {250, 1600},
      .keep_outs = boxes,
      .keep_out_count = 2,
      .clearance = 3,
      .torch_clearance = 1.5,
      .correction = 1};
  cell.axis[AXIS_HEAD].endless = true;
  char *text = digest_cell_text(&cell);
  assert_string_equal(
      text, "borelay cell 1\n"
            "tick 0.008000\n"
            "park 150.000000 -250.000000 1050.000000\n"
            "park_head 90.000000\n"
            "axis x -900.000000 900.000000 220.000000 700.000000 7000.000000\n"
            "axis y -901.000000 901.000000 221.000000 701.000000 7001.000000\n"
            "axis z 0.000000 1400.000000 180.000000 700.000000 7000.000000\n"
            "axis head endless 72.000000 200.000000 2000.000000\n"
            "torch 46.000000 340.000000 8.000000\n"
            "torch_body 8.000000 0.000000 0.000000 -340.000000 30.000000 0.000000 -340.000000\n"
            "wire_side right\n"
            "guard 5.000000 14.000000 -12.000000 -300.000000 34.000000 -14.000000 -332.000000\n"
            "body 26.000000 -350.000000 0.000000\n"
            "working_range 0.000000 -1000.000000 700.000000 250.000000 1600.000000\n"
            "keep_out -900.000000 700.500000 0.000000 900.000000 760.000000 2000.000000\n"
            "keep_out -300.000000 -450.000000 0.000000 -150.000000 -300.000000 3000.000000\n"
            "clearance 3.000000\n"
            "torch_clearance 1.500000\n"
            "correction 1.000000\n");
  free(text);
  char before[SHA256_TEXT_SIZE], after[SHA256_TEXT_SIZE];
  assert_true(digest_cell(&cell, before));
  cell.name = "another_name"; /* a name is no value */
  cell.keep_outs[1].name = "pillar";
  assert_true(digest_cell(&cell, after));
  assert_string_equal(before, after);
  cell.bodies[0].radius = 26.000001;
  assert_true(digest_cell(&cell, after));
  assert_string_not_equal(before, after);
  cell.bodies[0].radius = 26;
  cell.keep_outs[1].hi.z = 3000.000001;
  assert_true(digest_cell(&cell, after));
  assert_string_not_equal(before, after);
}

static void expect_source(const char *const *texts, size_t count, const char *setting,
                          const char *want) {
  struct arena *arena = arena_new();
  struct source_set *sources = source_set_new(arena);
  struct job_file files[4];
  for (size_t i = 0; i < count; i++)
    files[i].file = source_add_text(sources, "x.lay", texts[i], strlen(texts[i]));
  struct job job = {
      .files = files, .file_count = count, .settings = &setting, .setting_count = setting != NULL};
  char got[SHA256_TEXT_SIZE];
  digest_source(sources, &job, got);
  arena_free(arena);
  assert_string_equal(got, want);
}

/* Wanted digests: coreutils sha256sum, with the command beside each. */
static void test_source(void **state) {
  (void)state;
  static const char *const TEXTS[] = {"job", "a used file\n"};
  /* printf '3\njob' | sha256sum */
  expect_source(TEXTS, 1, NULL, "d70311678f4028ea81c35cd2a834c8a9d72ed65cdfa42bcb1f3d75c9a9b3a606");
  /* printf '3\njob12\na used file\n' | sha256sum */
  expect_source(TEXTS, 2, NULL, "2cb00ba8036604f915d3d6eb9535eef5395d0cda2d45761be715b5202848278c");
  /* printf '3\njobsize=3 in\n' | sha256sum */
  expect_source(TEXTS, 1, "size=3 in",
                "439013d0f59d5be36b2acd13ef97303581789919325a16fa71b17d35e4e6147d");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_cell_text),
      cmocka_unit_test(test_source),
  };
  return cmocka_run_group_tests_name("emit digest", tests, NULL, NULL);
}
