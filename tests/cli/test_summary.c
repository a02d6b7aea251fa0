/* The summary, parsed by a JSON library and held against the rows of the same job. */
#include "cli/program.h"
#include "cli/rows.h"

#include <jansson.h>

static const double REACH = 40, DROP = 300; /* mm, of the bench in jobs/shop.lay */

static json_t *parse(const char *text) {
  json_error_t error;
  json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
  if (!root)
    print_error("line %d: %s\n", error.line, error.text);
  assert_non_null(root);
  return root;
}

static double number(const json_t *object, const char *key) {
  const json_t *value = json_object_get(object, key);
  assert_true(json_is_number(value));
  return json_number_value(value);
}

static const char *text(const json_t *object, const char *key) {
  const char *value = json_string_value(json_object_get(object, key));
  assert_non_null(value);
  return value;
}

static void test_keys(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check @bore.lay --json --summary out.json"), 0);
  char path[1400];
  path_in(path, program, "out.json");
  char *besides = file_read(path);
  assert_string_equal(besides, program->out);
  free(besides);
  json_t *root = parse(program->out);
  assert_string_equal(text(root, "format"), "borelay-summary 1");
  assert_string_equal(text(root, "verdict"), "passed");
  assert_string_equal(text(json_object_get(root, "job"), "title"), "test bore");
  assert_string_equal(text(json_object_get(root, "job"), "part"), "");
  assert_int_equal(strlen(text(json_object_get(root, "job"), "source_sha256")), 64);
  assert_null(json_object_get(root, "errors"));
  assert_int_equal(json_array_size(json_object_get(root, "warnings")), 0);
  assert_int_equal(json_array_size(json_object_get(root, "fits")), 0);
  json_t *overlay = json_array_get(json_object_get(root, "overlays"), 0);
  json_t *layer = json_array_get(json_object_get(overlay, "layers"), 0);
  assert_string_equal(text(overlay, "name"), "ring_wall");
  assert_string_equal(text(layer, "procedure"), "w.steady");
  assert_true(json_is_null(json_object_get(layer, "iron")));
  assert_int_equal(number(layer, "laps"), 2);
  assert_int_equal(number(layer, "starts"), 2);
  assert_close(number(layer, "pitch_mm"), 6, 1e-12, 0);
  assert_close(number(layer, "overlap"), 0.25, 1e-12, 0);
  /* (pi/4) 1.2^2 * 1500 / 180 = 9.42477796077 mm2; over 6 mm; twelve digits survive the way */
  assert_close(number(layer, "thickness_mm"), 1.5707963267948966, 1e-11, 0);
  /* U I / v = 11.5 * 200 / 3 J/mm; gtaw 0.6 (ISO/TR 17671-1) */
  assert_close(number(layer, "arc_energy_kj_mm"), 0.766666666667, 1e-11, 0);
  assert_close(number(layer, "heat_input_kj_mm"), 0.46, 1e-11, 0);
  json_decref(root);
}

/* Wire, gas, times: the sums over the rows of value times tick. */
static void test_quantities_are_sums_over_rows(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile @bore.lay -o - --summary out.json"), 0);
  struct rows rows = rows_read(program->out);
  char path[1400];
  path_in(path, program, "out.json");
  char *summary = file_read(path);
  json_t *root = parse(summary);
  double wire = 0, gas = 0, arc = 0;
  for (size_t i = 0; i < rows.count; i++) {
    wire += rows.items[i].wire * 0.02;
    gas += rows.items[i].gas * 0.02;
    arc += rows.items[i].arc * 0.02;
  }
  assert_int_equal(number(root, "rows"), rows.count);
  assert_close(number(root, "tick_s"), 0.02, 0, 0);
  assert_close(number(root, "duration_s"), rows.items[rows.count - 1].t, 1e-9, 0);
  assert_close(number(root, "arc_time_s"), arc, 1e-7, 0);
  assert_close(number(root, "wire_length_m"), wire / 1000, 0, 1e-9);
  /* 1.2 mm wire of 8.4 g/cm3 */
  assert_close(number(root, "wire_mass_kg"), wire * 1.1309733552923256 * 8.4e-6, 0, 1e-9);
  assert_close(number(root, "gas_l"), gas * 12 / 60, 0, 1e-9);
  /* the parts: one overlay, one procedure, and the way to park */
  json_t *parts[] = {json_array_get(json_object_get(root, "overlays"), 0),
                     json_array_get(json_object_get(root, "procedures"), 0)};
  assert_string_equal(text(parts[1], "name"), "w.steady");
  for (size_t i = 0; i < 2; i++) {
    assert_close(number(parts[i], "arc_time_s"), arc, 1e-7, 0);
    assert_close(number(parts[i], "wire_length_m"), wire / 1000, 0, 1e-9);
    assert_close(number(parts[i], "gas_l"), gas * 12 / 60, 0, 1e-9);
    assert_int_equal(number(parts[i], "starts"), 2);
    assert_close(number(parts[i], "time_s") + number(root, "after_last_postflow_s"),
                 number(root, "duration_s"), 0, 1e-10);
    assert_close(number(parts[i], "deposition_kg_h"),
                 wire * 1.1309733552923256 * 8.4e-6 / arc * 3600, 0, 1e-9);
  }
  assert_close(number(root, "arc_share"), arc / number(root, "duration_s"), 0, 1e-9);
  rows_free(&rows);
  json_decref(root);
  free(summary);
}

/* kJ of the arc by the rows of the first run, 11.5 V times the current shown. */
static void test_heat_is_that_of_the_rows(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile @bore.lay -q -o - --summary out.json"), 0);
  struct rows rows = rows_read(program->out);
  char path[1400];
  path_in(path, program, "out.json");
  char *summary = file_read(path);
  json_t *root = parse(summary);
  double arc[2] = {0}, time[2] = {0};
  int run = -1;
  for (size_t i = 1; i < rows.count; i++) {
    run += rows.items[i].arc && !rows.items[i - 1].arc;
    if (rows.items[i].arc) {
      arc[run] += 11.5 * rows.items[i].current * 0.02 / 1000;
      time[run] += 0.02;
    }
  }
  assert_int_equal(run, 1);
  json_t *layer = json_array_get(
      json_object_get(json_array_get(json_object_get(root, "overlays"), 0), "layers"), 0);
  json_t *along = json_object_get(layer, "heat_along"), *stretch;
  double sum = 0, seconds = 0;
  size_t i;
  json_array_foreach(json_object_get(along, "stretches"), i, stretch) {
    sum += number(stretch, "arc_kj");
    seconds += number(stretch, "time_s");
  }
  /* both rings are alike in this; a row's current is rounded to 0.1 A */
  assert_close(sum, arc[0], 1e-3, 1e-4);
  assert_close(sum, arc[1], 1e-3, 1e-4);
  assert_close(seconds, time[0], 1e-6, 0);
  assert_true(number(along, "first_bead_kj_mm") > number(layer, "arc_energy_kj_mm"));
  assert_true(json_is_null(json_object_get(layer, "cooling")));
  assert_true(json_is_null(json_object_get(layer, "heat_input_qualified_kj_mm")));
  rows_free(&rows);
  json_decref(root);
  free(summary);
}

/* Starts and stops, lengths that stay bare; the rows by the closed form: with the arc on the pool
 * stays (20 + 2) / 2 mm from the axis of the port, which lies at 90 deg and 51 mm deep. */
static void test_zones_in_rows(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile @port.lay -q -o - --summary out.json"), 0);
  struct rows rows = rows_read(program->out);
  char path[1400];
  path_in(path, program, "out.json");
  char *summary = file_read(path);
  json_t *root = parse(summary), *bare = json_object_get(root, "bare"), *length;
  int starts[2][2] = {{0}};
  double nearest = HUGE_VAL;
  for (size_t i = 1; i < rows.count; i++) {
    const struct row *row = &rows.items[i];
    if (row->arc && !rows.items[i - 1].arc)
      starts[row->overlay - 1][row->layer - 1]++;
    double head = row->head * 3.14159265358979323846 / 180;
    double x = row->x + REACH * cos(head) - 10, y = row->y + REACH * sin(head) - 20;
    double out = 60 / hypot(x, y), depth = 150 + DROP - row->z;
    if (row->arc && row->overlay == 1 && y > 0)
      nearest = fmin(nearest, hypot(x * out, depth - 51));
  }
  /* a row's place is rounded to 1e-6 mm and deg */
  assert_true(nearest > 11 - 2e-6 && nearest < 11 + 2e-6);
  for (size_t overlay = 0; overlay < 2; overlay++) {
    json_t *layers =
        json_object_get(json_array_get(json_object_get(root, "overlays"), overlay), "layers");
    for (size_t k = 0; k < json_array_size(layers); k++) {
      json_t *layer = json_array_get(layers, k);
      double sum = 0;
      size_t i;
      json_array_foreach(bare, i, length) {
        const char *why = text(length, "why");
        assert_true(strcmp(why, "zone") == 0 || strcmp(why, "downslope") == 0);
        if (number(length, "overlay") == (double)overlay + 1 &&
            number(length, "layer") == (double)k + 1)
          sum += number(length, "length_mm");
      }
      assert_int_equal(number(layer, "starts"), starts[overlay][k]);
      assert_close(number(layer, "bare_mm"), sum, 1e-8, 1e-10);
      assert_int_equal(sum > 0, overlay == 0);
    }
  }
  assert_true(starts[0][0] > 1 && starts[0][1] > 1);
  rows_free(&rows);
  json_decref(root);
  free(summary);
}

/* What was fitted to touches, with what the centre is worth: for the datum's four from their
 * residuals of e = 0.02, root(4 e^2 / 1) / root 2; for the wall's three over half a turn
 * fit_tolerance times 1.224745. */
static void test_fits(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check @touched.lay --json"), 0);
  json_t *root = parse(program->out), *fits = json_object_get(root, "fits");
  static const struct {
    const char *name;
    double diameter, residual, sigma;
  } wanted[] = {{"datum", 120, 0.02, 0.0282842712}, {"felt", 120, 0, 0.5 * 1.22474487}};
  assert_int_equal(json_array_size(fits), 2);
  for (size_t i = 0; i < 2; i++) {
    json_t *fit = json_array_get(fits, i), *centre = json_object_get(fit, "centre_mm");
    assert_string_equal(text(fit, "name"), wanted[i].name);
    assert_close(json_number_value(json_array_get(centre, 0)), 10, 1e-9, 0);
    assert_close(json_number_value(json_array_get(centre, 1)), 20, 1e-9, 0);
    assert_close(number(fit, "diameter_mm"), wanted[i].diameter, 1e-9, 0);
    assert_close(number(fit, "residual_max_mm"), wanted[i].residual, 1e-9, 0);
    assert_close(number(fit, "centre_sigma_mm"), wanted[i].sigma, 1e-8, 0);
    assert_null(json_object_get(fit, "length_mm"));
  }
  json_decref(root);
  assert_int_equal(program_run(program, "check @touched.lay"), 0);
  assert_non_null(
      strstr(program->out,
             "\nFitted to touches\n"
             "  datum          centre (10.000, 20.000) mm, diameter 120.000 mm\n"
             "                 residuals up to 0.020 mm; centre good to 0.028 mm (one sigma)\n"
             "  felt           centre (10.000, 20.000) mm, diameter 120.000 mm\n"
             "                 no residuals; centre to 0.612 mm (one sigma) where a touch is to "
             "fit_tolerance\n"));
}

/* A failed check is in the checks and in the errors, at the same place. */
static void test_failed_check(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check @tight.lay --json"), 1);
  json_t *root = parse(program->out);
  assert_string_equal(text(root, "verdict"), "failed");
  json_t *errors = json_object_get(root, "errors"), *failed = NULL, *check;
  size_t i, count = 0;
  json_array_foreach(json_object_get(root, "checks"), i, check) {
    count += strcmp(text(check, "verdict"), "failed") == 0;
    if (strcmp(text(check, "name"), "clearance") == 0)
      failed = check;
  }
  assert_int_equal(count, 1);
  assert_int_equal(json_array_size(errors), 1);
  assert_string_equal(text(failed, "verdict"), "failed");
  assert_string_equal(text(failed, "unit"), "mm");
  assert_close(number(failed, "limit"), 2, 0, 0);
  assert_true(number(failed, "worst") < 2);
  assert_true(number(failed, "t_s") > 0);
  json_t *error = json_array_get(errors, 0);
  assert_string_equal(text(error, "code"), "E0706");
  assert_string_equal(text(error, "file"), text(failed, "file"));
  assert_int_equal(number(error, "line"), number(failed, "line"));
  json_decref(root);
}

/* Mistakes in the job: a summary even so, written to a file besides. */
static void test_wrong_job(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile @wrong.lay -o out.csv --summary out.json"), 1);
  assert_int_equal(names_in(program->folder), 1);
  char path[1400];
  path_in(path, program, "out.json");
  char *summary = file_read(path);
  json_t *root = parse(summary);
  assert_string_equal(text(root, "verdict"), "failed");
  assert_true(json_is_null(json_object_get(root, "job")));
  json_t *errors = json_object_get(root, "errors");
  assert_int_equal(json_array_size(errors), 2);
  assert_int_equal(number(json_array_get(errors, 0), "line"), 3);
  assert_int_equal(number(json_array_get(errors, 0), "column"), 29);
  assert_int_equal(number(json_array_get(errors, 1), "line"), 5);
  assert_string_equal(text(json_array_get(errors, 1), "help"), "did you mean `w.steady`?");
  json_decref(root);
  free(summary);
}

/* Standard output is for the summary alone, also where it is asked for as a file: no table. */
static void test_alone_on_standard_output(void **state) {
  struct program *program = *state;
  static const char *const LINES[] = {
      "check @bore.lay --summary -", "compile @bore.lay -o out.csv --summary -",
      "check @tight.lay --summary -", "check @wrong.lay --summary -"};
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    program_run(program, LINES[i]);
    json_t *root = json_loads(program->out, 0, NULL);
    assert_non_null(root);
    assert_string_equal(json_string_value(json_object_get(root, "format")), "borelay-summary 1");
    json_decref(root);
  }
  assert_int_equal(program_run(program, "check @bore.lay --summary - --depfile -"), 2);
  assert_int_equal(program_run(program, "check @bore.lay --summary out.json --depfile -"), 0);
  assert_int_equal(strncmp(program->out, "out.json:", 9), 0);
  assert_null(strstr(program->out, "PASSED: "));
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, program_setup, program_teardown)

int main(void) {
  const struct CMUnitTest tests[] = {
      TEST(test_keys),          TEST(test_quantities_are_sums_over_rows),
      TEST(test_fits),          TEST(test_failed_check),
      TEST(test_wrong_job),     TEST(test_alone_on_standard_output),
      TEST(test_zones_in_rows), TEST(test_heat_is_that_of_the_rows),
  };
  return cmocka_run_group_tests_name("cli summary", tests, NULL, NULL);
}
