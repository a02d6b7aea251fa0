/* setpoints.c - current, voltage, wire, gas and voltage control: at every row what
 * docs/semantics.md
 * ("A run") and docs/stream-format.md ask there, to the last decimal. */
#include <math.h>
#include <string.h>

#include "verify/judge.h"

/* Values that sectors change are told by the place, and so only within a range. */
struct asked {
  struct range current, voltage, wire;
  double wire_current;
  bool arc, gas, avc;
  bool avc_either; /* within a tick's way of a step's end: not told by the place alone */
};

/* mm by which the place that a row's values belong to may lie off the row's own: roundings of the
 * tip's way at joints, of the places written, of the ends of ramps. */
static const double PLACE_GIVE = 0.02;

static bool is_arc_phase(uint8_t phase) {
  return phase == BORELAY_UPSLOPE || phase == BORELAY_WELD_PHASE || phase == BORELAY_DOWNSLOPE;
}

static struct range exactly(double value) {
  return (struct range){value, value};
}

static double drawn_back(double retract, double feed, int64_t k, double tick) {
  if (!(retract > 0) || !(feed > 0))
    return 0;
  int64_t ticks = ticks_for(retract / feed, tick);
  if (k >= ticks)
    return 0;
  return k < ticks - 1 ? -feed : -(retract / tick - (double)(ticks - 1) * feed);
}

static double ramp(double from, double to, int64_t k, int64_t count) {
  return from == to || count == 0 ? to : from + (to - from) * (double)k / (double)count;
}

/* May the run come to its end within this way?  The room before a zone changes by little more than
 * the way on the wall. */
static bool may_end_within(const struct judge *judge, double way) {
  const struct run *run = &judge->run;
  const struct lay *lay = judge->lay;
  double least = lay_path_length(lay, run->path) + (judge->room ? 0 : lay->tie);
  return run->sigma + way >= least - PLACE_GIVE ||
         arc_room_about(judge->room, lay_s(lay, run->path, run->sigma), run->depth,
                        lay->procedure->oscillation.width / 2, NULL) <= 2 * way;
}

/* May the torch stop at full current?  Also where the downslope is shorter than the run-down, which
 * lasts twice its way over the speed. */
static bool may_stop_at_full(const struct judge *judge, double way) {
  const struct procedure *p = judge->lay->procedure;
  return !p->downslope_travel || p->downslope <= 2 * way / judge->lay->asked.least.of[ASKED_SPEED];
}

/* What the place asks for.  A run that begins within a ramp has from its start on what the place
 * asks for at which it has come up to speed; one that stops within a ramp, to its end what that one
 * does at which it began to stop: is_held, for values that do not change from row to row. */
static struct asked_span ask_place(const struct judge *judge, const struct borelay_row *row,
                                   bool is_held) {
  const struct run *run = &judge->run;
  const struct lay *lay = judge->lay;
  if (lay->asked.count == 0 || !run->is_placed)
    return (struct asked_span){lay->asked.least, lay->asked.most};
  double way = pace_ramp_way(judge), back = PLACE_GIVE, ahead = PLACE_GIVE;
  if (is_held)
    ahead += fmax(run->sigma_from + way - run->sigma, 0);
  bool stops = row->phase == BORELAY_DOWNSLOPE ||
               (may_stop_at_full(judge, way) && may_end_within(judge, way));
  if (stops) /* it begins to stay within a tick */
    back += is_held ? way : lay->asked.most.of[ASKED_SPEED] * judge->tick;
  return asked_about(lay, run->path, run->sigma, back, ahead);
}

static struct range span_of(const struct asked_span *place, enum asked_value value) {
  return (struct range){place->lo.of[value], place->hi.of[value]};
}

/* With sectors: from what the first row of the downslope has, as far as its decimals tell it. */
static void ask_downslope(const struct judge *judge, const struct procedure *p,
                          const struct asked_span *place, int64_t k, struct asked *asked) {
  double tick = judge->tick;
  int64_t count = ticks_for(p->downslope, tick);
  if (judge->lay->asked.count == 0) {
    asked->current = exactly(ramp(place->lo.of[ASKED_CURRENT], p->final_current, k, count));
    asked->wire = exactly(drawn_back(p->wire_retract, place->lo.of[ASKED_WIRE], k, tick));
    return;
  }
  if (k == 0) {
    asked->current = span_of(place, ASKED_CURRENT);
    asked->wire = (struct range){-place->hi.of[ASKED_WIRE], 0};
    if (p->wire_retract / tick > place->hi.of[ASKED_WIRE])
      asked->wire.hi = -place->lo.of[ASKED_WIRE];
    if (!(p->wire_retract > 0))
      asked->wire = exactly(0);
    return;
  }
  double fallen = ramp(judge->run.fallen, p->final_current, k, count);
  asked->current = (struct range){fallen - 0.05, fallen + 0.05};
  double wire = drawn_back(p->wire_retract, judge->run.drawn, k, tick);
  bool is_last = wire < 0 && wire > -judge->run.drawn;
  double give = is_last ? 0.0005 * (double)k : wire < 0 ? 0.0005 : 0;
  asked->wire = (struct range){wire - give, wire + give};
}

static void ask_weld(const struct judge *judge, const struct procedure *p,
                     const struct asked_span *place, int64_t k, struct asked *asked) {
  double tick = judge->tick;
  int64_t travel = ticks_for(p->travel_start_delay, tick);
  int64_t control = ticks_for(p->voltage_control_delay, tick);
  asked->current = span_of(place, ASKED_CURRENT);
  if (k >= ticks_for(p->wire_start_delay, tick)) {
    asked->wire = span_of(place, ASKED_WIRE);
    asked->wire_current = p->wire_current;
  }
  asked->avc = p->arc_voltage_control && k >= travel && k >= control;
  if (asked->avc && judge->run.is_placed && judge->lay->overlay->pattern == PATTERN_STEPPED) {
    struct lay_depth depth = lay_depth(judge->lay, judge->run.path, judge->run.sigma);
    asked->avc = !depth.is_step;
    asked->avc_either = depth.knee < 0.01; /* mm: what roundings may shift the pool, twice */
  }
}

static struct asked ask(const struct judge *judge, const struct borelay_row *row, bool is_held) {
  struct asked asked = {0};
  const struct procedure *p = judge->lay->procedure;
  int64_t k = (int64_t)row->index - judge->run.phase_from;
  asked.arc = is_arc_phase(row->phase);
  asked.gas = asked.arc || row->phase == BORELAY_PREFLOW || row->phase == BORELAY_POSTFLOW;
  struct asked_span place = ask_place(judge, row, is_held);
  if (asked.arc)
    asked.voltage = span_of(&place, ASKED_VOLTAGE);
  int64_t count = ticks_for(p->upslope, judge->tick);
  if (row->phase == BORELAY_UPSLOPE)
    asked.current = (struct range){ramp(p->start_current, place.lo.of[ASKED_CURRENT], k, count),
                                   ramp(p->start_current, place.hi.of[ASKED_CURRENT], k, count)};
  if (row->phase == BORELAY_WELD_PHASE)
    ask_weld(judge, p, &place, k, &asked);
  if (row->phase == BORELAY_DOWNSLOPE)
    ask_downslope(judge, p, &place, k, &asked);
  return asked;
}

/* written: whole number in units of the last decimal. */
static bool is_within(double value, struct range asked, double unit) {
  double give = unit / 2 + 1e-9 * fabs(asked.hi) + 1e-9;
  return value >= asked.lo - give && value <= asked.hi + give;
}

/* held: what may be asked for where the value is that of the row before. */
static void compare(struct judge *judge, const struct borelay_row *row, const char *column,
                    int64_t written, int64_t before, struct range asked, struct range held,
                    double unit, int decimals) {
  double value = (double)written * unit;
  bool is_first = row->phase != judge->before.phase || row->phase == BORELAY_UPSLOPE;
  bool stays = is_first || written == before || before == 0;
  if (is_within(value, asked, unit) || (stays && is_within(value, held, unit)))
    return;
  char lo[40], hi[40];
  snprintf(lo, sizeof lo, "%.*f", decimals, asked.lo);
  snprintf(hi, sizeof hi, "%.*f", decimals, asked.hi);
  bool is_one = strcmp(lo, hi) == 0;
  finding_fault(judge->findings, CHECK_SETPOINTS, (int64_t)row->index,
                "%s is %.*f, %s%s%s is asked for%s", column, decimals, value, lo,
                is_one ? "" : " to ", is_one ? "" : hi,
                asked.lo == asked.hi ? "" : " at that place");
}

static void compare_switch(struct judge *judge, const struct borelay_row *row, const char *column,
                           bool written, bool asked, const char *why) {
  if (written != asked)
    finding_fault(judge->findings, CHECK_SETPOINTS, (int64_t)row->index,
                  "%s is %d, %d is asked for%s", column, written, asked, why);
}

static bool are_within(const struct borelay_row *row, const struct asked *asked) {
  return is_within((double)row->current_100ma * 0.1, asked->current, 0.1) &&
         is_within((double)row->voltage_10mv * 0.01, asked->voltage, 0.01) &&
         is_within((double)row->wire_um_s * 0.001, asked->wire, 0.001);
}

bool setpoints_are(const struct borelay_row *row, const struct values *values) {
  return are_within(row, &(struct asked){.current = exactly(values->of[ASKED_CURRENT]),
                                         .voltage = exactly(values->of[ASKED_VOLTAGE]),
                                         .wire = exactly(values->of[ASKED_WIRE])});
}

void setpoints_row(struct judge *judge, const struct borelay_row *row) {
  const struct borelay_row *before = &judge->before;
  struct asked asked = {0}, held;
  bool has_run = judge->has_process && judge->run.active;
  if (has_run)
    asked = ask(judge, row, false);
  held = asked;
  if (has_run && judge->lay->asked.count > 0 && !are_within(row, &asked))
    held = ask(judge, row, true);
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
  struct range hot = exactly(asked.wire_current);
  compare(judge, row, "current_a", row->current_100ma, before->current_100ma, asked.current,
          held.current, 0.1, 1);
  compare(judge, row, "voltage_v", row->voltage_10mv, before->voltage_10mv, asked.voltage,
          held.voltage, 0.01, 2);
  compare(judge, row, "wire_mm_s", row->wire_um_s, before->wire_um_s, asked.wire, held.wire, 0.001,
          3);
  compare(judge, row, "wire_current_a", row->wire_current_100ma, before->wire_current_100ma, hot,
          hot, 0.1, 1);
  if (row->phase == BORELAY_DOWNSLOPE && (int64_t)row->index == judge->run.phase_from) {
    judge->run.fallen = row->current_100ma * 0.1;
    judge->run.drawn = -row->wire_um_s * 0.001;
  }
}
