/* The first job in README.md does what README.md says. */
#include "cli/program.h"

static void save_first_job(const struct program *program) {
  char *readme = file_read("README.md"), path[1400];
  assert_non_null(readme);
  char *begin = strstr(readme, "```lay\n");
  assert_non_null(begin);
  begin += strlen("```lay\n");
  char *end = strstr(begin, "```");
  assert_non_null(end);
  path_in(path, program, "first.lay");
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  fwrite(begin, 1, (size_t)(end - begin), file);
  assert_int_equal(fclose(file), 0);
  free(readme);
}

static void test_first_job(void **state) {
  struct program *program = *state;
  save_first_job(program);
  assert_int_equal(program_run(program, "check first.lay"), 0);
  assert_non_null(strstr(program->out, "PASSED"));
  assert_string_equal(program->err, "");
  assert_int_equal(program_run(program, "compile first.lay -o first.csv --summary first.json"), 0);
  assert_int_equal(names_in(program->folder), 3);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_first_job, program_setup, program_teardown)};
  return cmocka_run_group_tests_name("cli readme", tests, NULL, NULL);
}
