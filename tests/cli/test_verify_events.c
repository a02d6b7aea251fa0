/* The order of events: every border between two phases of every run a tick sooner or later, a run
 * that is another one's, moves that lead elsewhere.  Each is found. */
#include "cli/program.h"
#include "cli/stream_edit.h"

#include "cli/one_folder.h"

static void begin_edit(const char *job, struct edit *edit) {
  char line[200], path[1400];
  snprintf(line, sizeof line, "plain_%s.csv", job);
  path_in(path, program, line);
  if (access(path, R_OK) != 0) {
    snprintf(line, sizeof line, "compile -q @%s.lay -o plain_%s.csv", job, job);
    assert_int_equal(program_run(program, line), 0);
  }
  *edit = edit_open(path);
}

/* told: one of the checks that is told, or part of what a reader says. */
static void judge(struct edit *edit, const char *job, const char *name, const char *told) {
  char line[200], path[1400];
  path_in(path, program, "a.csv");
  edit_write(edit, path, false);
  snprintf(line, sizeof line, "verify -q a.csv --job @%s.lay", job);
  if (program_run(program, line) != 1)
    fail_msg("%s: it holds", name);
  if (!strstr(program->err, told))
    fail_msg("%s: `%s` is not told in\n%s", name, told, program->err);
}

/* All but time and place. */
static void copy_process(struct edit_row *to, const struct edit_row *from) {
  memcpy(to->fields[FIELD_PHASE], from->fields[FIELD_PHASE],
         (FIELD_COUNT - FIELD_PHASE) * sizeof to->fields[0]);
}

static size_t next_border(const struct edit *edit, size_t from) {
  size_t i = from;
  while (i < edit->count &&
         strcmp(edit->rows[i].fields[FIELD_PHASE], edit->rows[i - 1].fields[FIELD_PHASE]) == 0)
    i++;
  return i;
}

static bool is_run_row(const struct edit_row *row) {
  return !edit_is(row, FIELD_PHASE, "move") && !edit_is(row, FIELD_PHASE, "wait");
}

/* Of a wait and the moves about it only that there is one is asked. */
static void test_borders(void **state) {
  const char *job = *state;
  char name[100];
  size_t borders = 0;
  struct edit whole;
  begin_edit(job, &whole);
  size_t at = next_border(&whole, 1);
  edit_close(&whole);
  for (;; borders++) {
    for (int later = 0; later < 2; later++) {
      struct edit edit;
      begin_edit(job, &edit);
      if (at < edit.count && (is_run_row(&edit.rows[at]) || is_run_row(&edit.rows[at - 1]))) {
        copy_process(&edit.rows[later ? at : at - 1], &edit.rows[later ? at - 1 : at]);
        snprintf(name, sizeof name, "%s, border %zu at row %zu, a tick %s", job, borders, at,
                 later ? "later" : "sooner");
        judge(&edit, job, name, "error: ");
      }
      edit_close(&edit);
    }
    begin_edit(job, &whole);
    size_t count = whole.count;
    at = at < count ? next_border(&whole, at + 1) : count;
    edit_close(&whole);
    if (at >= count)
      break;
  }
  assert_in_range(borders, 10, 200);
}

/* Rows of one run with the labels of another. */
static void test_labels_swapped(void **state) {
  (void)state;
  struct edit edit;
  begin_edit("bore", &edit);
  for (size_t i = 0; i < edit.count; i++) {
    struct edit_row *row = &edit.rows[i];
    if (edit_is(row, FIELD_LAP, "1"))
      edit_set(row, FIELD_LAP, "2");
    else if (edit_is(row, FIELD_LAP, "2"))
      edit_set(row, FIELD_LAP, "1");
  }
  judge(&edit, "bore", "laps swapped in name", "error: order: lap 1 comes after lap 2");
  edit_close(&edit);
}

/* The layers of a spiral in the wrong order, in name. */
static void test_layers_swapped(void **state) {
  (void)state;
  struct edit edit;
  begin_edit("valleys", &edit);
  for (size_t i = 0; i < edit.count; i++) {
    struct edit_row *row = &edit.rows[i];
    if (!edit_is(row, FIELD_LAYER, "0"))
      edit_set(row, FIELD_LAYER, edit_is(row, FIELD_LAYER, "1") ? "2" : "1");
  }
  judge(&edit, "valleys", "layers swapped in name",
        "error: order: the first run is of overlay 1, layer 2");
  edit_close(&edit);
}

/* The moves to a run say another one until its last row. */
static void test_moves_of_another(void **state) {
  (void)state;
  struct edit edit;
  begin_edit("bore", &edit);
  for (size_t i = 0; i < edit.count; i++)
    if (edit_is(&edit.rows[i], FIELD_LAP, "2") && !is_run_row(&edit.rows[i]))
      edit_set(&edit.rows[i], FIELD_LAP, "1");
  judge(&edit, "bore", "moves of another",
        "error: order: the moves said overlay 1, layer 1, lap 1");
  edit_close(&edit);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      {"borders of a bore", test_borders, NULL, NULL, (void *)(uintptr_t) "bore"},
      {"borders of rings with a zone, and of steps", test_borders, NULL, NULL,
       (void *)(uintptr_t) "judged"},
      cmocka_unit_test(test_labels_swapped),
      cmocka_unit_test(test_layers_swapped),
      cmocka_unit_test(test_moves_of_another),
  };
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
