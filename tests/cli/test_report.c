/* report: a page or none, the exit status, nothing half written. */
#include "cli/program.h"

static bool has(const struct program *program, const char *name) {
  char path[1400];
  path_in(path, program, name);
  return access(path, F_OK) == 0;
}

static void test_page_of_a_job_that_passed(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "report @bore.lay -o page.html"), 0);
  assert_string_equal(program->err, "");
  assert_string_equal(program->out, "");
  char path[1400];
  path_in(path, program, "page.html");
  char *page = file_read(path);
  assert_non_null(page);
  assert_memory_equal(page, "<!DOCTYPE html>", 15);
  assert_non_null(strstr(page, "data-verdict=\"passed\""));
  assert_int_equal(program_run(program, "report @bore.lay -o -"), 0);
  assert_string_equal(program->out, page);
  free(page);
  assert_int_equal(names_in(program->folder), 1);
}

/* What a check refuses is shown; the exit status tells. */
static void test_page_of_a_job_that_is_refused(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "report @tight.lay -o page.html"), 1);
  assert_non_null(strstr(program->err, "error[E0706]"));
  char path[1400];
  path_in(path, program, "page.html");
  char *page = file_read(path);
  assert_non_null(page);
  assert_non_null(strstr(page, "data-verdict=\"refused\""));
  free(page);
}

/* Without a motion there is nothing to show; a page from before stays what it was. */
static void test_no_page_of_a_job_with_faults(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "report @bore.lay -o page.html"), 0);
  char path[1400];
  path_in(path, program, "page.html");
  char *before = file_read(path);
  assert_int_equal(program_run(program, "report @wrong.lay -o page.html --svg drawn"), 1);
  assert_non_null(strstr(program->err, "error["));
  char *after = file_read(path);
  assert_string_equal(before, after);
  free(before);
  free(after);
  assert_false(has(program, "drawn"));
}

static void test_no_page_where_nothing_can_be_written(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "report @bore.lay -o none/page.html"), 3);
  assert_non_null(strstr(program->err, "cannot write none/page.html"));
  assert_int_equal(program_run(program, "report @absent.lay -o page.html"), 3);
  assert_non_null(strstr(program->err, "cannot read"));
  assert_int_equal(program_run(program, "report @bore.lay -o /dev/full"), 2);
  assert_int_equal(program_run_to(program, "/dev/full", "report @bore.lay -o -"), 3);
  assert_int_equal(names_in(program->folder), 0);
}

static void test_drawings_alone(void **state) {
  struct program *program = *state;
  char folder[300];
  snprintf(folder, sizeof folder, "%s/drawn", program->folder);
  assert_int_equal(program_run(program, "report @bore.lay --svg drawn"), 0);
  assert_true(names_in(folder) >= 5);
  assert_false(has(program, "page.html"));
  folder_empty(folder);
  assert_int_equal(rmdir(folder), 0);
}

struct use {
  const char *name, *line, *why;
};

static void test_use(void **state) {
  const struct use uses[] = {
      {"nothing asked for", "report @bore.lay", "-o OUT.html, or --svg FOLDER"},
      {"no job", "report -o page.html", "report wants a job file"},
      {"two jobs", "report @bore.lay @tight.lay -o page.html", "is one too many"},
      {"not a page", "report @bore.lay -o page.csv", "OUT ends in .html"},
      {"unknown option", "report @bore.lay --svgs drawn", "--svg"}};
  struct program *program = *state;
  for (size_t i = 0; i < sizeof uses / sizeof uses[0]; i++) {
    assert_int_equal(program_run(program, uses[i].line), 2);
    if (!strstr(program->err, uses[i].why))
      fail_msg("%s: %s", uses[i].name, program->err);
  }
  assert_int_equal(names_in(program->folder), 0);
}

#define TEST(function) cmocka_unit_test_setup_teardown(function, program_setup, program_teardown)

int main(void) {
  const struct CMUnitTest tests[] = {TEST(test_page_of_a_job_that_passed),
                                     TEST(test_page_of_a_job_that_is_refused),
                                     TEST(test_no_page_of_a_job_with_faults),
                                     TEST(test_no_page_where_nothing_can_be_written),
                                     TEST(test_drawings_alone),
                                     TEST(test_use)};
  return cmocka_run_group_tests_name("cli report", tests, NULL, NULL);
}
