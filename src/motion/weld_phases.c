/* The phases of a welding run, touch to postflow: when arc, gas and wire are on. */
#include <math.h>

#include "motion/build.h"

static struct wire_times wire_times_of(const struct builder *builder,
                                       const struct procedure *procedure, int64_t full_current,
                                       int64_t travel, int64_t weld_end, double feed_at_end) {
  double tick = builder->tick;
  struct wire_times wire = {.feed1 = weld_end, .avc0 = weld_end};
  wire.feed0 = full_current + ticks_of(procedure->wire_start_delay, tick);
  if (wire.feed0 > weld_end)
    wire.feed0 = weld_end;
  if (procedure->arc_voltage_control) {
    wire.avc0 = full_current + ticks_of(procedure->voltage_control_delay, tick);
    if (wire.avc0 < travel)
      wire.avc0 = travel;
    if (wire.avc0 > weld_end)
      wire.avc0 = weld_end;
  }
  if (procedure->wire_retract > 0 && feed_at_end > 0) {
    double full = feed_at_end * tick; /* drawn back in one tick */
    wire.retract = feed_at_end;
    wire.retract_ticks = ticks_of(procedure->wire_retract / feed_at_end, tick);
    double before = (double)(wire.retract_ticks - 1) * full;
    wire.retract_last = (procedure->wire_retract - before) / tick;
  }
  return wire;
}

void weld_run_phases(struct builder *builder, struct motion_run *run) {
  const struct procedure *p = run->procedure;
  double tick = builder->tick;
  int64_t zero = builder->now;
  struct lap_values start = course_values_at(&run->course, 0);
  struct lap_values end = course_values_at(&run->course, run->info.weld_end);
  int64_t touch = ticks_of(p->touch_time, tick), preflow = ticks_of(p->preflow, tick);
  int64_t upslope = ticks_of(p->upslope, tick), postflow = ticks_of(p->postflow, tick);
  int64_t downslope = ticks_of(p->downslope, tick);
  int64_t delay = ticks_of(p->travel_start_delay, tick);
  int64_t weld = delay + (int64_t)floor((run->info.weld_end - run->info.travel_t0) / tick + 0.5);
  if (touch > 0)
    builder_phase(builder, PHASE_TOUCH, touch, run, zero);
  if (preflow > 0)
    builder_phase(builder, PHASE_PREFLOW, preflow, run, zero)->gas = true;
  if (upslope > 0) {
    struct phase *phase = builder_phase(builder, PHASE_UPSLOPE, upslope, run, zero);
    phase->arc = phase->gas = true;
    phase->current_from = p->start_current;
    phase->current_to = start.current;
  }
  int64_t full = builder->now;
  struct wire_times wire =
      wire_times_of(builder, p, full, full + delay, full + weld, end.wire_feed_speed);
  struct phase *phase = builder_phase(builder, PHASE_WELD, weld, run, zero);
  phase->arc = phase->gas = true;
  phase->current_from = start.current;
  phase->current_to = end.current;
  phase->wire = wire;
  if (downslope > 0) {
    phase = builder_phase(builder, PHASE_DOWNSLOPE, downslope, run, zero);
    phase->arc = phase->gas = true;
    phase->current_from = end.current;
    phase->current_to = p->final_current;
    phase->wire = wire;
    phase->lap = run->track.legs[run->weld_legs - 1].lap;
  }
  if (postflow > 0) {
    phase = builder_phase(builder, PHASE_POSTFLOW, postflow, run, zero);
    phase->gas = true;
    phase->lap = run->track.legs[run->weld_legs - 1].lap;
  }
  builder->pose = run->track.to;
}
