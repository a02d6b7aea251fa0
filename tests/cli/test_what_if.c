/* A job over a grid of its params. */
#include "cli/program.h"

#include <jansson.h>

static json_t *parse(const char *text) {
  json_error_t error;
  json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
  if (!root)
    print_error("line %d: %s\n", error.line, error.text);
  assert_non_null(root);
  return root;
}

static const char *text_of(const json_t *object, const char *key) {
  const char *value = json_string_value(json_object_get(object, key));
  assert_non_null(value);
  return value;
}

static double number(const json_t *object, const char *key) {
  const json_t *value = json_object_get(object, key);
  assert_true(json_is_number(value));
  return json_number_value(value);
}

/* Figures of a point are those of `check --set` there, a job alone, and so is its summary. */
static void same_as_alone(struct program *program, const json_t *point) {
  const json_t *params = json_object_get(point, "params");
  char line[200];
  snprintf(line, sizeof line, "check @judged.lay --json --set deep=%s --set stem=%s",
           text_of(params, "deep"), text_of(params, "stem"));
  int status = program_run(program, line);
  json_t *alone = parse(program->out);
  assert_int_equal(status, strcmp(text_of(point, "verdict"), "passed") != 0);
  assert_string_equal(text_of(point, "verdict"), text_of(alone, "verdict"));
  static const char *const KEYS[] = {"duration_s",   "arc_time_s", "wire_length_m",
                                     "wire_mass_kg", "gas_l",      "starts"};
  for (size_t i = 0; i < sizeof KEYS / sizeof *KEYS; i++)
    assert_close(number(point, KEYS[i]), number(alone, KEYS[i]), 0, 0);
  if (status == 1) {
    const char *why = text_of(point, "why");
    const char *message = text_of(json_array_get(json_object_get(alone, "errors"), 0), "message");
    assert_non_null(strstr(why, message));
  }
  assert_true(json_equal(json_object_get(point, "summary"), alone));
  json_decref(alone);
}

static void test_each_point_as_alone(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "what-if @judged.lay --vary deep=48mm,56mm --vary "
                                        "stem=20mm..40mm:2 --json --set tie=7mm"),
                   0);
  json_t *with_tie = parse(program->out);
  assert_int_equal(
      program_run(program,
                  "what-if @judged.lay --vary deep=48mm,56mm --vary stem=20mm..40mm:2 --json"),
      0);
  assert_string_equal(program->err, "");
  json_t *root = parse(program->out), *points = json_object_get(root, "points"), *point;
  assert_string_equal(text_of(root, "format"), "borelay-what-if 1");
  assert_int_equal(json_array_size(json_object_get(root, "vary")), 2);
  assert_int_equal(json_array_size(points), 4);
  size_t i, passed = 0;
  json_array_foreach(points, i, point) {
    static const char *const WANTED[4][2] = {
        {"48mm", "20mm"}, {"48mm", "40mm"}, {"56mm", "20mm"}, {"56mm", "40mm"}};
    assert_string_equal(text_of(json_object_get(point, "params"), "deep"), WANTED[i][0]);
    assert_string_equal(text_of(json_object_get(point, "params"), "stem"), WANTED[i][1]);
    passed += strcmp(text_of(point, "verdict"), "passed") == 0;
    same_as_alone(program, point);
    /* what is set besides holds everywhere */
    json_t *other = json_array_get(json_object_get(with_tie, "points"), i);
    assert_true(number(other, "arc_time_s") > number(point, "arc_time_s"));
  }
  assert_int_equal(passed, 2);
  json_decref(root);
  json_decref(with_tie);
  assert_int_equal(names_in(program->folder), 0);
}

/* The same bytes whatever the number of threads, in each of the forms. */
static void test_same_bytes(void **state) {
  struct program *program = *state;
  static const char *const FORMS[] = {"", " --csv", " --json"};
  for (size_t i = 0; i < 3; i++) {
    char line[200];
    char *one = NULL;
    for (int jobs = 1; jobs <= 7; jobs += 3) {
      snprintf(line, sizeof line, "what-if @bore.lay --vary size=90mm..180mm:6 --jobs %d%s", jobs,
               FORMS[i]);
      assert_int_equal(program_run(program, line), 0);
      if (one)
        assert_string_equal(program->out, one);
      free(one);
      one = strdup(program->out);
    }
    free(one);
  }
}

/* Below the param's range, above it, and in between. */
static void test_one_bad_point(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "what-if @bore.lay --vary size=90mm..210mm:3"), 0);
  assert_string_equal(program->err, "");
  assert_non_null(strstr(program->out, "bore.lay: 1 of 3 points passes\n"));
  assert_non_null(strstr(program->out, "\n   90mm  refused  E0302 "));
  assert_non_null(strstr(program->out, "\n    --set size=90mm:1:1: size is 90 mm here; it is "
                                       "allowed from 100 mm to 200 mm\n"));
  assert_non_null(strstr(program->out, "\n  150mm  passed "));
  assert_non_null(strstr(program->out, "\n  210mm  refused  E0302 "));
}

static void test_faults(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line;
    int status;
    const char *told;
  } ROWS[] = {
      {"what-if", 2, "what-if wants a job file"},
      {"what-if @bore.lay", 2, "what-if wants --vary NAME=lo..hi:n, what is to vary"},
      {"what-if @bore.lay @bore.lay --vary size=1mm", 2, "is one too many"},
      {"what-if @bore.lay --vary size=1mm..2mm", 2,
       "--vary size=1mm..2mm: how many values? write size=1mm..2mm:n"},
      {"what-if @bore.lay --vary size=1mm --vary size=2mm", 2, "size is given twice"},
      {"what-if @bore.lay --vary size=1mm --set size=2mm", 2, "size is given twice"},
      {"what-if @bore.lay --vary size=1mm --csv --json", 2, "--csv and --json exclude each other"},
      {"what-if @bore.lay --vary a=1..2:101 --vary b=1..2:100", 2,
       "the grid has more than 10000 points"},
      {"what-if @bore.lay --vary size=1mm --jobs 0", 2, "--jobs wants a whole number"},
      {"what-if @bore.lay --var size=1mm --output x", 2, "unknown option --output"},
      {"what-if @bore.lay --vary sise=100mm..120mm:3", 1, "there is no param `sise` to set"},
      {"what-if @gone.lay --vary size=1mm", 3, "gone.lay: No such file or directory"},
      {"what-if --help", 0, ""},
      {"what-if --version", 0, ""},
  };
  for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
    assert_int_equal(program_run(program, ROWS[i].line), ROWS[i].status);
    if (!strstr(program->err, ROWS[i].told))
      fail_msg("%s: %s", ROWS[i].line, program->err);
    assert_int_equal(*program->out != '\0', ROWS[i].status == 0);
  }
}

static void test_full_disk(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run_to(program, "/dev/full", "what-if @bore.lay --vary size=120mm"), 3);
  assert_non_null(strstr(program->err, "cannot write standard output"));
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, program_setup, program_teardown)
  const struct CMUnitTest tests[] = {TEST(test_each_point_as_alone), TEST(test_same_bytes),
                                     TEST(test_one_bad_point), TEST(test_faults),
                                     TEST(test_full_disk)};
  return cmocka_run_group_tests_name("cli what-if", tests, NULL, NULL);
}
