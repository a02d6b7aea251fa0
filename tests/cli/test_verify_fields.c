/* Whatever is changed in a row by the least that a stream can tell is found, in whichever row of
 * whichever kind of job it is: of many rows of a sound stream, far from one another and of all
 * phases, one figure each is changed, and the faults are counted, in the text and in binary.
 * MUTANTS=all goes through all programs too. */
#include "cli/stream_edit.h"

#include <math.h>

#include "cli/program.h"

#include "cli/one_folder.h"

struct kind {
  const char *name, *phases, *check;
  enum field field;
  double by;
  int decimals;
  double least; /* faults that one of them makes */
};

static const struct kind KINDS[] = {
    /* in a slope half a last decimal may be asked for: then either is right */
    {"current up", "upslope weld downslope", "setpoints", FIELD_CURRENT, 0.1, 1, 0.99},
    {"current down", "upslope weld downslope", "setpoints", FIELD_CURRENT, -0.1, 1, 0.99},
    {"voltage up", "upslope weld downslope", "setpoints", FIELD_VOLTAGE, 0.01, 2, 1},
    {"voltage down", "upslope weld downslope", "setpoints", FIELD_VOLTAGE, -0.01, 2, 1},
    {"wire up", "weld downslope", "setpoints", FIELD_WIRE, 0.001, 3, 1},
    {"wire down", "weld downslope", "setpoints", FIELD_WIRE, -0.001, 3, 1},
    {"hot wire up", "weld", "setpoints", FIELD_WIRE_CURRENT, 0.1, 1, 1},
    {"gas", "preflow postflow", "setpoints", FIELD_GAS, -1, 0, 1},
    /* within 0.01 mm of a step's end either is right */
    {"voltage control", "weld", "setpoints", FIELD_AVC, 0, 0, 0.99},
    {"layer", "all", "order", FIELD_LAYER, 1, 0, 1},
    {"lap", "all", "order", FIELD_LAP, 1, 0, 1},
    {"line", "all", "order", FIELD_LINE, 1, 0, 1},
    {"x", "upslope weld downslope", "axis-jerk", FIELD_X, 0.025, 6, 1},
    {"y", "upslope weld downslope", "axis-jerk", FIELD_Y, -0.025, 6, 1},
    {"z", "upslope weld downslope", "axis-jerk", FIELD_Z, 0.025, 6, 1},
    {"head", "upslope weld downslope", "axis-jerk", FIELD_HEAD, 0.05, 6, 1},
    {"x where it stands", "preflow upslope postflow wait", "order", FIELD_X, 0.000002, 6, 1},
    {"head where it stands", "preflow upslope postflow wait", "order", FIELD_HEAD, -0.000002, 6, 1},
};

enum { APART = 53 };

static bool is_wire_kind(const struct kind *kind) {
  return kind->field == FIELD_WIRE || kind->field == FIELD_WIRE_CURRENT;
}

/* A reader would refuse the stream as such, or it would still be right. */
static bool can_change(const struct edit *edit, size_t i, const struct kind *kind) {
  const struct edit_row *row = &edit->rows[i];
  const char *phase = row->fields[FIELD_PHASE];
  double value = atof(row->fields[kind->field]);
  bool is_in = strcmp(kind->phases, "all") == 0 || strstr(kind->phases, phase);
  if (!is_in || edit_is(row, FIELD_OVERLAY, "0") || i < 4 || i + 4 >= edit->count)
    return false;
  if (is_wire_kind(kind))
    return atof(row->fields[FIELD_WIRE]) != 0 && value + kind->by != 0;
  /* the labels of the moves to a run begin with the first of them; there another run's may stand */
  bool is_label = kind->field == FIELD_LAP || kind->field == FIELD_LAYER;
  if (is_label && strcmp(edit->rows[i - 1].fields[FIELD_PHASE], phase) != 0)
    return false;
  return value + kind->by >= 0 || kind->field <= FIELD_HEAD;
}

static size_t change_rows(struct edit *edit, const struct kind *kind) {
  size_t changed = 0;
  for (size_t i = 0; i < edit->count; i++) {
    struct edit_row *row = &edit->rows[i];
    if (!can_change(edit, i, kind))
      continue;
    if (kind->field == FIELD_AVC)
      edit_set(row, FIELD_AVC, edit_is(row, FIELD_AVC, "0") ? "1" : "0");
    else
      edit_shift(row, kind->field, kind->by, kind->decimals);
    changed++;
    i += APART - 1;
  }
  return changed;
}

static void judge(const char *stream, const char *job, const struct kind *kind, size_t changed) {
  char line[1700];
  snprintf(line, sizeof line, "verify --json %s --job %s", stream, job);
  if (program_run(program, line) != 1)
    fail_msg("%s of %s, %s: it holds, or is no stream: %s", kind->name, job, stream, program->err);
  size_t found = judged_faults(program->out, kind->check);
  if ((double)found < kind->least * (double)changed)
    fail_msg("%s of %s, %s: %zu rows are changed, %zu faults of %s are found", kind->name, job,
             stream, changed, found, kind->check);
}

static void judge_job(const char *job) {
  char line[1700], path[1400];
  snprintf(line, sizeof line, "compile -q %s -o plain.csv", job);
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", job, program->err);
  for (size_t k = 0; k < sizeof KINDS / sizeof KINDS[0]; k++) {
    path_in(path, program, "plain.csv");
    struct edit edit = edit_open(path);
    size_t changed = change_rows(&edit, &KINDS[k]);
    path_in(path, program, "a.csv");
    edit_write(&edit, path, false);
    edit_close(&edit);
    if (changed == 0)
      continue;
    judge("a.csv", job, &KINDS[k], changed);
    assert_int_equal(program_run(program, "convert a.csv a.spt"), 0);
    judge("a.spt", job, &KINDS[k], changed);
  }
}

static void test_job(void **state) {
  judge_job(*state);
}

/* -- all programs ------------------------------------------------------------------------------ */

static bool is_whole_job(const char *path) {
  char *text = file_read(path);
  bool is_job = text && strstr(text, "\njob \"");
  free(text);
  return is_job;
}

/* Values that sectors change are told within a range: their programs have tests of their own. */
static void test_programs(void **state) {
  (void)state;
  char path[1400];
  const char *which = getenv("MUTANTS");
  if (!which || strcmp(which, "all") != 0)
    skip();
  snprintf(path, sizeof path, "%s/../../../programs", program->jobs);
  DIR *folder = opendir(path);
  assert_non_null(folder);
  for (struct dirent *entry; (entry = readdir(folder));) {
    snprintf(path, sizeof path, "%s/../../../programs/%.200s", program->jobs, entry->d_name);
    if (!is_whole_job(path) || strstr(path, "level_bore") || strstr(path, "blind_pocket"))
      continue;
    printf("%s\n", entry->d_name);
    judge_job(path);
  }
  closedir(folder);
}

int main(void) {
  static const char *const JOBS[] = {"@bore.lay", "@judged.lay", "@port.lay", "@valleys.lay"};
  struct CMUnitTest tests[sizeof JOBS / sizeof JOBS[0] + 1];
  size_t count = 0;
  for (; count < sizeof JOBS / sizeof JOBS[0]; count++)
    tests[count] =
        (struct CMUnitTest){JOBS[count], test_job, NULL, NULL, (void *)(uintptr_t)JOBS[count]};
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_programs);
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
