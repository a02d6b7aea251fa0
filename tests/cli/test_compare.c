/* compare: exit status, words and figures as users meet them. */
#include "cli/program.h"

#include <jansson.h>

static void put_file(const struct program *program, const char *name, const char *text) {
  char path[1400];
  path_in(path, program, name);
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  fputs(text, file);
  assert_int_equal(fclose(file), 0);
}

/* A copy of a job file in the folder, with one text put as another. */
static void copy_job(const struct program *program, const char *job, const char *as,
                     const char *from, const char *to) {
  char path[1400], made[16384];
  snprintf(path, sizeof path, "%s/%s", program->jobs, job);
  char *text = file_read(path);
  assert_non_null(text);
  const char *at = from ? strstr(text, from) : text;
  assert_non_null(at);
  snprintf(made, sizeof made, "%.*s%s%s", (int)(at - text), text, from ? to : "",
           at + (from ? strlen(from) : 0));
  put_file(program, as, made);
  free(text);
}

static void copy_shop(const struct program *program) {
  copy_job(program, "shop.lay", "shop.lay", NULL, NULL);
}

static void expect_line(const struct program *program, const char *line) {
  if (!strstr(program->out, line))
    fail_msg("no `%s` in:\n%s", line, program->out);
}

/* -- status ------------------------------------------------------------------------------------ */

static void test_same(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compare @bore.lay @bore.lay"), 0);
  assert_true(strncmp(program->out, "SAME; before: PASSED, after: PASSED\n", 36) == 0);
  assert_string_equal(program->err, "");
  assert_int_equal(program_run(program, "compare -q @bore.lay @bore.lay"), 0);
  assert_string_equal(program->out, "");
  /* refused alike */
  assert_int_equal(program_run(program, "compare @wrong.lay @wrong.lay"), 0);
  assert_true(strncmp(program->out, "SAME; before: REFUSED, after: REFUSED\n", 38) == 0);
  assert_int_equal(program_run(program, "compare @shop.lay @shop.lay"), 0);
  assert_true(strncmp(program->out, "SAME; no job in either\n", 23) == 0);
}

static void test_tidied(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "bore.lay", "overlap 25 %\n}", "overlap 25 % ; ; # a comment\n\n}");
  assert_int_equal(program_run(program, "tidy bore.lay"), 0);
  assert_int_equal(program_run(program, "compare bore.lay @bore.lay"), 0);
}

static void test_wrong_use(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line;
    int status;
    const char *told;
  } ROWS[] = {
      {"compare", 2, "compare wants two jobs, or two streams"},
      {"compare @bore.lay", 2, "compare wants two jobs, or two streams"},
      {"compare a b c", 2, "compare takes two files; c is one too many"},
      {"compare a.lay b.csv", 2, "b.csv is a stream and a.lay is none"},
      {"compare --st x=1 a b", 2, "unknown option --st"},
      {"compare nowhere.lay @bore.lay", 3, "cannot read nowhere.lay: No such file"},
      {"compare @bore.lay nowhere.lay", 3, "cannot read nowhere.lay: No such file"},
  };
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    assert_int_equal(program_run(program, ROWS[i].line), ROWS[i].status);
    if (!strstr(program->err, ROWS[i].told))
      fail_msg("%s: %s", ROWS[i].line, program->err);
    assert_string_equal(program->out, "");
  }
}

/* -- what is told ------------------------------------------------------------------------------ */

static const char WANT_SETTING[] =
    "DIFFERENT: 2 differences in what is declared; before: PASSED, after: PASSED\n"
    "  before  job.lay  \"test bore\", revision A\n"
    "  after   job.lay  \"test bore\", revision A, set size=122mm\n"
    "\n"
    "Declared differently\n"
    "  shape seal / diameter  120 -> 122 mm, +1.7 %\n"
    "  param size             120 -> 122 mm, +1.7 %\n"
    "\n";

static void test_setting(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "job.lay", NULL, NULL);
  assert_int_equal(program_run(program, "compare --set-after size=122mm job.lay job.lay"), 1);
  program->out[sizeof WANT_SETTING - 1] = '\0';
  assert_string_equal(program->out, WANT_SETTING);
  assert_int_equal(program_run(program, "compare --set size=122mm job.lay job.lay"), 0);
  assert_int_equal(
      program_run(program,
                  "compare --set-before size=0.12m --set-after size=120mm job.lay job.lay"),
      0);
}

/* The whole text; with BLESS in the environment it is written anew. */
static void expect_text(const struct program *program, const char *name) {
  char path[1400];
  snprintf(path, sizeof path, "%s/../expected/%s", program->jobs, name);
  if (getenv("BLESS")) {
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fputs(program->out, file);
    assert_int_equal(fclose(file), 0);
  }
  char *want = file_read(path);
  assert_non_null(want);
  assert_string_equal(program->out, want);
  free(want);
}

static void test_effects(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", NULL, NULL);
  copy_job(program, "bore.lay", "after.lay", "40 .. 54 mm", "40 .. 57 mm");
  assert_int_equal(program_run(program, "compare before.lay after.lay"), 1);
  assert_string_equal(program->err, "");
  expect_text(program, "compare_band.txt");
}

/* The tip's way moves by exactly as much as the band does. */
static void test_moved_band(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", NULL, NULL);
  copy_job(program, "bore.lay", "after.lay", "40 .. 54 mm", "41.5 .. 55.5 mm");
  assert_int_equal(program_run(program, "compare before.lay after.lay"), 1);
  expect_line(program,
              "overlay ring_wall / depths  40 .. 54 -> 41.5 .. 55.5 mm, ends +1.5 and +1.5 mm");
  expect_line(program, "  arc on   1.50 mm");
}

/* A part that lies elsewhere is laid alike. */
static void test_moved_part(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", NULL, NULL);
  copy_job(program, "bore.lay", "after.lay", "(10, 20, 150) mm", "(14, 23, 150) mm");
  assert_int_equal(program_run(program, "compare before.lay after.lay"), 1);
  expect_line(program, "job / at  (10, 20, 150) -> (14, 23, 150) mm, moved by 5 mm");
  expect_line(program, "  arc on   the same to 0.01 mm");
  expect_line(program, "part's datum, x in the cell");
  assert_null(strstr(program->out, "Wall covered"));
}

static void test_refused(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", NULL, NULL);
  copy_job(program, "bore.lay", "after.lay", "overlap 25 %", "overlap 30 %; colour 3");
  assert_int_equal(program_run(program, "compare before.lay after.lay"), 1);
  expect_line(program,
              "DIFFERENT: 1 difference in what is declared; before: PASSED, after: REFUSED\n");
  expect_line(program, "  overlay ring_wall / overlap  25 -> 30 %, +5 percentage points\n");
  expect_line(program, "Not compared\n  the second was refused for what it declares\n");
  assert_non_null(strstr(program->err, "`overlay` has no key `colour`"));
  /* nothing differs but what cannot be read */
  copy_job(program, "bore.lay", "after.lay", "overlap 25 %", "overlap 25 %; colour 3");
  assert_int_equal(program_run(program, "compare before.lay after.lay"), 1);
  assert_true(strncmp(program->out, "NOT KNOWN: ", 11) == 0);
}

/* -- JSON -------------------------------------------------------------------------------------- */

static const char *text_of(const json_t *object, const char *key) {
  const char *text = json_string_value(json_object_get(object, key));
  assert_non_null(text);
  return text;
}

static void test_json(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", NULL, NULL);
  copy_job(program, "bore.lay", "after.lay", "40 .. 54 mm", "40 .. 57 mm");
  assert_int_equal(program_run(program, "compare --json before.lay after.lay"), 1);
  json_t *object = json_loads(program->out, 0, NULL);
  assert_non_null(object);
  assert_string_equal(text_of(object, "format"), "borelay-comparison 1");
  assert_string_equal(text_of(object, "result"), "different");
  json_t *declared = json_object_get(object, "declared"), *one = json_array_get(declared, 0);
  assert_int_equal(json_array_size(declared), 1);
  assert_string_equal(text_of(one, "path"), "overlay ring_wall / depths");
  json_t *figures = json_object_get(json_object_get(one, "after"), "figures");
  assert_close(json_real_value(json_array_get(figures, 1)), 57, 1e-9, 0);
  json_t *place = json_object_get(one, "at_after");
  assert_string_equal(text_of(place, "file"), "after.lay");
  assert_int_equal(json_integer_value(json_object_get(place, "line")), 7);
  json_t *covered = json_array_get(json_object_get(object, "covered"), 0);
  assert_string_equal(text_of(covered, "overlay"), "ring_wall");
  /* 3 mm more of a wall of 120 mm diameter */
  assert_close(json_real_value(json_object_get(covered, "newly_mm2")), 3 * 120 * M_PI, 1, 0);
  json_t *tip = json_object_get(json_object_get(object, "tip"), "arc_on");
  assert_true(json_real_value(json_object_get(tip, "distance_mm")) > 0);
  assert_true(json_array_size(json_object_get(object, "effects")) > 20);
  assert_true(json_array_size(json_object_get(object, "checks")) > 10);
  json_decref(object);
  assert_int_equal(program_run(program, "compare --json --declared before.lay after.lay"), 1);
  object = json_loads(program->out, 0, NULL);
  assert_int_equal(json_array_size(json_object_get(object, "effects")), 0);
  json_decref(object);
}

/* -- the page ---------------------------------------------------------------------------------- */

static size_t count_of(const char *text, const char *part) {
  size_t count = 0;
  for (; (text = strstr(text, part)) != NULL; text += strlen(part))
    count++;
  return count;
}

static char *page_of(struct program *program, const char *line) {
  char path[1400];
  assert_int_equal(program_run(program, line), 1);
  path_in(path, program, "out.html");
  char *page = file_read(path);
  assert_non_null(page);
  assert_int_equal(unlink(path), 0);
  return page;
}

static void test_page(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", "test bore", "bore <b>&amp;\\\"A\\\"");
  copy_job(program, "bore.lay", "after.lay", "40 .. 54 mm", "40 .. 57 mm");
  char *page = page_of(program, "compare -q --page out.html before.lay after.lay");
  assert_string_equal(program->out, "");
  assert_non_null(strstr(page, "bore &lt;b&gt;&amp;amp;&quot;A&quot;"));
  assert_non_null(strstr(page, "<td class=\"path\">overlay ring_wall / depths</td>"));
  assert_int_equal(count_of(page, "<figure>"), 2); /* from outside, and the wall's one layer */
  assert_int_equal(count_of(page, "</figure>"), 2);
  assert_int_equal(count_of(page, " class=\"drawing "), 2);
  assert_int_equal(count_of(page, "<g class=\"before\">"), 2);
  assert_int_equal(count_of(page, "<g class=\"after\">"), 2);
  assert_int_equal(count_of(page, "<path class=\"newly\""), 1);
  assert_int_equal(count_of(page, "<path class=\"gone\""), 0);
  assert_int_equal(count_of(page, "<g"), count_of(page, "</g>"));
  assert_int_equal(count_of(page, "<table"), count_of(page, "</table>"));
  assert_null(strstr(page, "<script"));
  assert_null(strstr(page, "src="));
  assert_null(strstr(page, "url(http"));
  char *again = page_of(program, "compare -q --page out.html before.lay after.lay");
  assert_string_equal(page, again);
  free(again);
  free(page);
  /* every layer, however many: from outside, and one wall each */
  copy_job(program, "bore.lay", "after.lay", "overlap 25 %", "overlap 25 %; layers 6");
  page = page_of(program, "compare -q --page out.html before.lay after.lay");
  assert_int_equal(count_of(page, "<figure>"), 7);
  assert_non_null(strstr(page, "Wall unrolled, layer 6"));
  free(page);
  /* of a job that was refused there is nothing to draw */
  copy_job(program, "bore.lay", "after.lay", "overlap 25 %", "overlap 30 %; colour 3");
  page = page_of(program, "compare -q --page out.html before.lay after.lay");
  assert_int_equal(count_of(page, "<figure>"), 0);
  assert_non_null(strstr(page, "<h2>Not compared</h2>"));
  free(page);
  assert_int_equal(program_run(program, "compare before.lay after.lay --page before.lay"), 2);
  assert_non_null(strstr(program->err, "before.lay: OUT ends in .html"));
  assert_int_equal(program_run(program, "compare before.lay after.lay --page -"), 2);
  assert_non_null(strstr(program->err, "standard output is named twice"));
  assert_int_equal(program_run(program, "compare -q before.lay after.lay --page -"), 1);
  assert_int_equal(strncmp(program->out, "<!DOCTYPE html>", 15), 0);
  assert_int_equal(program_run(program, "compare --page nowhere/out.html before.lay after.lay"), 3);
  assert_non_null(strstr(program->err, "cannot write nowhere/out.html"));
}

/* -- streams ----------------------------------------------------------------------------------- */

static void expect_run(struct program *program, const char *line, int status) {
  int got = program_run(program, line);
  if (got != status)
    fail_msg("%s: status %d\n%s%s", line, got, program->out, program->err);
}

static void test_streams(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", NULL, NULL);
  copy_job(program, "bore.lay", "waits.lay", "overlap 25 %", "overlap 25 %; wait_laps 3 s");
  copy_job(program, "bore.lay", "moved.lay", "40 .. 54 mm", "41.5 .. 55.5 mm");
  copy_job(program, "bore.lay", "said.lay", "pattern rings", "pattern rings # a comment");
  expect_run(program, "compile -q before.lay -o before.csv", 0);
  expect_run(program, "compile -q before.lay -o before.spt", 0);
  expect_run(program, "compile -q waits.lay -o waits.spt", 0);
  expect_run(program, "compile -q moved.lay -o moved.csv", 0);
  expect_run(program, "compile -q said.lay -o before2.csv", 0);
  expect_run(program, "compare before.csv before.spt", 0);
  assert_true(strncmp(program->out, "SAME\n", 5) == 0);
  expect_run(program, "compare before.csv before2.csv", 1);
  expect_line(program, "DIFFERENT: in the header only; every row is the same\n");
  /* what is welded after a longer wait is welded alike */
  expect_run(program, "compare before.spt waits.spt", 1);
  expect_line(program, "Stretches that differ, whatever their time: 1 of 15\n"
                       "  overlay 1, layer 1, lap 2, wait ");
  expect_line(program, "  arc on   the same to 0.01 mm\n");
  expect_run(program, "compare before.csv moved.csv", 1);
  expect_line(program, "  arc on   1.50 mm ");
  expect_run(program, "compare --json before.csv moved.csv", 1);
  json_t *object = json_loads(program->out, 0, NULL);
  assert_non_null(object);
  assert_string_equal(text_of(object, "format"), "borelay-stream-comparison 1");
  assert_true(json_is_false(json_object_get(object, "acts_the_same")));
  json_decref(object);
}

static void test_streams_at_fault(void **state) {
  struct program *program = *state;
  copy_shop(program);
  copy_job(program, "bore.lay", "before.lay", NULL, NULL);
  expect_run(program, "compile -q before.lay -o before.csv", 0);
  put_file(program, "none.csv", "t,x\n0,0\n");
  expect_run(program, "compare before.csv none.csv", 3);
  assert_non_null(strstr(program->err, "none.csv: row 0"));
  assert_string_equal(program->out, "");
  expect_run(program, "compare nowhere.spt before.csv", 3);
  assert_non_null(strstr(program->err, "cannot read nowhere.spt"));
  expect_run(program, "compare --set a=1 before.csv before.csv", 2);
  assert_non_null(
      strstr(program->err, "streams take no settings, declare nothing and have no page"));
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_same),
                                     cmocka_unit_test(test_tidied),
                                     cmocka_unit_test(test_wrong_use),
                                     cmocka_unit_test(test_setting),
                                     cmocka_unit_test(test_effects),
                                     cmocka_unit_test(test_moved_band),
                                     cmocka_unit_test(test_moved_part),
                                     cmocka_unit_test(test_refused),
                                     cmocka_unit_test(test_json),
                                     cmocka_unit_test(test_streams),
                                     cmocka_unit_test(test_streams_at_fault),
                                     cmocka_unit_test(test_page)};
  return cmocka_run_group_tests(tests, program_setup, program_teardown);
}
