/* Jobs in programs/ that are refused on purpose say what stands beside them in JOB.expected.txt. */
#include "cli/program.h"

#include <glob.h>

/* The folder that a path was given with, cut out wherever it stands. */
static void cut_all(char *text, const char *folder) {
  size_t length = strlen(folder);
  for (char *at = text; (at = strstr(at, folder));)
    memmove(at, at + length, strlen(at + length) + 1);
}

static void test_refused_on_purpose(void **state) {
  struct program *program = *state;
  glob_t found;
  assert_int_equal(glob("programs/*.expected.txt", 0, NULL, &found), 0);
  for (size_t i = 0; i < found.gl_pathc; i++) {
    const char *name = found.gl_pathv[i] + strlen("programs/");
    char line[400], folder[1200];
    snprintf(line, sizeof line, "compile @../../../programs/%.*s.lay -o out.csv",
             (int)strcspn(name, "."), name);
    snprintf(folder, sizeof folder, "%s/../../../programs/", program->jobs);
    assert_int_equal(program_run(program, line), 1);
    cut_all(program->err, folder);
    char *expected = file_read(found.gl_pathv[i]);
    assert_non_null(expected);
    assert_string_equal(program->err, expected);
    assert_non_null(strstr(program->out, "\nREFUSED: 1 of "));
    assert_non_null(strstr(program->out, "\nREFUSED: clearance\n\nThese figures"));
    assert_int_equal(names_in(program->folder), 0);
    free(expected);
  }
  globfree(&found);
}

/* Between two rows of a hurried rehearsal the controller would cut the corner. */
static void test_rehearsed_too_fast(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile -q @hasty.lay -o out.csv --rehearse --times 10"),
                   1);
  char folder[1200];
  snprintf(folder, sizeof folder, "%s/", program->jobs);
  cut_all(program->err, folder);
  assert_string_equal(
      program->err,
      "hasty.lay:6:1: error[E0707]: check torch-clearance does not hold: 2.74434 mm at 16.378 s, "
      "limit 2.9 mm; electrode to the wall of free seal at x 26.979 y 20.849 z 400.000 mm, head "
      "362.861 deg; overlay seal_wall, layer 1, lap 1, weld\n"
      "    6 | overlay seal_wall {\n"
      "      | ^~~~~~~~~~~~~~~~~\n"
      "help: so hurried it does not hold, but at the pace of the weld (`--times 1`) it does: "
      "rehearse slower\n");
  assert_int_equal(names_in(program->folder), 0);
  assert_int_equal(program_run(program, "compile -q @hasty.lay -o out.csv --rehearse --times 1"),
                   0);
}

/* A wall that no `free` of the envelope leaves. */
static void test_wall_of_another_shape(void **state) {
  struct program *program = *state;
  char path[600];
  snprintf(path, sizeof path, "%s/away.lay", program->folder);
  FILE *job = fopen(path, "w");
  assert_non_null(job);
  fprintf(job,
          "use \"%s/shop.lay\"\n"
          "shape bore round { diameter 120 mm }\n"
          "shape mouth round { diameter 140 mm }\n"
          "envelope block { free mouth { depths 0 .. 140 mm } }\n"
          "overlay clad { wall bore; depths 40 .. 60 mm; procedure steady; overlap 40 %% }\n"
          "job \"away\" { cell bench; envelope block; at (10, 20, 150) mm; safe_height 40 mm }\n",
          program->jobs);
  assert_int_equal(fclose(job), 0);
  assert_int_equal(program_run(program, "check -q away.lay"), 1);
  assert_string_equal(
      program->err,
      "away.lay:5:1: error[E0708]: check wall-in-envelope does not hold: 10 mm, limit 0.5 mm; wall "
      "of clad away from the envelope's face at depth 50.000 mm, s = 0.736 mm, x 69.995 y 20.736 "
      "mm\n"
      "    5 | overlay clad { wall bore; depths 40 .. 60 mm; procedure steady; overlap 40 % }\n"
      "      | ^~~~~~~~~~~~\n"
      "help: at depth 50.000 mm no `free` of the envelope leaves this wall: another shape or other "
      "`depths` would do\n");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_rehearsed_too_fast, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_wall_of_another_shape, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_refused_on_purpose, program_setup, program_teardown)};
  return cmocka_run_group_tests_name("cli refused", tests, NULL, NULL);
}
