/* Streams of a torch that sways: sound ones hold, of every kind; those of a job that sways by a
 * little more, oftener, for less time or farther into a zone are found wrong by the rows alone; and
 * what is taken up again goes where the whole weld goes. */
#include "cli/program.h"
#include "cli/rows.h"
#include "cli/stream_fault.h"

#include "cli/one_folder.h"

#include <math.h>

static void run_ok(const char *line) {
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", line, program->err);
}

/* -- sound ------------------------------------------------------------------------------------- */

static void test_sound(void **state) {
  (void)state;
  static const char *const KINDS[][2] = {
      {"", ""},
      {"--rehearse", "--mode rehearsal"},
      {"--rehearse --times 4", "--mode rehearsal"},
      {"--resume overlay=ring_wall,layer=1,lap=2,along=250mm", "--mode resume"},
      {"--resume overlay=turn_wall,layer=1,lap=3,along=20mm", "--mode resume"},
      {"--set stay=0s", "--set stay=0s"},
      {"--set sway=0mm", "--set sway=0mm"},
  };
  for (size_t i = 0; i < sizeof KINDS / sizeof KINDS[0]; i++) {
    char line[300];
    snprintf(line, sizeof line, "compile -q @swaying.lay -o a.spt %s", KINDS[i][0]);
    run_ok(line);
    snprintf(line, sizeof line, "verify a.spt --job @swaying.lay %s", KINDS[i][1]);
    run_ok(line);
    assert_string_equal(program->err, "");
  }
}

/* A change of speed within a crossing asks more of axis z than the speed itself: ramps leave it
 * room. */
static void test_two_speeds(void **state) {
  (void)state;
  run_ok("check -q @swaying_sector.lay");
}

/* Places of a run of most of a kilometre are told less finely than borders were found. */
static void test_far_on(void **state) {
  (void)state;
  run_ok("check -q @swaying_far.lay");
}

/* -- faults ------------------------------------------------------------------------------------ */

static bool is_weld(const struct edit *edit, size_t i) {
  return edit_is(&edit->rows[i], FIELD_PHASE, "weld");
}

/* All of one ring without its sway: each weld row at the height of its preflow. */
static void still(struct edit *edit) {
  char height[20] = "";
  for (size_t i = 0; i < edit->count; i++) {
    if (edit_is(&edit->rows[i], FIELD_PHASE, "preflow"))
      memcpy(height, edit->rows[i].fields[FIELD_Z], sizeof height);
    bool arc = is_weld(edit, i) || edit_is(&edit->rows[i], FIELD_PHASE, "downslope");
    if (arc && edit_is(&edit->rows[i], FIELD_OVERLAY, "1"))
      memcpy(edit->rows[i].fields[FIELD_Z], height, sizeof height);
  }
}

/* From the middle of a ring on, the sway of the rows 5 ticks before. */
static void late(struct edit *edit) {
  size_t from = 0;
  while (!is_weld(edit, from))
    from++;
  from += 1500;
  for (size_t i = from + 3000; i > from; i--)
    memcpy(edit->rows[i].fields[FIELD_Z], edit->rows[i - 5].fields[FIELD_Z],
           sizeof edit->rows[i].fields[FIELD_Z]);
}

static const struct fault FAULTS[] = {
    {"0.01 mm wider to either side", "--set sway=4.02mm", NULL, "tip-path: the tip is 0.00"},
    {"oftener by one in two thousand", "--set often=0.9005Hz", NULL, "tip-path: the tip is 0."},
    {"a dwell 2 ms shorter", "--set stay=118ms", NULL, "tip-path: the tip is 0.00"},
    {"no dwell", "--set stay=0s", NULL, "tip-path: the tip is 0."},
    {"into a zone", "--set margin=0.9mm", NULL, "arc-zones: the arc is on 0."},
    {"no sway", "", still, "tip-path: the tip does not sway in this run"},
    {"late by five ticks", "", late, "for its sway: "},
};

static void test_fault(void **state) {
  fault_judge(program, "swaying.lay", *state);
}

/* -- taken up again ---------------------------------------------------------------------------- */

static struct rows stream_of(const char *line) {
  char path[1400];
  run_ok(line);
  path_in(path, program, "out.csv");
  char *text = file_read(path);
  assert_non_null(text);
  struct rows rows = rows_read(text);
  rows.end_line = NULL; /* it lies in the text */
  free(text);
  return rows;
}

static size_t last_downslope(const struct rows *rows) {
  size_t i = rows->count;
  while (i > 0 && strcmp(rows->items[i - 1].phase, "downslope") != 0)
    i--;
  assert_true(i > 0);
  return i - 1;
}

/* From the end of its first crossing on, a sway after its run-up at most. */
static void test_rest(void **state) {
  (void)state;
  struct rows weld = stream_of("compile @swaying.lay -q -o out.csv");
  struct rows rest = stream_of(
      "compile @swaying.lay -q -o out.csv --resume overlay=turn_wall,layer=1,lap=2,along=250mm");
  size_t shift = last_downslope(&weld) - last_downslope(&rest), first = 0, compared = 0;
  while (strcmp(rest.items[first].phase, "weld") != 0)
    first++;
  double tick = rest.items[1].t, period = 1 / 0.9;
  /* delay, run-up, what is left of a sway, the first crossing */
  size_t from = first + (size_t)((1 + 0.3 + period + period / 2) / tick);
  for (size_t i = from; i <= last_downslope(&rest); i++, compared++) {
    const struct row *a = &weld.items[i + shift], *b = &rest.items[i];
    double off = fmax(fmax(fabs(a->x - b->x), fabs(a->y - b->y)), fabs(a->z - b->z));
    if (off > 4e-6)
      fail_msg("row %zu is %g mm off", i, off);
    assert_string_equal(a->phase, b->phase);
  }
  assert_true(compared > 10000);
  rows_free(&weld);
  rows_free(&rest);
}

/* The path of a rehearsal twice as fast is that of the weld, seen from the place round the wall;
 * but for the first sways and the last, which its longer run-up and run-down may take. */
static void test_hurried(void **state) {
  (void)state;
  struct rows weld = stream_of("compile @swaying.lay -q -o out.csv");
  struct rows fast = stream_of("compile @swaying.lay -q -o out.csv --rehearse --times 2");
  assert_true(fast.count < weld.count * 7 / 10);
  size_t k = 0, compared = 0, from = 0, to = last_downslope(&fast);
  while (fast.items[from].overlay != 2 || strcmp(fast.items[from].phase, "weld") != 0)
    from++;
  for (size_t i = from + 200; i < to - 200; i++) { /* four seconds, some seven of its sways */
    const struct row *b = &fast.items[i];
    /* the head only turns on: find the rows of the weld on both sides of the same angle */
    while (k + 1 < weld.count &&
           (weld.items[k].overlay != 2 || strcmp(weld.items[k].phase, "weld") != 0 ||
            weld.items[k + 1].head <= b->head))
      k++;
    const struct row *a = &weld.items[k], *c = &weld.items[k + 1];
    if (k + 2 >= weld.count || strcmp(c->phase, "weld") != 0 || !(c->head > a->head))
      break;
    double share = (b->head - a->head) / (c->head - a->head);
    double z = a->z + share * (c->z - a->z);
    /* between rows of the weld, 20 ms apart, its straights leave the sway by 8 D/C^2 T^2/8 */
    if (share >= 0 && share <= 1) {
      double most = 4 * pow(0.02 / (0.5 / 0.9 - 0.12), 2) + 1e-4;
      if (fabs(z - b->z) > most)
        fail_msg("row %zu is %g mm off, %g are allowed", i, fabs(z - b->z), most);
      compared++;
    }
  }
  assert_true(compared > 5000);
  rows_free(&weld);
  rows_free(&fast);
}

/* -- what is said ------------------------------------------------------------------------------ */

static void test_said(void **state) {
  (void)state;
  run_ok("check @swaying.lay");
  assert_non_null(strstr(program->out, "swaying sways by 4 mm at 0.9 Hz, dwell 0.12 s: "
                                       "beads are laid 11 mm wide\n"));
  run_ok("check @swaying.lay --json");
  assert_non_null(strstr(program->out, "\"oscillation\": {"));
  assert_non_null(strstr(program->out, "\"width_mm\": 4"));
  run_ok("check @swaying.lay --set sway=0mm --json");
  assert_null(strstr(program->out, "oscillation"));
}

int main(void) {
  enum { FAULT_COUNT = sizeof FAULTS / sizeof FAULTS[0] };
  struct CMUnitTest tests[FAULT_COUNT + 6] = {
      cmocka_unit_test(test_sound), cmocka_unit_test(test_two_speeds),
      cmocka_unit_test(test_rest),  cmocka_unit_test(test_hurried),
      cmocka_unit_test(test_said),  cmocka_unit_test(test_far_on),
  };
  for (size_t i = 0; i < FAULT_COUNT; i++)
    tests[6 + i] =
        (struct CMUnitTest){FAULTS[i].name, test_fault, NULL, NULL, (void *)(uintptr_t)&FAULTS[i]};
  return cmocka_run_group_tests_name("swaying", tests, one_folder_begin, one_folder_end);
}
