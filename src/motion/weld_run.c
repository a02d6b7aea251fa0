/* A welding run: its track, its speed on whole ticks, its phases. */
#include <math.h>

#include "motion/build.h"
#include "motion/windows.h"

/* The pool's mean speed over any 0.5 mm must stay within 1 % of what is asked.  Roundings may take
 * this much of it; fitting the run to whole ticks may take the rest, 0.5 % at most. */
static const double SPEED_PART = 0.0095, TICK_PART = 0.005;

static struct rounding_limits weld_limits(const struct builder *builder,
                                          const struct procedure *procedure) {
  return (struct rounding_limits){.cell = builder->cell,
                                  .angle = 0.995 * procedure->angle_tolerance,
                                  .pool_slip = SPEED_PART * SPEED_WINDOW_MM};
}

static void refuse_speed(struct builder *builder, struct track *track,
                         const struct plan_overlay *overlay, const struct plan_layer *layer,
                         struct speed_verdict verdict) {
  const struct procedure *procedure = layer->procedure;
  struct rounding_limits limits = weld_limits(builder, procedure);
  double best = windows_highest_speed(track, procedure->travel_speed, &limits);
  static const char *const why[] = {
      [SPEED_FITS] = "",
      [SPEED_AXIS] = "an axis would pass its limits on the arc",
      [SPEED_ANGLE] = "rounding the joint would turn the torch past angle_tolerance",
      [SPEED_SLIP] = "slowing the tip at the joint would change the pool's speed by more than 1 %",
      [SPEED_SLOPE] = "sinking from lap to lap asks more of the axes than they have"};
  span at = origin_of_key(&procedure->origin, "travel_speed");
  struct diag *diag = diag_error(builder->diags, DIAG_SPEED_TOO_HIGH, at,
                                 "layer %d of overlay `%s` cannot be travelled at %.1f mm/min: %s",
                                 (int)layer->number, overlay->overlay->name,
                                 procedure->travel_speed * 60, why[verdict.bar]);
  diag_note(diag, overlay->overlay->origin.head, "the overlay is here");
  const struct contour_seg *seg = &track->contour->segs[verdict.seg];
  if (verdict.bar != SPEED_SLOPE && seg->turn != 0)
    diag_note(diag, overlay->overlay->wall->origin.head, "on the arc of radius %.3f mm",
              seg->radius);
  if (best > 0)
    diag_help(diag, "%.1f mm/min would do", floor(best * 600) / 10);
  else
    diag_help(diag, "no travel speed would do in this cell");
  builder->refused = true;
}

/* q's own limits near one end: x' a + x'' v^2 <= A and x' j + 3 x'' v a + x''' v^3 + step v^2/T <=
 * J on every axis (docs/motion.md, section 4). */
static struct ramp ramp_near(const struct builder *builder, const struct track *track, double q_a,
                             double q_b, double speed) {
  struct track_bound bound = track_bound_over(track, q_a, q_b);
  double v2 = speed * speed, accel = INFINITY, jerk = INFINITY;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *limit = &builder->cell->axis[axis];
    double *d = bound.d[axis];
    if (d[1] > 0)
      accel = fmin(accel, fmax(0.995 * limit->accel - d[2] * v2, 0.01 * limit->accel) / d[1]);
  }
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *limit = &builder->cell->axis[axis];
    double *d = bound.d[axis];
    double left = 0.995 * limit->jerk - 3 * d[2] * speed * accel - d[3] * v2 * speed -
                  bound.step[axis] * v2 / builder->tick;
    if (left < 0.3 * limit->jerk && d[2] > 0) {
      /* The cross term is the one that a gentler rise mends. */
      double rest = 0.995 * limit->jerk - d[3] * v2 * speed - bound.step[axis] * v2 / builder->tick;
      accel = fmin(accel, fmax(rest / 2, 0.005 * limit->jerk) / (3 * d[2] * speed));
      left = rest - 3 * d[2] * speed * accel;
    }
    if (d[1] > 0)
      jerk = fmin(jerk, fmax(left, 0.005 * limit->jerk) / d[1]);
  }
  return ramp_make(speed, accel, jerk);
}

/* The ramp at one end of a track: from_end false, at q = 0; true, at its end.  The stretch over
 * which the bounds are taken grows until it holds the ramp. */
static struct ramp ramp_at_end(const struct builder *builder, const struct track *track,
                               double speed, bool from_end) {
  double way = 0;
  struct ramp ramp = {0, 0};
  for (int i = 0; i < 12; i++) {
    double q_a = from_end ? track->length - way : 0;
    ramp = ramp_near(builder, track, q_a, q_a + way, speed);
    double needed = speed * ramp_duration(ramp) / 2;
    if (needed <= way)
      break;
    way = 1.02 * needed;
  }
  return ramp;
}

/* What the timing of a run comes to. */
struct timing {
  struct ramp up, down;
  double speed;
  int64_t weld_ticks; /* of travel at full current */
  int64_t down_ticks; /* of the downslope */
  bool down_in_weld;
};

/* Largest speed not above the procedure's at which the way at full current ends on a tick; where
 * that would lose too much, a longer run-up at the full speed. */
static void fit_to_ticks(const struct builder *builder, double way, double wanted, double slip,
                         struct timing *timing) {
  double ramps = ramp_duration(timing->up) / 2;
  if (timing->down_in_weld)
    ramps += ramp_duration(timing->down) / 2;
  timing->weld_ticks = ticks_of(way / wanted + ramps, builder->tick);
  double time = (double)timing->weld_ticks * builder->tick;
  timing->speed = fmin(wanted, way / (time - ramps));
  double may_lose = fmin(TICK_PART, SPEED_PART - slip / SPEED_WINDOW_MM);
  if (timing->speed < wanted * (1 - fmax(may_lose, 0))) {
    timing->speed = wanted;
    double longer = 2 * (time - ramps - way / wanted);
    timing->up = ramp_stretch(timing->up, ramp_duration(timing->up) + longer);
  }
}

static void track_legs_of_run(struct builder *builder, struct track *track,
                              const struct plan_run *run, double z_tip_to_h) {
  double datum_z = builder->plan->placement.at.z, s = run->s_start;
  track->legs = arena_alloc(builder->arena, run->leg_count + 1, sizeof(struct track_leg));
  for (size_t i = 0; i < run->leg_count; i++) {
    const struct plan_leg *leg = &run->legs[i];
    double z = datum_z - leg->depth_from + z_tip_to_h;
    struct track_leg *made = &track->legs[track->leg_count++];
    *made = track_leg_make(track, s, leg->s_length, z, leg->depth_to - leg->depth_from);
    made->lap = leg->lap;
    made->is_step = leg->is_step;
    track->length += made->length;
    s += track->dir * leg->s_length;
  }
}

/* Turn of the head at which the run starts: the nearest to head_near; with a limited head the
 * one nearest to park_head that holds the whole run. */
static bool head_turn_choose(struct builder *builder, struct track *track,
                             const struct plan_overlay *overlay, const struct plan_layer *layer,
                             double head_near) {
  const struct axis_limits *axis = &builder->cell->axis[AXIS_HEAD];
  const struct track_leg *last = &track->legs[track->leg_count - 1];
  double s1 = last->s0 + track->dir * last->s_length;
  double a0 = contour_at(track->contour, track->legs[0].s0, 0).angle;
  double a1 = contour_at(track->contour, s1, 0).angle;
  if (axis->endless) {
    track->head_shift = NUM_TURN * floor((head_near - a0) / NUM_TURN + 0.5);
    return true;
  }
  double lo = fmin(a0, a1), hi = fmax(a0, a1);
  double first = ceil((axis->travel.lo - lo) / NUM_TURN - 1e-12);
  double last_turn = floor((axis->travel.hi - hi) / NUM_TURN + 1e-12);
  if (first > last_turn) {
    struct diag *diag =
        diag_error(builder->diags, DIAG_HEAD_RANGE, overlay->overlay->origin.head,
                   "a run of layer %d turns the head from %.1f to %.1f deg (%.1f deg); the head's "
                   "travel of %.1f "
                   "deg does not hold it",
                   (int)layer->number, lo * 180 / NUM_PI, hi * 180 / NUM_PI,
                   (hi - lo) * 180 / NUM_PI, (axis->travel.hi - axis->travel.lo) * 180 / NUM_PI);
    diag_note(diag, origin_of_key(&axis->origin, "travel"), "the head's travel is given here");
    builder->refused = true;
    return false;
  }
  double wanted = floor((builder->cell->park_head - a0) / NUM_TURN + 0.5);
  track->head_shift = NUM_TURN * fmin(fmax(wanted, first), last_turn);
  return true;
}

static double run_start_delay(const struct builder *builder, const struct procedure *procedure) {
  return (double)ticks_of(procedure->travel_start_delay, builder->tick) * builder->tick;
}

static struct motion_run *refuse_short(struct builder *builder, const struct plan_overlay *overlay,
                                       const struct plan_layer *layer, double way, double needed) {
  diag_error(builder->diags, DIAG_RUN_SHORT, overlay->overlay->origin.head,
             "a run of layer %d is %.3f mm long; its run-up and run-down need %.3f mm",
             (int)layer->number, way, needed);
  builder->refused = true;
  return NULL;
}

struct motion_run *weld_run_make(struct builder *builder, const struct plan_overlay *overlay,
                                 const struct plan_layer *layer, const struct plan_run *plan_run,
                                 double head_near) {
  const struct procedure *procedure = layer->procedure;
  const struct cell *cell = builder->cell;
  struct motion_run *run = builder_run(builder);
  run->track = track_contour(overlay->contour, layer->offset, layer->offset + procedure->arc_length,
                             cell->reach, layer->dir, 0);
  struct track *track = &run->track;
  track_legs_of_run(builder, track, plan_run, cell->drop);
  run->weld_legs = track->leg_count;
  track->windows = arena_alloc(builder->arena, track->contour->count, sizeof(struct joint_window));
  struct rounding_limits limits = weld_limits(builder, procedure);
  struct rounding_cost cost;
  double wanted = procedure->travel_speed, way = track->length;
  struct speed_verdict verdict = windows_size(track, wanted, &limits, &cost);
  if (verdict.bar != SPEED_FITS) {
    refuse_speed(builder, track, overlay, layer, verdict);
    return NULL;
  }
  struct timing timing = {.down_ticks = ticks_of(procedure->downslope, builder->tick)};
  double slope_time = (double)timing.down_ticks * builder->tick;
  timing.up = ramp_at_end(builder, track, wanted, false);
  if (way < wanted * ramp_duration(timing.up))
    return refuse_short(builder, overlay, layer, way, wanted * ramp_duration(timing.up));
  /* The run-down lies at the end of the downslope's run, whose length depends on it. */
  double extra = 0;
  if (procedure->downslope_travel && timing.down_ticks > 0) {
    track->legs[track->leg_count] =
        track_leg_extend(track, &track->legs[track->leg_count - 1], wanted * slope_time);
    track->leg_count++;
    track->length = way + wanted * slope_time;
    /* The run-down will lie anywhere in the last part of this: bounds over all of it. */
    double way_down = 0, slack = 2 * TICK_PART * wanted * slope_time;
    for (int i = 0; i < 12; i++) {
      double q_a = track->length - 2 * way_down - slack;
      timing.down = ramp_near(builder, track, q_a > way ? q_a : way, track->length, wanted);
      double needed = wanted * ramp_duration(timing.down) / 2;
      if (needed <= way_down)
        break;
      way_down = 1.02 * needed;
    }
    if (ramp_duration(timing.down) > slope_time)
      track->leg_count--;
  }
  timing.down_in_weld = track->leg_count == run->weld_legs;
  if (timing.down_in_weld) {
    track->length = way;
    timing.down = ramp_at_end(builder, track, wanted, true);
    double needed = wanted * (ramp_duration(timing.up) + ramp_duration(timing.down)) / 2;
    if (way < needed)
      return refuse_short(builder, overlay, layer, way, needed);
  }
  fit_to_ticks(builder, way, wanted, cost.pool_slip, &timing);
  double v = timing.speed;
  double weld_time = (double)timing.weld_ticks * builder->tick;
  double cruise = weld_time - ramp_duration(timing.up);
  if (timing.down_in_weld) {
    cruise -= ramp_duration(timing.down);
  } else {
    extra = v * (slope_time - ramp_duration(timing.down) / 2);
    struct track_leg *leg = &track->legs[track->leg_count - 1];
    *leg = track_leg_extend(track, leg - 1, extra);
    cruise += slope_time - ramp_duration(timing.down);
  }
  track->length = way + extra;
  if (!head_turn_choose(builder, track, overlay, layer, head_near))
    return NULL;
  track->from = track_pose(track, 0);
  track->to = track_pose(track, track->length);
  double before = (double)(ticks_of(procedure->touch_time, builder->tick) +
                           ticks_of(procedure->preflow, builder->tick) +
                           ticks_of(procedure->upslope, builder->tick)) *
                      builder->tick +
                  run_start_delay(builder, procedure);
  double after = (double)(ticks_of(procedure->postflow, builder->tick) +
                          (timing.down_in_weld ? timing.down_ticks : 0)) *
                 builder->tick;
  run->profile = profile_travel(before, timing.up, v, cruise, timing.down, after);
  run->info =
      (struct run_info){.overlay = overlay,
                        .layer = layer,
                        .run = plan_run,
                        .speed = v,
                        .run_up = ramp_duration(timing.up),
                        .run_down = ramp_duration(timing.down),
                        .length = way,
                        .total = track->length,
                        .travel_t0 = before,
                        .weld_end = before + weld_time,
                        .travel_t1 = before + weld_time + (timing.down_in_weld ? 0 : slope_time),
                        .run_down_in_weld = timing.down_in_weld};
  return run;
}

/* -- phases ------------------------------------------------------------------------------------ */

static struct wire_times wire_times_of(const struct builder *builder,
                                       const struct procedure *procedure, int64_t full_current,
                                       int64_t travel, int64_t weld_end) {
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
  if (procedure->wire_retract > 0 && procedure->wire_feed_speed > 0) {
    double full = procedure->wire_feed_speed * tick; /* drawn back in one tick */
    wire.retract_ticks = ticks_of(procedure->wire_retract / procedure->wire_feed_speed, tick);
    double before = (double)(wire.retract_ticks - 1) * full;
    wire.retract_last = (procedure->wire_retract - before) / tick;
  }
  return wire;
}

void weld_run_phases(struct builder *builder, struct motion_run *run) {
  const struct procedure *p = run->info.layer->procedure;
  double tick = builder->tick;
  int64_t zero = builder->now;
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
    phase->current_to = p->current;
  }
  int64_t full = builder->now;
  struct wire_times wire = wire_times_of(builder, p, full, full + delay, full + weld);
  struct phase *phase = builder_phase(builder, PHASE_WELD, weld, run, zero);
  phase->arc = phase->gas = true;
  phase->current_from = phase->current_to = p->current;
  phase->wire = wire;
  if (downslope > 0) {
    phase = builder_phase(builder, PHASE_DOWNSLOPE, downslope, run, zero);
    phase->arc = phase->gas = true;
    phase->current_from = p->current;
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
