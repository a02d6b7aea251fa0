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
    assert_non_null(strstr(program->out, "\nREFUSED: "));
    assert_int_equal(names_in(program->folder), 0);
    free(expected);
  }
  globfree(&found);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_refused_on_purpose, program_setup, program_teardown)};
  return cmocka_run_group_tests_name("cli refused", tests, NULL, NULL);
}
