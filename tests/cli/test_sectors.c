/* Streams of laps with sectors: sound ones hold, of every kind; those of a job with other values,
 * another edge or another ramp are found wrong by the rows alone, and so is a value that does not
 * follow its place. */
#include "cli/program.h"
#include "cli/stream_fault.h"

#include "cli/one_folder.h"

#include <jansson.h>

static void run_ok(const char *line) {
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", line, program->err);
}

static void test_sound(void **state) {
  (void)state;
  static const char *const KINDS[][2] = {
      {"", ""},
      {"--rehearse", "--mode rehearsal"},
      {"--rehearse --times 4", "--mode rehearsal"},
      {"--resume overlay=ring_wall,layer=1,lap=2,along=87mm", "--mode resume"},
      {"--resume overlay=step_wall,layer=1,lap=3,along=41mm", "--mode resume"},
      {"--resume overlay=turn_wall,layer=2,lap=3,along=20mm", "--mode resume"},
  };
  for (size_t i = 0; i < sizeof KINDS / sizeof KINDS[0]; i++) {
    char line[300];
    snprintf(line, sizeof line, "compile -q @sectors.lay -o a.spt %s", KINDS[i][0]);
    run_ok(line);
    snprintf(line, sizeof line, "verify a.spt --job @sectors.lay %s", KINDS[i][1]);
    run_ok(line);
    assert_string_equal(program->err, "");
  }
}

/* The way on a step is longer than level: over the end of any step a ramp goes on evenly. */
static void test_ramp_on_step(void **state) {
  (void)state;
  run_ok("compile -q @ramp_on_step.lay -o a.spt");
  run_ok("verify a.spt --job @ramp_on_step.lay");
}

/* What is asked for at a place is told by the laps, steps and all, not by the run: also where the
 * rest of a ramp lies on a step that a zone, or another run, keeps for itself. */
static void test_ramp_in_zone(void **state) {
  (void)state;
  run_ok("compile -q @ramp_in_zone.lay -o a.spt");
  run_ok("verify a.spt --job @ramp_in_zone.lay");
  run_ok("compile -q @ramp_in_zone.lay --resume overlay=step_wall,layer=1,lap=2,along=13mm "
         "-o a.spt");
  run_ok("verify a.spt --job @ramp_in_zone.lay --mode resume");
}

/* -- faults ------------------------------------------------------------------------------------ */

/* The first weld row whose current lies between those of the procedure and the sector. */
static size_t on_ramp_of(const struct edit *edit, const char *overlay) {
  for (size_t i = 0; i < edit->count; i++) {
    double amps = atof(edit->rows[i].fields[FIELD_CURRENT]);
    if (edit_is(&edit->rows[i], FIELD_OVERLAY, overlay) &&
        edit_is(&edit->rows[i], FIELD_PHASE, "weld") && amps > 180 && amps < 190)
      return i;
  }
  fail_msg("no row on a ramp");
  return 0;
}

/* Of the layer that travels in its downslope. */
static size_t on_ramp(const struct edit *edit) {
  return on_ramp_of(edit, "2");
}

static void current_off(struct edit *edit) {
  edit_shift(&edit->rows[on_ramp(edit)], FIELD_CURRENT, 0.5, 1);
}

static void wire_off(struct edit *edit) {
  edit_shift(&edit->rows[on_ramp(edit)], FIELD_WIRE, 0.2, 3);
}

/* Half a second of one value, as if a controller had waited. */
static void stay_from(struct edit *edit, size_t from) {
  for (size_t i = from + 1; i < from + 25; i++)
    memcpy(edit->rows[i].fields[FIELD_CURRENT], edit->rows[from].fields[FIELD_CURRENT],
           sizeof edit->rows[i].fields[FIELD_CURRENT]);
}

static void current_stays(struct edit *edit) {
  stay_from(edit, on_ramp(edit));
}

/* The layer whose runs stop before their downslope: there too a value follows its place until the
 * very end. */
static void current_stays_far_from_the_end(struct edit *edit) {
  stay_from(edit, on_ramp_of(edit, "1"));
}

static const struct fault FAULTS[] = {
    {"1 A more in a sector", "--set amps=171A", NULL, "setpoints: current_a is "},
    {"a hundredth of a volt in a sector", "--set volts=11.01V", NULL, "setpoints: voltage_v is "},
    {"a little more wire in a sector", "--set feed=1.301m/min", NULL, "setpoints: wire_mm_s is "},
    {"2 % faster in a sector", "--set slow=153mm/min", NULL, "travel-speed: the pool goes at"},
    {"an edge 0.2 mm later", "--set edge=40.2mm", NULL, "setpoints: current_a is "},
    {"a ramp 1 mm longer", "--set ramp=9mm", NULL, "setpoints: "},
    {"current off on a ramp", "", current_off, "setpoints: current_a is "},
    {"wire off on a ramp", "", wire_off, "setpoints: wire_mm_s is "},
    {"current that stays behind", "", current_stays, "setpoints: current_a is "},
    {"current that stays behind in a run that stops", "", current_stays_far_from_the_end,
     "setpoints: current_a is "},
};

static void test_fault(void **state) {
  fault_judge(program, "sectors.lay", *state);
}

/* -- what is told ------------------------------------------------------------------------------ */

/* The wire of the summary is the sum over the rows. */
static void test_wire_of_rows(void **state) {
  (void)state;
  char path[1400];
  run_ok("compile -q @sectors.lay -o a.csv --summary a.json");
  path_in(path, program, "a.csv");
  struct edit edit = edit_open(path);
  double sum = 0;
  for (size_t i = 0; i < edit.count; i++)
    sum += atof(edit.rows[i].fields[FIELD_WIRE]);
  edit_close(&edit);
  path_in(path, program, "a.json");
  json_t *summary = json_load_file(path, 0, NULL);
  double told = json_number_value(json_object_get(summary, "wire_length_m"));
  double tick = json_number_value(json_object_get(summary, "tick_s"));
  /* rows are rounded to 0.001 mm/s, of 20 and more */
  assert_true(fabs(sum * tick / 1000 - told) <= 2.5e-5 * told);
  json_decref(summary);
}

/* A ramp that the axes cannot make is refused with one that they can. */
static void test_steep(void **state) {
  (void)state;
  assert_int_equal(program_run(program, "check -q @sectors.lay --set ramp=0.01mm"), 1);
  const char *told = strstr(program->err, "sectors.lay:22:98: ");
  assert_non_null(told);
  assert_string_equal(
      told,
      "sectors.lay:22:98: error[E0611]: over the ramp of 0.010 mm at an edge of sector `side` the "
      "axes cannot change the speed of overlay ring_wall, layer 1, from 180.0 to 150.0 mm/min\n"
      "   22 |   sector side { along edge .. 90 mm; current amps; travel_speed slow; "
      "wire_feed_speed feed; ramp ramp }\n"
      "      |                                                                                     "
      "             ^~~~\n"
      "help: a ramp of 0.2 mm would do\n");
}

/* One in which the run begins is cut short there, and no longer one is found: other speeds are, and
 * they hold. */
static void test_steep_at_start(void **state) {
  static const char CUT[] = "check -q @sectors.lay --set ramp=0.02mm --set edge=0.005mm";
  static const char CURT[] = "check -q @sectors.lay --set ramp=0.0002mm --set edge=0.00005mm";
  char line[200];
  (void)state;
  assert_int_equal(program_run(program, CUT), 1);
  assert_non_null(strstr(program->err,
                         "\nhelp: the run begins within this ramp; elsewhere, or speeds no more "
                         "than 1.9 mm/min apart would do\n"));
  snprintf(line, sizeof line, "%s --set slow=178.1mm/min", CUT);
  assert_int_equal(program_run(program, line), 0);
  assert_int_equal(program_run(program, CURT), 1);
  assert_non_null(strstr(program->err,
                         "\nhelp: the run begins within this ramp; elsewhere, or one travel speed "
                         "on both sides would do\n"));
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(FAULTS) + 6];
  size_t count = 0;
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_sound);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_ramp_on_step);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_ramp_in_zone);
  for (size_t i = 0; i < COUNT(FAULTS); i++)
    tests[count++] =
        (struct CMUnitTest){FAULTS[i].name, test_fault, NULL, NULL, (void *)(uintptr_t)&FAULTS[i]};
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_wire_of_rows);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_steep);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_steep_at_start);
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
