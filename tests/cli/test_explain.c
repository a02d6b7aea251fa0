/* explain as its users run it. */
#include "cli/program.h"

static void test_known(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "explain E0312"), 0);
  assert_string_equal(program->out, "E0312, an error: the job is refused, and nothing is written\n"
                                    "  means    a value of the wrong dimension\n"
                                    "  found by values\n");
  assert_string_equal(program->err, "");
}

static void test_wrong_use(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line, *said;
  } ROWS[] = {
      {"explain", "explain wants a word"},
      {"explain a b", "b is one too many"},
      {"explain travle_speed", "nothing is known of travle_speed; did you mean travel_speed?"},
      {"explain zzzzzzzz", "nothing is known of zzzzzzzz\n"},
      {"explain --jsn", "unknown option --jsn"},
  };
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    assert_int_equal(program_run(program, ROWS[i].line), 2);
    assert_string_equal(program->out, "");
    assert_non_null(strstr(program->err, ROWS[i].said));
  }
  static const char *const UNSAID[] = {"explain overlay", "explain --help", "--version", "--help"};
  for (size_t i = 0; i < sizeof UNSAID / sizeof UNSAID[0]; i++) {
    assert_int_equal(program_run_to(program, "/dev/full", UNSAID[i]), 3);
    assert_string_equal(program->err,
                        "borelay: cannot write standard output: No space left on device\n");
  }
}

#define RUNS(test) cmocka_unit_test_setup_teardown(test, program_setup, program_teardown)

int main(void) {
  const struct CMUnitTest tests[] = {RUNS(test_known), RUNS(test_wrong_use)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
