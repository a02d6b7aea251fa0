/* A welding run: its track, its speed on whole ticks, its phases. */
#include <math.h>

#include "motion/build.h"
#include "motion/weld_timing.h"
#include "motion/windows.h"

/* The pool's mean speed over any 0.5 mm must stay within 1 % of what is asked.  Roundings may take
 * this much of it; fitting the run to whole ticks may take the rest, TICK_PART at most. */
static const double SPEED_PART = 0.0095;

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

void track_add_legs(struct builder *builder, struct track *track, double s_start,
                    const struct plan_leg *legs, size_t count) {
  double z_zero = builder->plan->placement.at.z + builder->cell->drop, s = s_start;
  track->legs = arena_alloc(builder->arena, count + 1, sizeof(struct track_leg));
  track->windows = arena_alloc(builder->arena, track->contour->count, sizeof(struct joint_window));
  for (size_t i = 0; i < count; i++) {
    const struct plan_leg *leg = &legs[i];
    struct track_leg *made = &track->legs[track->leg_count++];
    *made = track_leg_make(track, s, leg->s_length, z_zero - leg->depth_from,
                           leg->depth_to - leg->depth_from);
    made->lap = leg->lap;
    made->is_step = leg->is_step;
    track->length += made->length;
    s += track->dir * leg->s_length;
  }
}

/* Least and largest head angle on the whole track, roundings included: past a bump the head turns
 * back, so that the ends do not tell. */
static struct range head_range(const struct track *track) {
  struct range range = {(double)INFINITY, -(double)INFINITY};
  struct curve_list list = {0};
  for (size_t leg = 0; leg < track->leg_count; leg++) {
    track_leg_curves(track, leg, &list);
    for (size_t i = 0; i < list.count; i++) {
      double least, largest;
      cubic_range(list.items[i].curve.head, 0, list.items[i].curve.length, &least, &largest);
      range.lo = fmin(range.lo, least);
      range.hi = fmax(range.hi, largest);
    }
  }
  curve_list_release(&list);
  return range;
}

static double degrees(double angle) {
  return angle * 180 / NUM_PI;
}

/* What the run needs: of the turns that it may be laid at, the one that the travel lacks least for.
 */
static void refuse_turn(struct builder *builder, const struct plan_overlay *overlay,
                        const struct plan_layer *layer, struct range turned) {
  const struct axis_limits *axis = &builder->cell->axis[AXIS_HEAD];
  double middle = (axis->travel.lo + axis->travel.hi - turned.lo - turned.hi) / 2;
  double shift = NUM_TURN * floor(middle / NUM_TURN + 0.5);
  double lo = turned.lo + shift, hi = turned.hi + shift;
  struct diag *diag = diag_error(
      builder->diags, DIAG_HEAD_RANGE, overlay->overlay->origin.head,
      "a run of layer %d turns the head by %.1f deg, from %.1f to %.1f deg or as much at another "
      "turn; its travel of %.1f .. %.1f deg does not hold it",
      (int)layer->number, degrees(hi - lo), degrees(lo), degrees(hi), degrees(axis->travel.lo),
      degrees(axis->travel.hi));
  diag_note(diag, origin_of_key(&axis->origin, "travel"), "the head's travel is given here");
  diag_help(diag, "a travel of %.1f .. %.1f deg would hold it",
            floor(degrees(fmin(lo, axis->travel.lo)) * 10 + 1e-6) / 10,
            ceil(degrees(fmax(hi, axis->travel.hi)) * 10 - 1e-6) / 10);
  builder->refused = true;
}

/* Turn of the head at which the run starts: the nearest to head_near; with a limited head the
 * one nearest to park_head that holds the whole run. */
static bool head_turn_choose(struct builder *builder, struct track *track,
                             const struct plan_overlay *overlay, const struct plan_layer *layer,
                             double head_near) {
  const struct axis_limits *axis = &builder->cell->axis[AXIS_HEAD];
  double a0 = contour_at(track->contour, track->legs[0].s0, 0).angle;
  if (axis->endless) {
    track->head_shift = NUM_TURN * floor((head_near - a0) / NUM_TURN + 0.5);
    return true;
  }
  struct range turned = head_range(track);
  double lo = turned.lo, hi = turned.hi;
  double first = ceil((axis->travel.lo - lo) / NUM_TURN - 1e-9);
  double last_turn = floor((axis->travel.hi - hi) / NUM_TURN + 1e-9);
  if (first > last_turn) {
    refuse_turn(builder, overlay, layer, turned);
    return false;
  }
  double wanted = floor((builder->cell->park_head - a0) / NUM_TURN + 0.5);
  track->head_shift = NUM_TURN * fmin(fmax(wanted, first), last_turn);
  return true;
}

static double run_start_delay(const struct builder *builder, const struct procedure *procedure) {
  return (double)ticks_of(procedure->travel_start_delay, builder->tick) * builder->tick;
}

/* Both lengths, and where the run lies; a zone on either side is what mostly makes it short. */
static void refuse_short(struct builder *builder, const struct motion_run *run,
                         const struct weld_timing *timing) {
  const struct plan_overlay *overlay = run->info.overlay;
  const struct plan_run *plan_run = run->info.run;
  struct diag *diag =
      diag_error(builder->diags, DIAG_RUN_SHORT, overlay->overlay->origin.head,
                 "a run of layer %d (lap %d, from s = %.3f mm) is %.3f mm long; its slopes need "
                 "%.3f mm: %.3f mm to come up to speed, %.3f mm %s",
                 (int)run->info.layer->number, (int)plan_run->legs[0].lap, plan_run->s_start,
                 timing->has, timing->needs_up + timing->needs_down, timing->needs_up,
                 timing->needs_down, timing->down_in_weld ? "to stop" : "for the downslope");
  for (size_t i = 0; i < overlay->overlay->zone_count; i++)
    diag_note(diag, overlay->overlay->zones[i].origin.head, "zone `%s` breaks laps here",
              overlay->overlay->zones[i].name);
  builder->refused = true;
}

/* q at which a zone begins behind the legs; INFINITY where none does. */
static double edge_find(const struct track *track, const struct plan_run *run) {
  if (isinf(run->room))
    return (double)INFINITY;
  const struct track_leg *last = &track->legs[track->leg_count - 1];
  double s0 = last->s0 + track->dir * last->s_length, s1 = s0 + track->dir * run->room;
  return track->length +
         contour_offset_length(track->contour, track->pool_offset, fmin(s0, s1), fmax(s0, s1));
}

/* Times of the run, from where it stands on the wall to the end of the postflow. */
static void times_settle(const struct builder *builder, struct motion_run *run,
                         const struct weld_timing *timing) {
  const struct procedure *procedure = run->info.layer->procedure;
  double tick = builder->tick, before = run_start_delay(builder, procedure);
  before += (double)(ticks_of(procedure->touch_time, tick) + ticks_of(procedure->preflow, tick) +
                     ticks_of(procedure->upslope, tick)) *
            tick;
  int64_t standing = ticks_of(procedure->postflow, tick);
  if (timing->down_in_weld)
    standing += timing->down_ticks;
  double weld_time = (double)timing->weld_ticks * tick;
  double slope_time = timing->down_in_weld ? 0 : (double)timing->down_ticks * tick;
  double cruise = weld_time + slope_time - ramp_duration(timing->up) - ramp_duration(timing->down);
  run->profile = profile_travel(before, timing->up, timing->speed, cruise, timing->down,
                                (double)standing * tick);
  run->info.speed = timing->speed;
  run->info.run_up = ramp_duration(timing->up);
  run->info.run_down = ramp_duration(timing->down);
  run->info.length = timing->way;
  run->info.total = run->track.length;
  run->info.travel_t0 = before;
  run->info.weld_end = before + weld_time;
  run->info.travel_t1 = before + weld_time + slope_time;
  run->info.run_down_in_weld = timing->down_in_weld;
}

struct motion_run *weld_run_make(struct builder *builder, const struct plan_overlay *overlay,
                                 const struct plan_layer *layer, const struct plan_run *plan_run,
                                 double head_near) {
  const struct procedure *procedure = layer->procedure;
  struct motion_run *run = builder_run(builder);
  run->track = track_contour(overlay->contour, layer->offset, layer->offset + procedure->arc_length,
                             builder->cell->reach, layer->dir, 0);
  run->info = (struct run_info){.overlay = overlay, .layer = layer, .run = plan_run};
  struct track *track = &run->track;
  track_add_legs(builder, track, plan_run->s_start, plan_run->legs, plan_run->leg_count);
  run->weld_legs = track->leg_count;
  struct rounding_limits limits = weld_limits(builder, procedure);
  struct rounding_cost cost;
  struct speed_verdict verdict = windows_size(track, procedure->travel_speed, &limits, &cost);
  if (verdict.bar != SPEED_FITS) {
    refuse_speed(builder, track, overlay, layer, verdict);
    return NULL;
  }
  struct weld_timing timing;
  double may_lose = fmax(fmin(TICK_PART, SPEED_PART - cost.pool_slip / SPEED_WINDOW_MM), 0);
  if (!weld_timing_find(builder, track, procedure, edge_find(track, plan_run), may_lose, &timing)) {
    refuse_short(builder, run, &timing);
    return NULL;
  }
  if (!head_turn_choose(builder, track, overlay, layer, head_near))
    return NULL;
  track->from = track_pose(track, 0);
  track->to = track_pose(track, track->length);
  times_settle(builder, run, &timing);
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
