/* Many jobs compiled into one folder. */
#include "cli/program.h"

static char *read_out(const struct program *program, const char *name) {
  char path[1400];
  snprintf(path, sizeof path, "%s/out/%s", program->folder, name);
  return file_read(path);
}

static void clear_out(const struct program *program) {
  char path[300];
  snprintf(path, sizeof path, "%s/out", program->folder);
  folder_empty(path);
  rmdir(path);
}

/* Each as if compiled alone, whatever the number of threads. */
static void test_as_if_alone(void **state) {
  struct program *program = *state;
  static const char *const JOBS[] = {"bore", "port", "judged"};
  char line[200], name[40], path[1400];
  for (size_t hands = 1; hands <= 4; hands += 3) {
    snprintf(
        line, sizeof line,
        "compile @bore.lay @port.lay @judged.lay -d out --summaries --sarifs --depfiles --jobs %zu",
        hands);
    assert_int_equal(program_run(program, line), 0);
    assert_string_equal(program->err, "");
    for (size_t i = 0; i < 3; i++) {
      snprintf(line, sizeof line,
               "compile -q @%s.lay -o one.csv --summary one.json --sarif one.sarif", JOBS[i]);
      assert_int_equal(program_run(program, line), 0);
      for (size_t k = 0; k < 3; k++) {
        static const char *const ENDINGS[] = {"csv", "json", "sarif"};
        snprintf(name, sizeof name, "%s.%s", JOBS[i], ENDINGS[k]);
        char *many = read_out(program, name);
        snprintf(name, sizeof name, "one.%s", ENDINGS[k]);
        path_in(path, program, name);
        char *alone = file_read(path);
        assert_non_null(many);
        assert_non_null(alone);
        assert_string_equal(many, alone);
        free(many);
        free(alone);
      }
      snprintf(name, sizeof name, "%s.d", JOBS[i]);
      char *rule = read_out(program, name), start[60];
      snprintf(start, sizeof start, "out/%s.csv: \\\n", JOBS[i]);
      assert_non_null(rule);
      assert_memory_equal(rule, start, strlen(start));
      free(rule);
    }
    clear_out(program);
    folder_empty(program->folder);
  }
}

/* What is told stands in the order of the jobs; a refused one stops nobody and leaves no stream. */
static void test_told_in_order(void **state) {
  struct program *program = *state;
  char want[2200], path[300];
  assert_int_equal(
      program_run(program, "compile @wrong.lay @bore.lay @tight.lay @port.lay -d out --jobs 4"), 1);
  snprintf(want, sizeof want, "%s/wrong.lay: REFUSED\n%s/bore.lay: passed, ", program->jobs,
           program->jobs);
  assert_memory_equal(program->out, want, strlen(want));
  const char *tight = strstr(program->out, "tight.lay: REFUSED\n");
  const char *port = strstr(program->out, "port.lay: passed, ");
  assert_true(tight && port && tight < port);
  const char *first = strstr(program->err, "wrong.lay:"),
             *second = strstr(program->err, "tight.lay:");
  assert_true(first && second && first < second);
  snprintf(path, sizeof path, "%s/out", program->folder);
  assert_int_equal(names_in(path), 2);
  clear_out(program);
}

static void test_binary(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile @bore.lay -d out --binary -q"), 0);
  assert_string_equal(program->out, "");
  char *stream = read_out(program, "bore.spt");
  assert_non_null(stream);
  free(stream);
  clear_out(program);
}

/* A job that cannot be read does not stop the others; the gravest status is the whole's. */
static void test_gravest_status(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile missing.lay @tight.lay @bore.lay -d out"), 3);
  assert_non_null(strstr(program->err, "borelay: cannot read missing.lay: No such file"));
  assert_non_null(strstr(program->out, "bore.lay: passed"));
  clear_out(program);
  assert_int_equal(program_run(program, "compile @bore.lay -d missing/out"), 3);
  assert_string_equal(program->err,
                      "borelay: cannot make folder missing/out: No such file or directory\n");
}

/* One job by any number of threads: the same stream of either kind. */
static void test_hands_of_one(void **state) {
  struct program *program = *state;
  static const char *const ENDINGS[] = {"csv", "spt"};
  char line[200], path[1400];
  for (size_t k = 0; k < 2; k++) {
    struct stat first, other;
    snprintf(line, sizeof line, "compile -q @bore.lay -o one.%s", ENDINGS[k]);
    assert_int_equal(program_run(program, line), 0);
    path_in(path, program, k ? "one.spt" : "one.csv");
    assert_int_equal(stat(path, &first), 0);
    char *want = file_read(path);
    for (int hands = 1; hands <= 8; hands++) {
      snprintf(line, sizeof line, "compile -q @bore.lay -o two.%s --jobs %d", ENDINGS[k], hands);
      assert_int_equal(program_run(program, line), 0);
      path_in(path, program, k ? "two.spt" : "two.csv");
      assert_int_equal(stat(path, &other), 0);
      char *got = file_read(path);
      assert_int_equal(other.st_size, first.st_size);
      assert_memory_equal(got, want, (size_t)first.st_size);
      free(got);
    }
    free(want);
  }
  folder_empty(program->folder);
}

static void test_wrong_use(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line, *want;
  } ROWS[] = {
      {"compile @bore.lay @port.lay -o out.csv", "is one too many (-d DIR takes many)"},
      {"check @bore.lay --jobs 2", "check writes no stream; --jobs goes with compile"},
      {"compile @bore.lay -o out.csv --jobs 300", "--jobs wants a whole number from 1 to 256"},
      {"compile @bore.lay -o out.csv --binary", "--binary goes with -d DIR"},
      {"compile @bore.lay -o out.csv --summaries", "--summaries goes with -d DIR"},
      {"compile @bore.lay -o out.csv --sarifs", "--sarifs goes with -d DIR"},
      {"compile @bore.lay -d out --sarif x", "-d DIR takes the place of --sarif"},
      {"compile @bore.lay -o out.csv --depfiles", "--depfiles goes with -d DIR"},
      {"compile @bore.lay -d out -o out.csv", "-d DIR takes the place of -o"},
      {"compile @bore.lay -d out --summary x", "-d DIR takes the place of --summary"},
      {"compile @bore.lay -d out --depfile x", "-d DIR takes the place of --depfile"},
      {"compile @bore.lay -d out --json", "-d DIR takes the place of --json"},
      {"compile @bore.lay -d out --times 2", "--times goes with --rehearse"},
      {"compile @bore.lay -d out --jobs 0", "--jobs wants a whole number from 1 to 256"},
      {"compile @bore.lay @bore.lay -d out", "two jobs would be written to out/bore.csv"},
      {"check @bore.lay -d out", "check writes no stream; -d goes with compile"},
      {"compile -d out", "compile wants a job file"},
  };
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    assert_int_equal(program_run(program, ROWS[i].line), 2);
    if (!strstr(program->err, ROWS[i].want))
      fail_msg("%s: %s", ROWS[i].line, program->err);
    assert_int_equal(names_in(program->folder), 0);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_as_if_alone, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_told_in_order, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_binary, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_gravest_status, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_hands_of_one, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_wrong_use, program_setup, program_teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
