/* setpoints.c - current, voltage, wire, gas and voltage control: at every row what
 * docs/semantics.md
 * ("A run") and docs/stream-format.md ask there, to the last decimal. */
#include <math.h>

#include "verify/judge.h"

struct asked {
  double current, voltage, wire, wire_current;
  bool arc, gas, avc;
  bool avc_either; /* within a tick's way of a step's end: not told by the place alone */
};

static bool is_arc_phase(uint8_t phase) {
  return phase == BORELAY_UPSLOPE || phase == BORELAY_WELD_PHASE || phase == BORELAY_DOWNSLOPE;
}

static double drawn_back(const struct procedure *p, int64_t k, double tick) {
  if (!(p->wire_retract > 0) || !(p->wire_feed_speed > 0))
    return 0;
  int64_t ticks = ticks_for(p->wire_retract / p->wire_feed_speed, tick);
  if (k >= ticks)
    return 0;
  if (k < ticks - 1)
    return -p->wire_feed_speed;
  return -(p->wire_retract / tick - (double)(ticks - 1) * p->wire_feed_speed);
}

static double ramp(double from, double to, int64_t k, int64_t count) {
  return from == to || count == 0 ? to : from + (to - from) * (double)k / (double)count;
}

static void ask_weld(const struct judge *judge, const struct procedure *p, int64_t k,
                     struct asked *asked) {
  double tick = judge->tick;
  int64_t travel = ticks_for(p->travel_start_delay, tick);
  int64_t control = ticks_for(p->voltage_control_delay, tick);
  asked->current = p->current;
  if (k >= ticks_for(p->wire_start_delay, tick)) {
    asked->wire = p->wire_feed_speed;
    asked->wire_current = p->wire_feed_speed > 0 ? p->wire_current : 0;
  }
  asked->avc = p->arc_voltage_control && k >= travel && k >= control;
  if (asked->avc && judge->run.is_placed && judge->lay->overlay->pattern == PATTERN_STEPPED) {
    struct lay_depth depth = lay_depth(judge->lay, judge->run.path, judge->run.sigma);
    asked->avc = !depth.is_step;
    asked->avc_either = depth.knee < 0.01; /* mm: what roundings may shift the pool, twice */
  }
}

static struct asked ask(const struct judge *judge, const struct borelay_row *row) {
  struct asked asked = {0};
  const struct procedure *p = judge->lay->procedure;
  int64_t k = (int64_t)row->index - judge->run.phase_from;
  asked.arc = is_arc_phase(row->phase);
  asked.gas = asked.arc || row->phase == BORELAY_PREFLOW || row->phase == BORELAY_POSTFLOW;
  if (asked.arc)
    asked.voltage = p->voltage;
  if (row->phase == BORELAY_UPSLOPE)
    asked.current = ramp(p->start_current, p->current, k, ticks_for(p->upslope, judge->tick));
  if (row->phase == BORELAY_WELD_PHASE)
    ask_weld(judge, p, k, &asked);
  if (row->phase == BORELAY_DOWNSLOPE) {
    asked.current = ramp(p->current, p->final_current, k, ticks_for(p->downslope, judge->tick));
    asked.wire = drawn_back(p, k, judge->tick);
  }
  return asked;
}

/* written: whole number in units of the last decimal. */
static void compare(struct judge *judge, const struct borelay_row *row, const char *column,
                    int64_t written, double asked, double unit, int decimals) {
  double value = (double)written * unit;
  if (fabs(value - asked) <= unit / 2 + 1e-9 * fabs(asked) + 1e-9)
    return;
  finding_fault(judge->findings, CHECK_SETPOINTS, (int64_t)row->index,
                "%s is %.*f, %.*f is asked for", column, decimals, value, decimals, asked);
}

static void compare_switch(struct judge *judge, const struct borelay_row *row, const char *column,
                           bool written, bool asked, const char *why) {
  if (written != asked)
    finding_fault(judge->findings, CHECK_SETPOINTS, (int64_t)row->index,
                  "%s is %d, %d is asked for%s", column, written, asked, why);
}

void setpoints_row(struct judge *judge, const struct borelay_row *row) {
  struct asked asked = {0};
  if (judge->has_process && judge->run.active)
    asked = ask(judge, row);
  finding_judged(judge->findings, CHECK_SETPOINTS);
  bool is_slope = row->phase == BORELAY_UPSLOPE || row->phase == BORELAY_DOWNSLOPE;
  compare_switch(judge, row, "arc", row->arc, asked.arc, "");
  compare_switch(judge, row, "gas", row->gas, asked.gas, "");
  if (!asked.avc_either)
    compare_switch(judge, row, "avc", row->avc, asked.avc,
                   !row->avc   ? ""
                   : is_slope  ? ": no voltage control in a slope"
                   : asked.arc ? ": no voltage control before its delay or on a step"
                               : "");
  compare(judge, row, "current_a", row->current_100ma, asked.current, 0.1, 1);
  compare(judge, row, "voltage_v", row->voltage_10mv, asked.voltage, 0.01, 2);
  compare(judge, row, "wire_mm_s", row->wire_um_s, asked.wire, 0.001, 3);
  compare(judge, row, "wire_current_a", row->wire_current_100ma, asked.wire_current, 0.1, 1);
}
