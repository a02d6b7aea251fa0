/* --summary and --depfile of the commands that make no stream: the same JSON as --json prints, a
 * rule that make itself takes, whole or not at all, and in nobody's way. */
#include "cli/program.h"

static void hold_file(const struct program *program, const char *name, const char *want) {
  char path[1400];
  path_in(path, program, name);
  char *got = file_read(path);
  if (!got)
    fail_msg("%s is missing", name);
  assert_string_equal(got, want);
  free(got);
}

static bool is_there(const struct program *program, const char *name) {
  char path[1400];
  path_in(path, program, name);
  return access(path, F_OK) == 0;
}

static void write_file(const struct program *program, const char *name, const char *text) {
  char path[1400];
  path_in(path, program, name);
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  fputs(text, file);
  assert_int_equal(fclose(file), 0);
}

static void compile_streams(struct program *program) {
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv"), 0);
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.spt"), 0);
}

/* What is written besides is what --json prints, and the command prints what it always does. */
static void test_summary(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line, *json; /* json: the line that prints it */
    int status;
  } ROWS[] = {
      {"report @bore.lay -o out.html", "check @bore.lay --json", 0},
      {"report -q @tight.lay -o out.html", "check -q @tight.lay --json", 1},
      {"verify out.csv --job @bore.lay", "verify out.csv --job @bore.lay --json", 0},
      {"verify out.csv --job @tight.lay", "verify out.csv --job @tight.lay --json", 1},
      {"what-if @bore.lay --vary size=90mm,120mm",
       "what-if @bore.lay --vary size=90mm,120mm --json", 0},
      {"compare @bore.lay @tight.lay", "compare @bore.lay @tight.lay --json", 1},
      {"compare @bore.lay @bore.lay", "compare @bore.lay @bore.lay --json", 0},
      {"compare out.csv out.spt", "compare out.csv out.spt --json", 0},
  };
  compile_streams(program);
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    char line[300];
    assert_int_equal(program_run(program, ROWS[i].line), ROWS[i].status);
    char *words = strdup(program->out);
    assert_int_equal(program_run(program, ROWS[i].json), ROWS[i].status);
    char *json = strdup(program->out);
    assert_int_equal(*json, '{');
    snprintf(line, sizeof line, "%s --summary out.json", ROWS[i].line);
    assert_int_equal(program_run(program, line), ROWS[i].status);
    assert_string_equal(program->out, words);
    hold_file(program, "out.json", json);
    snprintf(line, sizeof line, "%s --summary -", ROWS[i].line);
    assert_int_equal(program_run(program, line), ROWS[i].status);
    assert_string_equal(program->out, json);
    free(words);
    free(json);
  }
}

/* The target is what the command is run for, else the summary, else the rule. */
static void test_depfile(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line, *target, *first, *second; /* of what it depends on besides shop.lay */
    int status;
  } ROWS[] = {
      {"report -q @bore.lay -o out.html --depfile out.d", "out.html", "@bore.lay", NULL, 0},
      {"report -q @tight.lay -o out.html --depfile out.d", "out.html", "@tight.lay", NULL, 1},
      {"report -q @bore.lay -o - --summary out.json --depfile out.d", "out.json", "@bore.lay", NULL,
       0},
      {"report -q @bore.lay --svg drawings --depfile out.d", "drawings/checks.svg", "@bore.lay",
       NULL, 0},
      {"verify -q out.csv --job @bore.lay --summary out.json --depfile out.d", "out.json",
       "out.csv", "@bore.lay", 0},
      {"verify -q out.csv --job @tight.lay --depfile out.d", "out.d", "out.csv", "@tight.lay", 1},
      {"what-if -q @bore.lay --vary size=90mm --summary out.json --depfile out.d", "out.json",
       "@bore.lay", NULL, 0},
      {"compare -q out.csv out.spt --depfile out.d", "out.d", "out.csv", "out.spt", 0},
  };
  char want[6000];
  compile_streams(program);
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    const char *files[] = {ROWS[i].first, ROWS[i].second};
    bool has_job = false;
    int used = snprintf(want, sizeof want, "%s:", ROWS[i].target);
    for (int k = 0; k < 2 && files[k]; k++) {
      bool is_job = *files[k] == '@';
      used += snprintf(want + used, sizeof want - (size_t)used, " \\\n  %s%s%s",
                       is_job ? program->jobs : "", is_job ? "/" : "", files[k] + is_job);
      has_job = has_job || is_job;
    }
    snprintf(want + used, sizeof want - (size_t)used, has_job ? " \\\n  %s/shop.lay\n" : "\n",
             program->jobs);
    assert_int_equal(program_run(program, ROWS[i].line), ROWS[i].status);
    hold_file(program, "out.d", want);
  }
  char folder[300];
  snprintf(folder, sizeof folder, "%s/drawings", program->folder);
  folder_empty(folder);
  rmdir(folder);
}

/* make finds the page of a comparison up to date, and old once either side's library is newer. */
static void test_make_takes_the_rule(void **state) {
  struct program *program = *state;
  char command[4000];
  snprintf(command, sizeof command,
           "cd %s && cp %s/shop.lay %s/bore.lay . && cp shop.lay old_shop.lay && "
           "sed 's/shop.lay/old_shop.lay/' bore.lay >old.lay",
           program->folder, program->jobs, program->jobs);
  assert_int_equal(system(command), 0);
  assert_int_equal(
      program_run(program, "compare -q old.lay bore.lay --page out.html --depfile out.d"), 0);
  hold_file(program, "out.d",
            "out.html: \\\n  old.lay \\\n  old_shop.lay \\\n  bore.lay \\\n  shop.lay\n");
  write_file(program, "Makefile", "out.html:\n\t@echo anew\ninclude out.d\n");
  snprintf(command, sizeof command, "env -u MAKEFLAGS make -q -s -C %s out.html", program->folder);
  assert_int_equal(system(command), 0);
  snprintf(command, sizeof command,
           "cd %s && touch -d '1 hour ago' out.html && env -u MAKEFLAGS make -q -s out.html",
           program->folder);
  assert_int_not_equal(system(command), 0);
}

/* A job refused before it could be judged has a summary, and no page that a rule would be for. */
static void test_refused(void **state) {
  struct program *program = *state;
  static const char LINE[] = "report @wrong.lay -o out.html --summary out.json --depfile out.d";
  assert_int_equal(program_run(program, LINE), 1);
  assert_true(is_there(program, "out.json"));
  assert_int_equal(names_in(program->folder), 1);
  folder_empty(program->folder);

  /* a stream that breaks off is not judged; nor is a param that is not there */
  write_file(program, "out.csv", "# borelay setpoints 1\n# mode weld\n");
  assert_int_equal(
      program_run(program, "verify out.csv --job @bore.lay --summary out.json --depfile out.d"), 1);
  assert_int_equal(
      program_run(program, "what-if @bore.lay --vary sise=1mm --summary out.json --depfile out.d"),
      1);
  assert_int_equal(names_in(program->folder), 1);
}

/* All of it or none. */
static void test_places_that_cannot_be_written(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line, *told;
  } ROWS[] = {
      {"report -q @bore.lay -o out.html --summary missing/out.json", "missing/out.json"},
      {"report -q @bore.lay -o out.html --svg drawings --depfile missing/out.d", "missing/out.d"},
      {"verify -q in.csv --job @bore.lay --summary out.json --depfile missing/out.d",
       "missing/out.d"},
      {"what-if -q @bore.lay --vary size=120mm --summary out.json --sarif /dev/full", "/dev/full"},
      {"compare @bore.lay @tight.lay --page out.html --summary /dev/full", "/dev/full"},
      {"compare @bore.lay @tight.lay --page out.html --depfile missing/out.d", "missing/out.d"},
      {"compare in.csv in.csv --summary out.json --depfile missing/out.d", "missing/out.d"},
  };
  assert_int_equal(program_run(program, "compile -q @bore.lay -o in.csv"), 0);
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    char told[200];
    snprintf(told, sizeof told, "borelay: cannot write %s: ", ROWS[i].told);
    assert_int_equal(program_run(program, ROWS[i].line), 3);
    if (!strstr(program->err, told))
      fail_msg("%s: %s", ROWS[i].line, program->err);
    assert_string_equal(program->out, "");
    assert_int_equal(names_in(program->folder), 1);
  }
  assert_int_equal(program_run_to(program, "/dev/full", "compare in.csv in.csv"), 3);
  assert_non_null(strstr(program->err, "cannot write standard output"));
}

/* Nothing stands in the place of anything else. */
static void test_named_twice(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line, *told;
  } ROWS[] = {
      {"report @bore.lay -o x.html --summary x.html", "x.html"},
      {"report in.lay -o x.html --depfile in.lay", "in.lay"},
      {"report @bore.lay -o - --summary -", "standard output"},
      {"verify in.csv --job @bore.lay --summary in.csv", "in.csv"},
      {"verify in.csv --job in.lay --depfile in.lay", "in.lay"},
      {"verify in.csv --job @bore.lay --json --summary -", "standard output"},
      {"what-if in.lay --vary size=120mm --summary in.lay", "in.lay"},
      {"what-if @bore.lay --vary size=120mm --csv --depfile -", "standard output"},
      {"compare in.lay @bore.lay --summary in.lay", "in.lay"},
      {"compare in.csv in.csv --depfile in.csv", "in.csv"},
      {"compare @bore.lay @bore.lay --json --summary -", "standard output"},
      {"compare -q @bore.lay @bore.lay --page - --summary -", "standard output"},
      {"compare @bore.lay @bore.lay --summary x --depfile x", "x"},
  };
  write_file(program, "in.lay", "");
  write_file(program, "in.csv", "");
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    char told[200];
    snprintf(told, sizeof told, "borelay: %s is named twice\n", ROWS[i].told);
    assert_int_equal(program_run(program, ROWS[i].line), 2);
    if (!strstr(program->err, told))
      fail_msg("%s: %s", ROWS[i].line, program->err);
    assert_int_equal(names_in(program->folder), 2);
  }
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, program_setup, program_teardown)
  const struct CMUnitTest tests[] = {TEST(test_summary),
                                     TEST(test_depfile),
                                     TEST(test_make_takes_the_rule),
                                     TEST(test_refused),
                                     TEST(test_places_that_cannot_be_written),
                                     TEST(test_named_twice)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
