/* The judge: streams of sound jobs hold; every fault of a catalogue is found, also where times,
 * counts and the CRC are in order, and where the stream is sound in itself but of another job. */
#include "cli/program.h"
#include "cli/stream_edit.h"

#include <assert.h>
#include <stdint.h>

/* -- faults ----------------------------------------------------------------------------------- */

/* In full travel, in the middle of the second ring. */
static size_t in_weld(const struct edit *edit) {
  return edit_find(edit, 0, "weld", "1", "2") + 400;
}

static void lap_without_arc(struct edit *edit) {
  for (size_t i = 0; i < edit->count; i++)
    if (edit_is(&edit->rows[i], FIELD_OVERLAY, "1") && edit_is(&edit->rows[i], FIELD_LAP, "2") &&
        !edit_is(&edit->rows[i], FIELD_PHASE, "wait"))
      edit_put_out(&edit->rows[i]);
}

static void lap_cut_out(struct edit *edit) {
  size_t from = edit_find(edit, 0, "", "1", "2"), to = edit_find(edit, from, "", "1", "3");
  edit_remove(edit, from, to);
}

static void turn_cut_out(struct edit *edit) {
  size_t from = edit_find(edit, 0, "weld", "2", "1") + 200,
         to = edit_find(edit, from, "weld", "2", "2") + 200;
  edit_remove(edit, from, to);
}

static void setpoint_moved(struct edit *edit) {
  edit_shift(&edit->rows[in_weld(edit)], FIELD_X, 0.05, 6);
}

static void head_turned(struct edit *edit) {
  edit_shift(&edit->rows[in_weld(edit)], FIELD_HEAD, 0.05, 6);
}

static void moved_while_standing(struct edit *edit) {
  edit_shift(&edit->rows[edit_find(edit, 0, "postflow", "1", "1") + 20], FIELD_Z, 0.0001, 6);
}

static void swap_rows(struct edit *edit) {
  size_t i = in_weld(edit);
  struct edit_row keep = edit->rows[i];
  edit->rows[i] = edit->rows[i + 1];
  edit->rows[i + 1] = keep;
}

/* As a spreadsheet or another controller may keep angles. */
static void angles_wrapped(struct edit *edit) {
  for (size_t i = 0; i < edit->count; i++) {
    double angle = atof(edit->rows[i].fields[FIELD_HEAD]);
    edit_shift(&edit->rows[i], FIELD_HEAD, angle > 400 ? -360 : 0, 6);
  }
  edit_header(edit, "\n# head_end_deg ", edit->rows[edit->count - 1].fields[FIELD_HEAD]);
}

/* A million turns and back, where the head is far from metal. */
static void head_leaps(struct edit *edit) {
  edit_shift(&edit->rows[40], FIELD_HEAD, 360e6, 6);
}

/* Behind the last weld the rest is gone. */
static void cut_off_at_the_end(struct edit *edit) {
  size_t i = edit->count - 1;
  while (!edit_is(&edit->rows[i], FIELD_PHASE, "postflow"))
    i--;
  edit_remove(edit, i + 12, edit->count);
  edit_header(edit, "\n# head_end_deg ", edit->rows[edit->count - 1].fields[FIELD_HEAD]);
}

static void tick_missing(struct edit *edit) {
  size_t i = in_weld(edit);
  edit_remove(edit, i, i + 1);
}

static void tick_missing_in_postflow(struct edit *edit) {
  size_t i = edit_find(edit, 0, "postflow", "1", "1") + 20;
  edit_remove(edit, i, i + 1);
}

/* Rows from..to-1 stay where row from-1 is. */
static void hold_place(struct edit *edit, size_t from, size_t to) {
  static const enum field FIELDS[] = {FIELD_X, FIELD_Y, FIELD_Z, FIELD_HEAD};
  for (size_t i = from; i < to; i++)
    for (size_t k = 0; k < sizeof FIELDS / sizeof FIELDS[0]; k++)
      memcpy(edit->rows[i].fields[FIELDS[k]], edit->rows[from - 1].fields[FIELDS[k]],
             sizeof edit->rows[i].fields[FIELDS[k]]);
}

/* The rows of the downslope, and the first after it, stay where it began. */
static void standing_downslope(struct edit *edit) {
  size_t from = edit_find(edit, 0, "downslope", "1", "1");
  hold_place(edit, from + 1, edit_find(edit, from, "postflow", "1", "1") + 1);
}

/* The travel begins six ticks late. */
static void late_travel(struct edit *edit) {
  size_t i = edit_find(edit, 0, "weld", "1", "1") + 1;
  while (strcmp(edit->rows[i].fields[FIELD_HEAD], edit->rows[i - 1].fields[FIELD_HEAD]) == 0)
    i++;
  hold_place(edit, i, i + 6);
}

static void wrong_current(struct edit *edit) {
  edit_set(&edit->rows[in_weld(edit)], FIELD_CURRENT, "200.1");
}

static void wrong_slope(struct edit *edit) {
  edit_shift(&edit->rows[edit_find(edit, 0, "upslope", "1", "1") + 7], FIELD_CURRENT, 0.1, 1);
}

static void whole_slope_wrong(struct edit *edit) {
  size_t from = edit_find(edit, 0, "upslope", "1", "2");
  for (size_t i = from; edit_is(&edit->rows[i], FIELD_PHASE, "upslope"); i++) {
    edit_shift(&edit->rows[i], FIELD_CURRENT, 0.3, 1);
    edit_shift(&edit->rows[i], FIELD_VOLTAGE, 0.1, 2);
  }
}

static void wrong_voltage(struct edit *edit) {
  edit_set(&edit->rows[in_weld(edit)], FIELD_VOLTAGE, "11.51");
}

static void wrong_wire(struct edit *edit) {
  edit_set(&edit->rows[in_weld(edit)], FIELD_WIRE, "0.000");
  edit_set(&edit->rows[in_weld(edit)], FIELD_WIRE_CURRENT, "0.0");
}

static void wrong_hot_wire(struct edit *edit) {
  edit_set(&edit->rows[in_weld(edit)], FIELD_WIRE_CURRENT, "49.9");
}

static void arc_out_in_a_row(struct edit *edit) {
  struct edit_row *row = &edit->rows[in_weld(edit)];
  char phase[20];
  snprintf(phase, sizeof phase, "%s", row->fields[FIELD_PHASE]);
  edit_put_out(row);
  edit_set(row, FIELD_PHASE, phase);
}

/* The arc goes out a tick late: a row of the postflow is called one of the downslope. */
static void arc_on_for_a_tick_more(struct edit *edit) {
  size_t i = edit_find(edit, 0, "postflow", "1", "1");
  edit->rows[i] = edit->rows[i - 1];
}

static void gas_out(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "preflow", "1", "1") + 5], FIELD_GAS, "0");
}

static void control_in_upslope(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "upslope", "1", "1") + 9], FIELD_AVC, "1");
}

static void control_in_downslope(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "downslope", "1", "1") + 9], FIELD_AVC, "1");
}

static void control_before_its_delay(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "weld", "1", "1") + 60], FIELD_AVC, "1");
}

/* The step lies before the first row of the second lap. */
static void control_on_a_step(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "weld", "2", "2") - 30], FIELD_AVC, "1");
}

static void no_control(struct edit *edit) {
  edit_set(&edit->rows[in_weld(edit)], FIELD_AVC, "0");
}

static void wrong_lap(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "weld", "2", "2") + 300], FIELD_LAP, "1");
}

static void wrong_line(struct edit *edit) {
  for (size_t i = 0; i < edit->count; i++)
    if (edit_is(&edit->rows[i], FIELD_OVERLAY, "1"))
      edit_set(&edit->rows[i], FIELD_LINE, "3");
}

static void another_layer(struct edit *edit) {
  edit_set(&edit->rows[in_weld(edit)], FIELD_LAYER, "2");
}

static void lap_in_the_upslope(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "upslope", "1", "2") + 3], FIELD_LAP, "3");
}

static void wrong_line_in_a_move(struct edit *edit) {
  edit_set(&edit->rows[edit_find(edit, 0, "move", "2", "1") + 3], FIELD_LINE, "17");
}

static void no_wait(struct edit *edit) {
  for (size_t i = 0; i < edit->count; i++)
    if (edit_is(&edit->rows[i], FIELD_PHASE, "wait"))
      edit_set(&edit->rows[i], FIELD_PHASE, "move");
}

static void overlay_left_out(struct edit *edit) {
  size_t from = edit_find(edit, 0, "move", "2", "1"), to = edit_find(edit, from, "move", "0", "0");
  edit_remove(edit, from, to);
}

static void not_at_park(struct edit *edit) {
  for (size_t i = edit->count - 40; i < edit->count; i++)
    edit_shift(&edit->rows[i], FIELD_Y, 0.001, 6);
}

static void another_datum(struct edit *edit) {
  edit_header(edit, "\n# datum ",
              "x_mm 10.000100 y_mm 20.000000 z_mm 150.000000 turned_deg 20.000000");
}

static void another_title(struct edit *edit) {
  edit_header(edit, "\n# job ", "\"judged\" part \"\" revision \"B\"");
}

static void called_a_weld(struct edit *edit) {
  edit_header(edit, "\n# mode ", "weld");
}

struct fault {
  const char *name;
  const char *compile; /* settings and kind of the stream, beside the job's own */
  const char *verify;  /* the same for the judge */
  void (*mutate)(struct edit *edit);
  bool keeps_digest; /* else the header tells the digest of the job as the judge reads it */
  bool keeps_times;
  const char *told[2]; /* parts of what is said */
};

static const struct fault FAULTS[] = {
    {"a lap missing: the arc never lit",
     "",
     "",
     lap_without_arc,
     false,
     false,
     {"coverage: overlay 1, layer 1: lap 2 is missing", NULL}},
    {"a lap missing: its rows cut out",
     "",
     "",
     lap_cut_out,
     false,
     false,
     {"coverage: overlay 1, layer 1: lap 2 is missing", "axis-jerk"}},
    {"a turn missing of a stepped layer",
     "",
     "",
     turn_cut_out,
     false,
     false,
     {"order: lap 2 is told where lap 1 is due", "coverage: overlay 2, layer 1: lap 1 is missing"}},
    {"pitch off by 1 %",
     "--set deep=56.08mm",
     "",
     NULL,
     false,
     false,
     {"tip-path: the tip is 0.0000 mm too far from the wall and 0.0800 mm too deep in lap 1",
      NULL}},
    {"tip off by 0.02 mm",
     "--set gap=3.02mm",
     "",
     NULL,
     false,
     false,
     {"tip-path: the tip is 0.0200 mm too far from the wall", NULL}},
    {"arc on 1 mm into an off zone",
     "--set margin=1mm",
     "",
     NULL,
     false,
     false,
     {"arc-zones: the arc is on 1.000 mm into zone keyway", NULL}},
    /* thousands of rows in which it would take long to find how deep it gets between them */
    {"arc on deep in an off zone",
     "",
     "--set margin=140mm",
     NULL,
     true,
     false,
     {"arc-zones: the arc is on", " mm into zone keyway; and so on, "}},
    {"one setpoint moved by 0.05 mm",
     "",
     "",
     setpoint_moved,
     false,
     false,
     {"axis-jerk: x goes at", "tip-path"}},
    {"the head turned by 0.05 deg in one row",
     "",
     "",
     head_turned,
     false,
     false,
     {"axis-jerk: head goes at", "travel-speed: the pool goes at"}},
    {"a tenth of a um where the head stands",
     "",
     "",
     moved_while_standing,
     false,
     false,
     {"order: the head moves by 0.000100 in postflow, where it stands", NULL}},
    {"angles wrapped",
     "",
     "",
     angles_wrapped,
     false,
     false,
     {"axis-speed: head leaps by 35", "it is counted on over whole turns, never wrapped"}},
    {"the head leaps by a million turns",
     "",
     "",
     head_leaps,
     false,
     false,
     {"axis-speed: head leaps by 3", "clearance: the head leaps so far in a tick"}},
    {"two rows swapped", "", "", swap_rows, false, false, {"axis-jerk", NULL}},
    {"two rows swapped with their times",
     "",
     "",
     swap_rows,
     false,
     true,
     {"the row's time is not its number times the tick", NULL}},
    {"a tick missing", "", "", tick_missing, false, false, {"axis-jerk", NULL}},
    {"a tick missing, times kept",
     "",
     "",
     tick_missing,
     false,
     true,
     {"the row's time is not its number times the tick", NULL}},
    {"a tick missing where all stands",
     "",
     "",
     tick_missing_in_postflow,
     false,
     false,
     {"order: postflow lasted 149 ticks, the procedure gives it 150", NULL}},
    {"wrong current in a row",
     "",
     "",
     wrong_current,
     false,
     false,
     {"setpoints: current_a is 200.1, 200.0 is asked for", NULL}},
    {"wrong current in a row of the upslope",
     "",
     "",
     wrong_slope,
     false,
     false,
     {"setpoints: current_a is ", NULL}},
    {"an upslope wrong from end to end: each column is told once",
     "",
     "",
     whole_slope_wrong,
     false,
     false,
     {"setpoints: current_a is 20.3, 20.0 is asked for; and so on, 50 faults up to row ",
      "setpoints: voltage_v is 11.60, 11.50 is asked for; and so on, 50 faults up to row "}},
    {"wrong voltage in a row",
     "",
     "",
     wrong_voltage,
     false,
     false,
     {"setpoints: voltage_v is 11.51, 11.50 is asked for", NULL}},
    {"wire out in a row",
     "",
     "",
     wrong_wire,
     false,
     false,
     {"setpoints: wire_mm_s is 0.000, 25.000 is asked for", NULL}},
    {"wrong hot wire in a row",
     "",
     "",
     wrong_hot_wire,
     false,
     false,
     {"setpoints: wire_current_a is 49.9, 50.0 is asked for", NULL}},
    {"arc out in a row",
     "",
     "",
     arc_out_in_a_row,
     false,
     false,
     {"arc, current or voltage cannot be so in this phase or mode", NULL}},
    {"arc on for a tick more",
     "",
     "",
     arc_on_for_a_tick_more,
     false,
     false,
     {"order: downslope lasted 101 ticks, the procedure gives it 100", NULL}},
    {"gas out in a row",
     "",
     "",
     gas_out,
     false,
     false,
     {"setpoints: gas is 0, 1 is asked for", NULL}},
    {"voltage control on in the upslope",
     "",
     "",
     control_in_upslope,
     false,
     false,
     {"voltage control cannot be so in this phase or mode", NULL}},
    {"voltage control on in the downslope",
     "",
     "",
     control_in_downslope,
     false,
     false,
     {"voltage control cannot be so in this phase or mode", NULL}},
    {"voltage control on before its delay",
     "",
     "",
     control_before_its_delay,
     false,
     false,
     {"setpoints: avc is 1, 0 is asked for", NULL}},
    {"voltage control on on a step",
     "",
     "",
     control_on_a_step,
     false,
     false,
     {"setpoints: avc is 1, 0 is asked for: no voltage control before its delay or on a step",
      NULL}},
    {"no voltage control in a row",
     "",
     "",
     no_control,
     false,
     false,
     {"setpoints: avc is 0, 1 is asked for", NULL}},
    {"a wrong lap in a row",
     "",
     "",
     wrong_lap,
     false,
     false,
     {"order: lap 1 is told where lap 2 is due", NULL}},
    {"a wrong line",
     "",
     "",
     wrong_line,
     false,
     false,
     {"order: line 3 is told, the overlay's head is in line 17", NULL}},
    {"a row of another layer",
     "",
     "",
     another_layer,
     false,
     false,
     {"order: overlay 1, layer 2, lap 2 are told in a run of 1, 1, 2", NULL}},
    {"another lap in the upslope",
     "",
     "",
     lap_in_the_upslope,
     false,
     false,
     {"order: overlay 1, layer 1, lap 3 are told in a run of 1, 1, 2", NULL}},
    {"a wrong line in a move",
     "",
     "",
     wrong_line_in_a_move,
     false,
     false,
     {"order: line 17 is told, the overlay's head is in line 26", NULL}},
    {"no waits",
     "",
     "",
     no_wait,
     false,
     false,
     {"order: a wait of 0 ticks before layer 1, lap 2; asked for: 1", NULL}},
    {"an overlay left out",
     "",
     "",
     overlay_left_out,
     false,
     false,
     {"order: the stream ends before overlay 2, layer 1", NULL}},
    {"not back at the park position",
     "",
     "",
     not_at_park,
     false,
     false,
     {"order: the last row is not at the cell's park position", NULL}},
    {"a tie-in 1 mm short",
     "--set tie=5mm",
     "",
     NULL,
     false,
     false,
     {"order: full current ends 5.000 mm behind the lap's start, the tie-in is 6.000 mm", NULL}},
    {"a downslope that stands where it travels",
     "",
     "",
     standing_downslope,
     false,
     false,
     {"order: the torch stands while the current falls; it is to travel on", NULL}},
    {"travel that begins late",
     "",
     "",
     late_travel,
     false,
     false,
     {"longer at full current than travel_start_delay says", NULL}},
    {"another revision's stream",
     "",
     "--set tie=6.0mm",
     NULL,
     true,
     false,
     {"same-source: the stream was made from another revision of these files", NULL}},
    {"another revision's title",
     "",
     "",
     another_title,
     false,
     false,
     {"same-header: `# job \"judged\" part \"\" revision \"B\"` should be", NULL}},
    {"another datum",
     "",
     "",
     another_datum,
     false,
     false,
     {"same-header: datum x_mm is 10.000100, with this job it is 10.000000", NULL}},
    {"a stream for another cell",
     "--set reach=41mm",
     "",
     NULL,
     false,
     false,
     {"same-cell: the stream was made for another cell", "same-header: torch reach_mm"}},
    {"a body nearer to the wall than the cell allows",
     "",
     "--set stem=48mm",
     NULL,
     true,
     false,
     {"clearance: a body is", NULL}},
    {"a torch nearer to the wall",
     "",
     "--set gap=2.5mm --set deep=57mm",
     NULL,
     true,
     false,
     {"tip-path", NULL}},
    {"a rehearsal taken for a weld",
     "--rehearse",
     "",
     NULL,
     false,
     false,
     {"mode: this is a stream of mode rehearsal; it was taken for mode weld (--mode rehearsal "
      "takes it for one)",
      NULL}},
    {"a rehearsal that calls itself a weld",
     "--rehearse",
     "",
     called_a_weld,
     false,
     false,
     {"cannot be so in this phase or mode", NULL}},
    {"a weld taken for a rehearsal",
     "",
     "--mode rehearsal",
     NULL,
     false,
     false,
     {"mode: this is a stream of mode weld; it was taken for mode rehearsal (--mode weld takes it "
      "for one)",
      NULL}},
    {"a resumed weld taken for the whole",
     "--resume overlay=ring_wall,layer=1,lap=2,along=100mm",
     "",
     NULL,
     false,
     false,
     {"mode: this is a stream of mode resume; it was taken for mode weld (--mode resume takes it "
      "for one)",
      NULL}},
};

/* -- running ---------------------------------------------------------------------------------- */

static void run_ok(struct program *program, const char *line) {
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", line, program->err);
}

static struct edit compiled(struct program *program, const char *options) {
  const char *name = *options ? "made.csv" : "plain.csv"; /* the plain one serves many */
  char line[400], path[1400];
  path_in(path, program, name);
  if (*options || access(path, R_OK) != 0) {
    snprintf(line, sizeof line, "compile @judged.lay -q -o %s %s", name, options);
    run_ok(program, line);
  }
  return edit_open(path);
}

static void setup_stream(struct program *program, const struct fault *fault) {
  char path[1400];
  struct edit edit = compiled(program, fault->compile);
  if (*fault->compile && !fault->keeps_digest) {
    struct edit plain = compiled(program, "");
    char *digest = edit_header_text(&plain, "\n# source sha256 ");
    edit_header(&edit, "\n# source sha256 ", digest);
    free(digest);
    edit_close(&plain);
  }
  if (fault->mutate)
    fault->mutate(&edit);
  path_in(path, program, "faulty.csv");
  edit_write(&edit, path, fault->keeps_times);
  edit_close(&edit);
}

static struct program *program; /* one folder for all */

static int begin(void **state) {
  int result = program_setup(state);
  program = *state;
  *state = NULL; /* else the rows of the tables would not be passed */
  return result;
}

static int end(void **state) {
  *state = program;
  return program_teardown(state);
}

static void test_fault(void **state) {
  const struct fault *fault = *state;
  char line[400];
  setup_stream(program, fault);
  snprintf(line, sizeof line, "verify faulty.csv --job @judged.lay %s", fault->verify);
  int status = program_run(program, line);
  if (status != 1)
    fail_msg("%s: status %d\n%s", fault->name, status, program->out);
  for (int i = 0; i < 2 && fault->told[i]; i++)
    if (!strstr(program->err, fault->told[i]))
      fail_msg("%s: `%s` is not told in\n%s", fault->name, fault->told[i], program->err);
}

/* -- sound streams ---------------------------------------------------------------------------- */

struct sound {
  const char *name;
  const char *compile, *verify; /* without the command's name */
};

static const struct sound SOUND[] = {
    {"rings with a zone, steps", "@judged.lay -o a.csv", "a.csv --job @judged.lay"},
    {"binary", "@judged.lay -o a.spt", "a.spt --job @judged.lay"},
    {"settings", "@judged.lay --set tie=9mm -o a.spt", "a.spt --job @judged.lay --set tie=9mm"},
    {"rehearsal", "@judged.lay --rehearse -o a.spt", "a.spt --job @judged.lay --mode rehearsal"},
    {"fast rehearsal", "@judged.lay --rehearse --times 3 -o a.spt",
     "a.spt --job @judged.lay --mode rehearsal"},
    {"a rehearsal that eases its steps over half their length",
     "@eased_far.lay --rehearse --times 100 -o a.spt",
     "a.spt --job @eased_far.lay --mode rehearsal"},
    {"a lap that stops within a ramp, at full current", "@short_slope.lay -o a.spt",
     "a.spt --job @short_slope.lay"},
    {"resumed in a ring",
     "@judged.lay --resume overlay=ring_wall,layer=1,lap=2,along=100mm -o a.spt",
     "a.spt --job @judged.lay --mode resume"},
    {"resumed on a step",
     "@judged.lay --resume overlay=step_wall,layer=1,lap=2,along=10mm -o a.spt",
     "a.spt --job @judged.lay --mode resume"},
    {"a zone that ends 0.04 mm before the laps' start",
     "@zoned.lay --set from=338.0519deg -o a.spt", "a.spt --job @zoned.lay --set from=338.0519deg"},
    {"a step that begins between two rows far apart", "@coarse_step.lay -o a.spt",
     "a.spt --job @coarse_step.lay"},
    {"back by the short way, where the way on over a zone is the long one",
     "@round_zone.lay -o a.spt", "a.spt --job @round_zone.lay"},
    {"a sway that ends where the judge has no more room", "@swaying_rings.lay -o a.spt",
     "a.spt --job @swaying_rings.lay"},
    {"a hurried run too short to sway", "@swaying_short.lay --rehearse --times 8 -o a.spt",
     "a.spt --job @swaying_short.lay --mode rehearsal"},
    {"a sway that begins between two rows", "@swaying_coarse.lay -o a.spt",
     "a.spt --job @swaying_coarse.lay"},
    {"a sway over joints, at two speeds", "@swaying_joints.lay -o a.spt",
     "a.spt --job @swaying_joints.lay"},
    {"resumed where the wire comes after travel",
     "@late_wire.lay --resume overlay=ring_wall,layer=1,lap=2,along=100mm -o a.spt",
     "a.spt --job @late_wire.lay --mode resume"},
    {"a late wire over which the next ring lies", "@near_rings.lay -o a.spt",
     "a.spt --job @near_rings.lay"},
    {"the same, resumed in a ring",
     "@near_rings.lay --resume overlay=ring_wall,layer=1,lap=3,along=100mm -o a.spt",
     "a.spt --job @near_rings.lay --mode resume"},
    {"a late wire behind a zone, where the lap before lies near", "@late_behind_zone.lay -o a.spt",
     "a.spt --job @late_behind_zone.lay"},
    {"a spiral of two layers that a port breaks", "@port.lay -o a.spt", "a.spt --job @port.lay"},
    {"resumed in the second layer",
     "@port.lay --resume overlay=low_wall,layer=2,lap=2,along=40mm -o a.spt",
     "a.spt --job @port.lay --mode resume"},
    {"a limited head that winds back on the way across", "@waisted_winding.lay -o a.spt",
     "a.spt --job @waisted_winding.lay"},
    {"a head that turns before the wall", "@waisted_turning.lay -o a.spt",
     "a.spt --job @waisted_turning.lay"},
    {"two straights that lead on almost alike", "@waisted_straight.lay -o a.spt",
     "a.spt --job @waisted_straight.lay"},
    {"layers and overlap left open", "@auto.lay -o a.spt", "a.spt --job @auto.lay"},
    {"datum and wall on touches", "@touched.lay -o a.csv", "a.csv --job @touched.lay"},
};

static void test_sound(void **state) {
  const struct sound *sound = *state;
  char line[400];
  snprintf(line, sizeof line, "compile -q %s", sound->compile);
  run_ok(program, line);
  snprintf(line, sizeof line, "verify %s", sound->verify);
  run_ok(program, line);
  assert_non_null(strstr(program->out, "\nHOLDS: "));
  assert_non_null(strstr(program->out, "Dry-run with the arc off"));
  assert_string_equal(program->err, "");
}

/* The shortest programs of the shop: an outline that stands into the bore, a throat, limited turns.
 */
static const char *const PROGRAMS[] = {"boss_cavity", "wound_head"};

static void test_program(void **state) {
  char line[1000];
  const char *name = *state;
  snprintf(line, sizeof line, "compile -q %.600s/../../../programs/%s.lay -o a.spt", program->jobs,
           name);
  run_ok(program, line);
  snprintf(line, sizeof line, "verify -q a.spt --job %.600s/../../../programs/%s.lay",
           program->jobs, name);
  run_ok(program, line);
  assert_string_equal(program->out, "");
}

/* A whole ring of the second layer 0.05 mm beside its valley. */
static void test_beside_its_valley(void **state) {
  (void)state;
  char path[1400];
  run_ok(program, "compile -q @valleys.lay -o over.csv");
  run_ok(program, "verify over.csv --job @valleys.lay");
  path_in(path, program, "over.csv");
  struct edit edit = edit_open(path);
  for (size_t i = 0; i < edit.count; i++)
    if (edit_is(&edit.rows[i], FIELD_LAYER, "2") && edit_is(&edit.rows[i], FIELD_LAP, "2") &&
        !edit_is(&edit.rows[i], FIELD_PHASE, "move"))
      edit_shift(&edit.rows[i], FIELD_Z, 0.05, 6);
  edit_write(&edit, path, false);
  edit_close(&edit);
  assert_int_equal(program_run(program, "verify over.csv --job @valleys.lay"), 1);
  assert_non_null(strstr(program->err, "tip-path: the tip is 0.0000 mm too far from the wall and "
                                       "0.0500 mm too shallow in lap 2"));
}

/* Of rings that lie within a quarter of a bead's width one is left out. */
static void test_near_ring_left_out(void **state) {
  (void)state;
  char path[1400];
  run_ok(program, "compile -q @near_rings.lay -o near.csv");
  path_in(path, program, "near.csv");
  struct edit edit = edit_open(path);
  size_t from = edit_find(&edit, 0, "", "1", "2");
  edit_remove(&edit, from, edit_find(&edit, from, "", "1", "3"));
  edit_write(&edit, path, false);
  edit_close(&edit);
  assert_int_equal(program_run(program, "verify near.csv --job @near_rings.lay"), 1);
  assert_non_null(strstr(program->err, "coverage: overlay 1, layer 1: lap 2 is missing"));
}

/* That it comes to park by a turn too many is not told where it does not come there. */
static void test_cut_off(void **state) {
  (void)state;
  char path[1400];
  struct edit edit = compiled(program, "");
  cut_off_at_the_end(&edit);
  path_in(path, program, "faulty.csv");
  edit_write(&edit, path, false);
  edit_close(&edit);
  assert_int_equal(program_run(program, "verify faulty.csv --job @judged.lay"), 1);
  assert_non_null(strstr(program->err, "order: the last row is not at the cell's park position"));
  assert_null(strstr(program->err, "another whole turn is nearer"));
}

/* How deep is not looked for: along a torch that is wholly in metal that would take minutes a row.
 */
static void test_in_metal(void **state) {
  (void)state;
  run_ok(program, "compile -q @bore.lay -o a.csv");
  assert_int_equal(program_run(program, "verify a.csv --job @aside.lay"), 1);
  assert_non_null(strstr(program->err, "clearance: a body strikes metal, 2 mm are asked for"));
  assert_non_null(strstr(program->err, "torch-clearance: the torch or a guard strikes metal"));
}

/* -- what is said ----------------------------------------------------------------------------- */

static void test_json(void **state) {
  (void)state;
  run_ok(program, "compile -q @bore.lay -o a.csv");
  run_ok(program, "verify a.csv --job @bore.lay --json");
  assert_non_null(strstr(program->out, "\"format\": \"borelay-verify 1\""));
  assert_non_null(strstr(program->out, "\"verdict\": \"passed\""));
  assert_int_equal(program_run(program, "verify a.csv --job @port.lay --json"), 1);
  assert_non_null(strstr(program->out, "\"verdict\": \"failed\""));
  assert_non_null(strstr(program->err, "error: same-source: "));
}

static void test_use(void **state) {
  (void)state;
  static const struct {
    const char *line;
    int status;
    const char *told;
  } USES[] = {
      {"verify", 2, "verify wants a stream"},
      {"verify a.csv", 2, "verify wants --job JOB.lay"},
      {"verify a.csv b.csv --job @bore.lay", 2, "b.csv is one too many"},
      {"verify a.csv --job @bore.lay --mode dry", 2, "--mode wants weld, rehearsal or resume"},
      {"verify missing.csv --job @bore.lay", 3, "cannot read missing.csv"},
      {"verify a.csv --job missing.lay", 3, "cannot read missing.lay"},
      {"verify a.csv --job @wrong.lay", 1, "error[E"},
      {"verify @bore.lay --job @bore.lay", 1, "this is not a borelay stream"},
  };
  run_ok(program, "compile -q @bore.lay -o a.csv");
  for (size_t i = 0; i < sizeof USES / sizeof USES[0]; i++) {
    assert_int_equal(program_run(program, USES[i].line), USES[i].status);
    if (!strstr(program->err, USES[i].told))
      fail_msg("%s: `%s` is not told in\n%s", USES[i].line, USES[i].told, program->err);
  }
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(FAULTS) + COUNT(SOUND) + COUNT(PROGRAMS) + 6];
  size_t count = 0;
  for (size_t i = 0; i < COUNT(SOUND); i++)
    tests[count++] =
        (struct CMUnitTest){SOUND[i].name, test_sound, NULL, NULL, (void *)(uintptr_t)&SOUND[i]};
  for (size_t i = 0; i < COUNT(FAULTS); i++)
    tests[count++] =
        (struct CMUnitTest){FAULTS[i].name, test_fault, NULL, NULL, (void *)(uintptr_t)&FAULTS[i]};
  for (size_t i = 0; i < COUNT(PROGRAMS); i++)
    tests[count++] =
        (struct CMUnitTest){PROGRAMS[i], test_program, NULL, NULL, (void *)(uintptr_t)PROGRAMS[i]};
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_beside_its_valley);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_near_ring_left_out);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_cut_off);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_in_metal);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_json);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_use);
  assert(count == COUNT(tests));
  return cmocka_run_group_tests(tests, begin, end);
}
