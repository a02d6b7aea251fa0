/* play as its users call it: a compiled rehearsal played to a file is the text stream itself. */
#include "cli/program.h"

static void test_plays_what_was_compiled(void **state) {
  struct program *program = *state;
  char path[1400];
  alarm(60);
  assert_int_equal(program_run(program, "compile -q @bore.lay -o dry.csv --rehearse --times 100"),
                   0);
  assert_int_equal(program_run(program, "compile -q @bore.lay -o dry.spt --rehearse --times 100"),
                   0);
  path_in(path, program, "dry.csv");
  char *want = file_read(path);
  static const char *const LINES[] = {
      "play dry.csv --to played --times 1000 --release",
      "play dry.spt --to played --times 1000 --release -q",
  };
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    assert_int_equal(program_run(program, LINES[i]), 0);
    path_in(path, program, "played");
    char *got = file_read(path);
    assert_string_equal(got, want);
    free(got);
    assert_int_equal(unlink(path), 0);
    assert_int_equal(*program->err == '\0', i == 1);
  }
  free(want);
  alarm(0);
}

static void test_wrong_use(void **state) {
  static const struct {
    const char *line, *said;
  } CASES[] = {
      {"play", "play wants a stream"},
      {"play a.csv", "play wants --to PLACE"},
      {"play a.csv b.csv --to c", "b.csv is one too many"},
      {"play - --to c", "play reads the stream twice"},
      {"play a.csv --to c --times 0", "--times wants a number from 0.1 to 1000; 0 is none"},
      {"play a.csv --to c --times nan", "--times wants a number"},
      {"play a.csv --to c --slack 11", "--slack wants a time from 0.01s to 10s; 11 is none"},
      {"play a.csv --to c --slack 5ms", "--slack wants a time from 0.01s to 10s; 5ms is none"},
      {"play a.csv --to c --after-row -1", "--after-row wants a row's number; -1 is none"},
      {"play a.csv --to c --after-row 12x", "--after-row wants a row's number; 12x is none"},
      {"play a.csv --to c --acknowledged", "--acknowledged goes with --to tcp:PORT"},
      {"play a.csv --to c --relaese", "did you mean --release?"},
      {"play a.csv --to", "--to wants a value"},
  };
  struct program *program = *state;
  for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
    assert_int_equal(program_run(program, CASES[i].line), 2);
    if (!strstr(program->err, CASES[i].said))
      print_error("%s: %s\n", CASES[i].line, program->err);
    assert_non_null(strstr(program->err, CASES[i].said));
    assert_non_null(strstr(program->err, "help: see `borelay play --help`\n"));
  }
  assert_int_equal(program_run(program, "play a.csv --to c"), 3);
  assert_non_null(strstr(program->err, "cannot read a.csv"));
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, program_setup, program_teardown)
  const struct CMUnitTest tests[] = {TEST(test_plays_what_was_compiled), TEST(test_wrong_use)};
  return cmocka_run_group_tests_name("cli play", tests, NULL, NULL);
}
