/* What is said of layers and overlap that were left open: table, summary, refusal. */
#include "cli/program.h"

#include <jansson.h>

static void assert_told(const char *text, const char *part) {
  if (!strstr(text, part))
    fail_msg("`%s` is not in\n%s", part, text);
}

/* A = 9.424778 mm2, R = 50: R - sqrt(R^2 - 2 R A/4.4) = 2.18995; h = 1.767146, p/w = 11/12: floors
 * of 2 h (1 - 121/144) = 0.564505 a layer, on the wall 0.564505 (1 + 48.7148/50) of metal,
 * so 1.12721; ridges of h less 0.564505 (docs/semantics.md, Deposit; docs/buildup.md, section 5).
 */
static void test_table(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check @auto.lay"), 0);
  assert_told(program->out, "\n  chosen: 2 layers at an overlap of 31.25 %, 10 laps in all\n"
                            "    layers governed by thickness and iron\n"
                            "      with 1 layer at an overlap of 45.00 %, 6 laps in all:\n"
                            "        thickness 2.18995 mm, 0.31 mm less than 2.5 mm\n"
                            "        iron 20.4 %, 14.4 % more than 6 %\n"
                            "    overlap governed by thickness and flatness\n"
                            "      with 2 layers at an overlap of 8.33 %, 8 laps in all:\n"
                            "        thickness 1.12721 mm, 1.373 mm less than 2.5 mm\n"
                            "        flatness 2.40528 mm, 1.905 mm more than 0.5 mm\n"
                            "  layer ");
}

/* One layer and the fewest laps: nothing is smaller. */
static void test_least(void **state) {
  struct program *program = *state;
  assert_int_equal(
      program_run(program, "check @auto.lay --set iron=100% --set least=0.5mm --set ridge=10mm"),
      0);
  assert_told(program->out, "\n  chosen: 1 layer at an overlap of 8.33 %, 4 laps in all\n"
                            "    one layer is the least\n"
                            "    fewer laps would not cover the band\n");
}

static json_t *choice_of(const char *text) {
  json_error_t error;
  json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
  assert_non_null(root);
  json_t *overlay = json_array_get(json_object_get(root, "overlays"), 0);
  json_t *choice = json_incref(json_object_get(overlay, "choice"));
  json_decref(root);
  assert_non_null(choice);
  return choice;
}

static void test_summary(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check @auto.lay --json"), 0);
  json_t *choice = choice_of(program->out);
  char *text = json_dumps(choice, JSON_REAL_PRECISION(6));
  assert_string_equal(
      text, "{\"layers\": 2, \"laps\": 10, \"overlap\": 0.3125, \"layers_auto\": true, "
            "\"overlap_auto\": true, \"governed_by\": {\"layers\": [\"thickness\", \"iron\"], "
            "\"overlap\": [\"thickness\", \"flatness\"]}, \"fewer_layers\": {\"layers\": 1, "
            "\"laps\": 6, \"overlap\": 0.45, \"missed\": [{\"name\": \"thickness\", \"value\": "
            "2.18995, \"limit\": 2.5, \"unit\": \"mm\"}, {\"name\": \"iron\", \"value\": 20.4, "
            "\"limit\": 6.0, \"unit\": \"%\"}], \"bound\": null}, \"wider_pitch\": {\"layers\": "
            "2, \"laps\": 8, \"overlap\": 0.0833333, \"missed\": [{\"name\": \"thickness\", "
            "\"value\": 1.12721, \"limit\": 2.5, \"unit\": \"mm\"}, {\"name\": \"flatness\", "
            "\"value\": 2.40528, \"limit\": 0.5, \"unit\": \"mm\"}], \"bound\": null}}");
  free(text);
  json_decref(choice);
  assert_int_equal(program_run(program, "check @bore.lay --json"), 0);
  choice = choice_of(program->out);
  assert_true(json_is_null(choice));
  json_decref(choice);
}

static void test_refused(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check @auto.lay --set iron=0.9%"), 1);
  assert_told(program->err, "auto.lay:17:51: error[E0524]: nothing that may be chosen meets the "
                            "`iron` required: with 20 layers at an overlap of 45.00 % the last one "
                            "holds 1 % iron, 0.1 % more than the 0.9 % allowed\n");
  assert_told(program->err, "\nhelp: `iron 1.00 %` could be met\n");
}

/* A stream with more layers than the goal asks for is not one of this job. */
static void test_judge_chooses_too(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile -q @auto.lay --set least=4mm -o more.csv"), 0);
  assert_int_equal(program_run(program, "verify more.csv --job @auto.lay --set least=4mm"), 0);
  assert_int_equal(program_run(program, "verify more.csv --job @auto.lay"), 1);
  assert_told(program->err, "same-source: ");
  assert_told(program->err, "order: ");
  assert_int_equal(program_run(program, "verify more.csv --job @auto.lay --set least=70mm"), 1);
  assert_told(program->err, "no layers and overlap meet what it requires");
}

/* The goal as a spiral, by a head that turns so far. */
static void write_spiral(const struct program *program, const char *travel) {
  char path[1400];
  path_in(path, program, "spiral.lay");
  FILE *to = fopen(path, "w");
  assert_non_null(to);
  fprintf(to,
          "use \"%s/shop.lay\" as w\n"
          "cell bench like w.bench {\n"
          "  axis head { travel %s; speed 90 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n}\n"
          "shape seal round { diameter 100 mm }\n"
          "envelope block { free seal { depths 0 .. 120 mm } }\n"
          "overlay spiral_wall {\n"
          "  wall seal; depths 40 .. 70 mm; procedure w.steady; layers auto; overlap auto\n"
          "  require { thickness 1.8 mm }\n}\n"
          "job \"goal\" { cell bench; envelope block; at (10, 20, 150) mm; safe_height 40 mm }\n",
          program->jobs, travel);
  assert_int_equal(fclose(to), 0);
}

/* The head winds up with every lap: more layers of fewer laps, and the judge agrees. */
static void test_limited_head(void **state) {
  struct program *program = *state;
  write_spiral(program, "endless");
  assert_int_equal(program_run(program, "check spiral.lay"), 0);
  assert_told(program->out, "\n  chosen: 1 layer at an overlap of 45.00 %, 6 laps in all\n");
  write_spiral(program, "-1100 .. 1100 deg");
  assert_int_equal(program_run(program, "compile spiral.lay -o out.csv"), 0);
  assert_told(program->out, "\n  chosen: 2 layers at an overlap of ");
  assert_told(program->out,
              "no closer, since 6 laps of layer 1 turn the head by 2520 deg without a "
              "break; its travel of -1100 .. 1100 deg is 2200 deg\n");
  assert_int_equal(program_run(program, "verify out.csv --job spiral.lay"), 0);
}

/* A check that fails in such an overlay says that it was not asked. */
static void test_check_had_no_part(void **state) {
  struct program *program = *state;
  static const char NOTE[] = "auto.lay:13:10: note: here 2 layers at an overlap of 31.25 % are "
                             "chosen, by what is required alone; this check had no part in that: "
                             "set `layers` and `overlap` yourself, or require less\n"
                             "   13 |   layers auto\n";
  assert_int_equal(program_run(program, "check -q @auto.lay --set size=70mm"), 1);
  assert_told(program->err, "error[E0706]: check clearance does not hold: ");
  assert_told(program->err, NOTE);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_table, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_least, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_summary, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_refused, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_limited_head, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_check_had_no_part, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_judge_chooses_too, program_setup, program_teardown),
  };
  return cmocka_run_group_tests_name("left open", tests, NULL, NULL);
}
