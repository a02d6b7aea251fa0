/* The judge takes rows many at a time: a fault must be found in whichever of them it is.  One row
 * in sixty-seven of a sound stream is made faulty, so that every place within any power of two of
 * rows has its turn, the borders and the last rows too, and the faults are counted. */
#include "cli/program.h"
#include "cli/stream_move.h"

#include "cli/one_folder.h"

enum { APART = 67 };

struct kind {
  const char *name, *check;
  const char *phases; /* rows that are changed, well within their phase */
  void (*change)(struct edit_row *row);
  size_t faults; /* that one of them makes */
};

static void more_current(struct edit_row *row) {
  edit_shift(row, FIELD_CURRENT, 0.1, 1);
}

static void less_wire(struct edit_row *row) {
  edit_shift(row, FIELD_WIRE, -0.001, 3);
}

static void more_voltage(struct edit_row *row) {
  edit_shift(row, FIELD_VOLTAGE, 0.01, 2);
}

static void no_gas(struct edit_row *row) {
  edit_set(row, FIELD_GAS, "0");
}

static void next_lap(struct edit_row *row) {
  edit_shift(row, FIELD_LAP, 1, 0);
}

static void other_line(struct edit_row *row) {
  edit_shift(row, FIELD_LINE, 1, 0);
}

static void lower(struct edit_row *row) {
  edit_shift(row, FIELD_Z, -0.0012, 6);
}

static void turned(struct edit_row *row) {
  edit_shift(row, FIELD_HEAD, 20, 6);
}

/* About its tip, which stays; the reach is that of shop.lay. */
static void leans(struct edit_row *row) {
  static const double REACH = 40, LEAN = 5;
  double from = atof(row->fields[FIELD_HEAD]) * DEGREE, to = from + LEAN * DEGREE;
  edit_shift(row, FIELD_X, REACH * (cos(from) - cos(to)), 6);
  edit_shift(row, FIELD_Y, REACH * (sin(from) - sin(to)), 6);
  edit_shift(row, FIELD_HEAD, LEAN, 6);
}

static void aside(struct edit_row *row) {
  edit_shift(row, FIELD_X, 0.07, 6);
}

/* Toward the wall, whichever side is nearer; the bore's axis is at x = 10 mm. */
static void far_aside(struct edit_row *row) {
  edit_shift(row, FIELD_X, atof(row->fields[FIELD_X]) < 10 ? -50 : 50, 6);
}

static void a_little(struct edit_row *row) {
  edit_shift(row, FIELD_Y, 0.000002, 6);
}

static const struct kind KINDS[] = {
    {"current", "setpoints", "weld", more_current, 1},
    {"wire", "setpoints", "weld", less_wire, 1},
    {"voltage", "setpoints", "weld", more_voltage, 1},
    {"gas out before and after the arc", "setpoints", "preflow postflow", no_gas, 1},
    {"lap", "order", "weld", next_lap, 1},
    {"line in a run", "order", "weld", other_line, 1},
    {"line in a move", "order", "move", other_line, 1},
    {"the tip too deep", "tip-path", "weld", lower, 1},
    {"the head turned", "torch-angle", "weld", turned, 1},
    {"the torch leans about its tip", "torch-angle", "weld", leans, 1},
    {"a step aside", "axis-jerk", "weld", aside, 4},
    {"the stem at the wall", "clearance", "weld", far_aside, 2},
    {"moves where it stands", "order", "preflow postflow wait", a_little, 2},
};

/* The row's phase lasts from 120 rows before it, or from its beginning in a short one, to 5 after.
 */
static bool is_within(const struct edit *edit, size_t i, const char *phases) {
  const char *phase = edit->rows[i].fields[FIELD_PHASE];
  size_t before = strcmp(phase, "weld") == 0 ? 120 : 5;
  if (edit_is(&edit->rows[i], FIELD_OVERLAY, "0") || !strstr(phases, phase) || i < before ||
      i + 5 >= edit->count)
    return false;
  for (size_t k = i - before; k <= i + 5; k++)
    if (!edit_is(&edit->rows[k], FIELD_PHASE, phase))
      return false;
  return true;
}

/* Rows of runs are many enough for one in APART; of short phases every eighth is taken. */
static size_t change_rows(struct edit *edit, const struct kind *kind) {
  size_t changed = 0, apart = strstr(kind->phases, "weld") ? APART : 9;
  for (size_t i = apart; i < edit->count; i++) {
    if (!is_within(edit, i, kind->phases))
      continue;
    kind->change(&edit->rows[i]);
    changed++;
    i += apart - 1;
  }
  return changed;
}

static void judge(const char *stream, const struct kind *kind, size_t faults) {
  char line[100];
  snprintf(line, sizeof line, "verify --json %s --job @bore.lay", stream);
  int status = program_run(program, line);
  if (status != 1)
    fail_msg("%s: status %d, %s", stream, status, program->err);
  size_t found = judged_faults(program->out, kind->check);
  if (found != faults)
    fail_msg("%s: %zu faults of %s are found, %zu are there", stream, found, kind->check, faults);
}

static void test_kind(void **state) {
  const struct kind *kind = *state;
  char path[1400];
  assert_int_equal(program_run(program, "compile -q @bore.lay -o a.csv"), 0);
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  size_t changed = change_rows(&edit, kind);
  assert_in_range(changed, 20, edit.count);
  edit_write(&edit, path, false);
  edit_close(&edit);
  judge("a.csv", kind, changed * kind->faults);
  assert_int_equal(program_run(program, "convert a.csv a.spt"), 0);
  judge("a.spt", kind, changed * kind->faults);
}

/* -- faults that go on from row to row, which themselves all look alike ------------------------ */

static size_t faults_in(const char *stream, const char *job, const char *check) {
  char line[100];
  snprintf(line, sizeof line, "verify --json %s --job @%s", stream, job);
  assert_int_equal(program_run(program, line), 1);
  return judged_faults(program->out, check);
}

/* The arc runs through a zone of 20 deg at 60 mm and a margin of 2 mm to either side, in two rings,
 * at 3 mm/s, which is 0.06 mm in each row. */
static void test_through_a_zone(void **state) {
  (void)state;
  double rows = 2 * (60 * 20 * 3.14159265358979323846 / 180 + 2 * 2) / 0.06;
  assert_int_equal(program_run(program, "compile -q @zoned.lay --set from=80deg -o a.spt"), 0);
  assert_in_range(faults_in("a.spt", "zoned.lay", "arc-zones"), rows - 2, rows + 4);
}

static bool is_weld(const struct edit_row *row, const char *overlay, const char *lap) {
  return edit_is(row, FIELD_PHASE, "weld") && edit_is(row, FIELD_OVERLAY, overlay) &&
         edit_is(row, FIELD_LAP, lap);
}

/* Within a run of a spiral the second lap is told 500 rows too late. */
static void test_late_lap(void **state) {
  (void)state;
  char path[1400];
  assert_int_equal(program_run(program, "compile -q @port.lay -o a.csv"), 0);
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  size_t i = 1, changed = 0;
  while (i < edit.count &&
         !(is_weld(&edit.rows[i - 1], "1", "1") && is_weld(&edit.rows[i], "1", "2")))
    i++;
  for (; i < edit.count && changed < 500 && is_weld(&edit.rows[i], "1", "2"); i++, changed++)
    edit_set(&edit.rows[i], FIELD_LAP, "1");
  assert_int_equal(changed, 500);
  edit_write(&edit, path, false);
  edit_close(&edit);
  assert_in_range(faults_in("a.csv", "port.lay", "order"), 1, 500);
  assert_non_null(strstr(program->err, "lap 1 is told where lap 2 is due"));
}

/* Voltage control that is on stays on over the steps: 0.06 mm a row, and at either end of a step
 * the rows within 0.01 mm may have it.  later: rows that stand at the start, so that the steps lie
 * elsewhere in the judge's blocks. */
static void judge_control_on_steps(size_t later) {
  char path[1400];
  assert_int_equal(program_run(program, "compile -q @steps.lay -o a.csv"), 0);
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  size_t changed = 0;
  struct edit_row *first = edit_open_up(&edit, 0, later);
  for (size_t i = 0; i < later; i++)
    first[i] = edit.rows[later];
  for (size_t i = 1; i < edit.count; i++) {
    bool was_on = edit_is(&edit.rows[i - 1], FIELD_AVC, "1");
    if (!edit_is(&edit.rows[i], FIELD_PHASE, "weld") || !was_on ||
        edit_is(&edit.rows[i], FIELD_AVC, "1"))
      continue;
    edit_set(&edit.rows[i], FIELD_AVC, "1");
    changed++;
  }
  edit_write(&edit, path, false);
  edit_close(&edit);
  assert_in_range(changed, 100, edit.count);
  size_t found = faults_in("a.csv", "steps.lay", "setpoints");
  assert_in_range(found, changed - 4, changed);
}

static void test_control_on_steps(void **state) {
  (void)state;
  for (size_t later = 0; later < 128; later += 17)
    judge_control_on_steps(later);
}

/* The pool stands in the middle of a run for longer than the judge remembers: all of its windows
 * are told, whatever comes after, and the rows before and behind it hold. */
static void test_long_stop(void **state) {
  (void)state;
  enum { STAYS = 3000 };
  char path[1400];
  assert_int_equal(program_run(program, "compile -q @bore.lay -o a.csv"), 0);
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  size_t at = edit_find(&edit, 0, "weld", "1", "2") + 2000;
  struct edit_row *rows = edit_open_up(&edit, at, STAYS);
  for (size_t i = 0; i < STAYS; i++)
    rows[i] = rows[-1];
  edit_write(&edit, path, false);
  edit_close(&edit);
  /* 0.5 mm take 8.3 rows: windows that open so far before the stop close behind it */
  assert_in_range(faults_in("a.csv", "bore.lay", "travel-speed"), STAYS + 7, STAYS + 10);
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(KINDS) + 4];
  for (size_t i = 0; i < COUNT(KINDS); i++)
    tests[i] =
        (struct CMUnitTest){KINDS[i].name, test_kind, NULL, NULL, (void *)(uintptr_t)&KINDS[i]};
  tests[COUNT(KINDS)] = (struct CMUnitTest)cmocka_unit_test(test_through_a_zone);
  tests[COUNT(KINDS) + 1] = (struct CMUnitTest)cmocka_unit_test(test_late_lap);
  tests[COUNT(KINDS) + 2] = (struct CMUnitTest)cmocka_unit_test(test_control_on_steps);
  tests[COUNT(KINDS) + 3] = (struct CMUnitTest)cmocka_unit_test(test_long_stop);
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
