/* Every key of a job to which the contract binds a stream: what a stream made with another value
 * there is, under the name of the job as it stands, the judge tells.  Such a stream is sound in
 * itself, so nothing but that key is wrong.
 *
 * The sentences are those of docs/language.md, docs/semantics.md and docs/stream-format.md; what is
 * no key of a job is in test_verify.c (rows edited) and test_verify_moves.c (ways led otherwise).
 */
#include "cli/program.h"
#include "cli/stream_edit.h"

#include "cli/one_folder.h"

struct key {
  const char *from, *to; /* in promised.lay, the first one */
  const char *told[2];   /* NULL: one is enough */
};

static const struct key KEYS[] = {
    /* the cell */
    {"park (0, -200, 700) mm",
     "park (0, -200, 701) mm",
     {"order: the first row is not at the cell's park position",
      "order: the last row is not at the cell's park position"}},
    {"park_head 10 deg",
     "park_head 12 deg",
     {"order: the first row is not at the cell's park position", NULL}},
    {"z { travel 0 .. 900 mm; speed 200",
     "z { travel 0 .. 900 mm; speed 220",
     {"axis-speed: z goes at", NULL}},
    {"jerk 2000 deg/s3", "jerk 2100 deg/s3", {"axis-jerk: head goes at", NULL}},
    {"reach 40 mm", "reach 40.1 mm", {"same-header: torch reach_mm", "tip-path: the tip is 0.1"}},
    {"drop 300 mm", "drop 300.1 mm", {"same-header: torch drop_mm", "tip-path: the tip is 0.0"}},
    {"correction 1 mm", "correction 1.1 mm", {"same-header: torch correction_mm", NULL}},
    /* the procedure */
    {"current 200 A", "current 201 A", {"setpoints: current_a is 38.6, 38.5 is asked for", NULL}},
    {"voltage 11.5 V", "voltage 11.6 V", {"setpoints: voltage_v is 11.60, 11.50 is asked", NULL}},
    {"travel_speed 240 mm/min",
     "travel_speed 236.5 mm/min",
     {"travel-speed: the pool never comes up to 4.0000 mm/s", NULL}},
    {"feed_speed 1.5 m/min",
     "feed_speed 1.51 m/min",
     {"setpoints: wire_mm_s is 25.167, 25.000 is asked", NULL}},
    {"bead_width 8 mm", "bead_width 8.1 mm", {"tip-path: the tip is", NULL}},
    {"arc_length 3 mm", "arc_length 3.01 mm", {"tip-path: the tip is 0.0100 mm", NULL}},
    {"touch_time 2 s", "touch_time 1 s", {"order: touch lasted 20 ticks", "gives it 40"}},
    {"touch_time 2 s", "touch_time 0 s", {"order: preflow comes where touch is asked for", NULL}},
    {"preflow 1 s", "preflow 1.05 s", {"order: preflow lasted 21 ticks", "gives it 20"}},
    {"upslope 1 s", "upslope 1.1 s", {"order: upslope lasted 22 ticks", "setpoints: current_a"}},
    {"downslope 2 s", "downslope 1.9 s", {"order: downslope lasted 38 ticks", "current_a"}},
    {"postflow 3 s", "postflow 2.9 s", {"order: postflow lasted 58 ticks", NULL}},
    {"start_current 30 A", "start_current 31 A", {"setpoints: current_a is 31.0, 30.0", NULL}},
    {"final_current 25 A", "final_current 26 A", {"setpoints: current_a is", NULL}},
    {"travel_start_delay 1 s",
     "travel_start_delay 1.5 s",
     {"longer at full current than travel_start_delay", NULL}},
    {"travel_start_delay 1 s", "travel_start_delay 0.9 s", {"order: the head moves by", "in weld"}},
    {"wire_start_delay 0.5 s", "wire_start_delay 0.6 s", {"setpoints: wire_mm_s is 0.000", NULL}},
    {"wire_retract 7 mm", "wire_retract 6 mm", {"setpoints: wire_mm_s is", NULL}},
    {"downslope_travel on",
     "downslope_travel off",
     {"order: the torch stands while the current falls; it is to travel on", NULL}},
    {"downslope_travel off", "downslope_travel on", {"order: the head moves by", "in downslope"}},
    {"tie_in 6 mm", "tie_in 7 mm", {"order: full current ends 7.000 mm behind", "is 6.000 mm"}},
    {"wire_current 50 A", "wire_current 49 A", {"setpoints: wire_current_a is 49.0, 50.0", NULL}},
    {"arc_voltage_control on", "arc_voltage_control off", {"setpoints: avc is 0, 1 is", NULL}},
    {"arc_voltage_control off", "arc_voltage_control on", {"setpoints: avc is 1, 0 is", NULL}},
    {"voltage_control_delay 1.5 s",
     "voltage_control_delay 1.6 s",
     {"setpoints: avc is 0, 1 is asked for", NULL}},
    /* the wall and where it lies */
    {"diameter 110 mm",
     "diameter 110.01 mm",
     {"tip-path: the tip is 0.0050 mm too far into", NULL}},
    {"(10, 20, 150) mm", "(10, 20.01, 150) mm", {"same-header: datum y_mm", "tip-path"}},
    {"turned 20 deg",
     "turned 20.1 deg",
     {"same-header: datum turned_deg", "order: the run begins"}},
    /* overlays */
    {"depths 70 .. 84 mm", "depths 70 .. 84.1 mm", {"tip-path: the tip is", NULL}},
    {"layers 2", "layers 1", {"order: overlay 2, layer 1 follows overlay 1, layer 1", NULL}},
    {"layers 2", "layers 3", {"order: the job has no overlay 1, layer 3", NULL}},
    {"pattern rings", "pattern spiral", {"coverage: overlay 1, layer 1: lap ", NULL}},
    {"overlap 20 %", "overlap 45 %", {"tip-path: the tip is", NULL}},
    {"progress shallower", "progress deeper", {"tip-path: the tip is", NULL}},
    {"direction anticlockwise", "direction clockwise", {"order: the run begins", NULL}},
    {"start_angle 20 deg", "start_angle 21 deg", {"order: the run begins 0.960 mm behind", NULL}},
    {"stagger 30 mm", "stagger 31 mm", {"order: the run begins 1.000 mm behind", NULL}},
    {"retract 5 mm", "retract 4 mm", {"moves: the head waits 4.000 mm off the wall", NULL}},
    {"retract 5 mm", "retract 5.1 mm", {"moves: the head waits 5.100 mm off the wall", NULL}},
    {"entry (1, 0) mm",
     "entry (1, 0.1) mm",
     {"moves: the head goes down beside entry and park", "goes up beside entry and park"}},
    {"entry_angle 45 deg",
     "entry_angle 46 deg",
     {"moves: the head goes down beside entry and park", NULL}},
    {"wait_layers 2 s", "wait_layers 1.5 s", {"order: a wait of 30 ticks before layer 2", "40"}},
    {"wait_laps 1 s", "wait_laps 0 s", {"order: a wait of 1 tick before layer 1, lap 2", "20"}},
    {"80 .. 100 deg", "80 .. 99 deg", {"arc-zones: the arc is on 0.960 mm into zone keyway", NULL}},
    {"80 .. 100 deg", "79 .. 100 deg", {"coverage: overlay 1, layer 1: lap 1 is missing", NULL}},
    {"margin 1 mm", "margin 0.9 mm", {"arc-zones: the arc is on 0.100 mm into zone keyway", NULL}},
    {"depth 48 mm", "depth 49 mm", {"arc-zones: the arc is on", "into zone port"}},
    {"toward 200 deg", "toward 201 deg", {"arc-zones: the arc is on", "into zone port"}},
    {"diameter 14 mm", "diameter 15 mm", {"coverage: overlay 2, layer 1: lap", NULL}},
    {"step_length 20 mm", "step_length 21 mm", {"tip-path: the tip is", NULL}},
    /* the job */
    {"sequence ring_wall, turn_wall",
     "sequence turn_wall, ring_wall",
     {"same-header: `# overlay 1 turn_wall file 1` should be `# overlay 1 ring_wall file 1`",
      NULL}},
    {"safe_height 40 mm", "safe_height 39 mm", {"moves: the head goes", NULL}},
};

static void write_text(const char *path, const char *text) {
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  fputs(text, file);
  assert_int_equal(fclose(file), 0);
}

/* promised.lay with the key changed. */
static void write_changed(const struct key *key) {
  char path[1400];
  snprintf(path, sizeof path, "%s/promised.lay", program->jobs);
  char *text = file_read(path), *at = strstr(text, key->from);
  assert_non_null(at);
  char *made = malloc(strlen(text) + strlen(key->to) + 1);
  sprintf(made, "%.*s%s%s", (int)(at - text), text, key->to, at + strlen(key->from));
  path_in(path, program, "changed.lay");
  write_text(path, made);
  free(made);
  free(text);
}

/* Under the name of the job as it stands. */
static void pass_off(const char *stream, const char *as) {
  static const char *const DIGESTS[] = {"\n# source sha256 ", "\n# cell bench sha256 "};
  struct edit edit = edit_open(stream), plain = edit_open(as);
  for (size_t i = 0; i < 2; i++) {
    char *digest = edit_header_text(&plain, DIGESTS[i]);
    edit_header(&edit, DIGESTS[i], digest);
    free(digest);
  }
  edit_write(&edit, stream, false);
  edit_close(&edit);
  edit_close(&plain);
}

static void test_key(void **state) {
  const struct key *key = *state;
  char path[1400], plain[1400];
  path_in(plain, program, "plain.csv");
  if (access(plain, R_OK) != 0) {
    assert_int_equal(program_run(program, "compile -q @promised.lay -o plain.csv"), 0);
    assert_int_equal(program_run(program, "verify -q plain.csv --job @promised.lay"), 0);
  }
  write_changed(key);
  if (program_run(program, "compile -q changed.lay -o a.csv") != 0)
    fail_msg("%s: it does not compile\n%s", key->to, program->err);
  path_in(path, program, "a.csv");
  pass_off(path, plain);
  if (program_run(program, "verify -q a.csv --job @promised.lay") != 1)
    fail_msg("%s: it holds", key->to);
  for (int i = 0; i < 2 && key->told[i]; i++)
    if (!strstr(program->err, key->told[i]))
      fail_msg("%s: `%s` is not told in\n%s", key->to, key->told[i], program->err);
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(KEYS)];
  for (size_t i = 0; i < COUNT(KEYS); i++)
    tests[i] = (struct CMUnitTest){KEYS[i].to, test_key, NULL, NULL, (void *)(uintptr_t)&KEYS[i]};
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
