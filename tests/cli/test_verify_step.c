/* Over a zone that holds the step between two laps the tip keeps to its nominal way within 0.1 mm,
 * in depth too (docs/semantics.md, Motion): where the step begins as elsewhere. */
#include "cli/program.h"
#include "cli/stream_edit.h"

#include "cli/one_folder.h"

/* About where the step begins: behind lap 1 the first row that is off its depth by what the step's
 * end is rounded by. */
static size_t step_begin(const struct edit *edit) {
  size_t end = edit_find(edit, 0, "postflow", "1", "1");
  while (edit_is(&edit->rows[end], FIELD_PHASE, "postflow"))
    end++;
  double z = atof(edit->rows[end].fields[FIELD_Z]);
  while (fabs(atof(edit->rows[end].fields[FIELD_Z]) - z) < 0.03)
    end++;
  return end;
}

/* Higher by `by` mm where the step begins, and less and less around it. */
static void lift(struct edit *edit, double by) {
  enum { ROWS = 30 };
  size_t middle = step_begin(edit);
  for (size_t i = middle - ROWS; i <= middle + ROWS; i++) {
    double u = ((double)i - (double)middle) / ROWS, share = 1 - u * u;
    edit_shift(&edit->rows[i], FIELD_Z, by * share * share * share * share, 6);
  }
}

/* So much higher, and whether `moves` holds. */
static void judge_lifted(double by, bool holds) {
  char path[1400];
  assert_int_equal(program_run(program, "compile -q @step_in_zone.lay -o a.csv"), 0);
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  lift(&edit, by);
  edit_write(&edit, path, false);
  edit_close(&edit);
  program_run(program, "verify -q a.csv --job @step_in_zone.lay");
  if (holds != !strstr(program->err, "error: moves: "))
    fail_msg("%.3f mm: moves %s\n%s", by, holds ? "fails" : "holds", program->err);
  assert_null(strstr(program->err, "error: axis-"));
}

static void a_step_is_judged_where_it_begins(void **state) {
  (void)state;
  judge_lifted(0, true);
  judge_lifted(0.03, true);
  judge_lifted(0.09, false);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(a_step_is_judged_where_it_begins)};
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
