/* A welding run: its track, its speed on whole ticks, its phases. */
#include <math.h>

#include "motion/build.h"
#include "motion/run_refuse.h"
#include "motion/weld_timing.h"
#include "motion/windows.h"

/* The pool's mean speed over any 0.5 mm must stay within 1 % of what is asked.  Roundings may take
 * this much of it; fitting the run to whole ticks may take the rest, TICK_PART at most. */
static const double SPEED_PART = 0.0095;
/* Of the acceleration and jerk of axis z, where no slope asks for any. */
static const double SLOPELESS_PART = 0.98;

/* Where the speed changes along the lap: what joints leave of an axis's acceleration and jerk to
 * the ramps, and of the pool's speed to the rounding of these. */
static const double LEFT_BY_RAMPS = 0.9, LEFT_OF_SPEED = 0.9;

static bool speed_changes(const struct plan_layer *layer) {
  return layer->values_least.travel_speed < layer->values_most.travel_speed;
}

static const struct cell *cell_less_ramps(struct arena *arena, const struct cell *cell) {
  struct cell *made = arena_alloc(arena, 1, sizeof *made);
  *made = *cell;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    made->axis[axis].accel *= LEFT_BY_RAMPS;
    made->axis[axis].jerk *= LEFT_BY_RAMPS;
  }
  return made;
}

static double speed_part(const struct plan_layer *layer) {
  return speed_changes(layer) ? LEFT_OF_SPEED * SPEED_PART : SPEED_PART;
}

/* Without an arc no pool has to keep its speed. */
static struct rounding_limits weld_limits(const struct builder *builder,
                                          const struct plan_layer *layer) {
  bool hurries = builder->times > 1;
  const struct cell *cell = builder->cell;
  if (speed_changes(layer))
    cell = cell_less_ramps(builder->arena, cell);
  return (struct rounding_limits){.cell = cell,
                                  .angle = 0.995 * layer->procedure->angle_tolerance,
                                  .pool_slip = hurries ? (double)INFINITY
                                                       : speed_part(layer) * SPEED_WINDOW_MM,
                                  .rise = (double)INFINITY,
                                  .sways = layer->procedure->oscillation.width > 0};
}

void track_add_legs(struct builder *builder, struct track *track, double s_start,
                    const struct plan_leg *legs, size_t count) {
  double z_zero = builder->plan->placement.at.z + builder->cell->drop, s = s_start;
  track->legs = arena_alloc(builder->arena, count + 1, sizeof(struct track_leg));
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
    run_refuse_turn(builder, overlay, layer, turned);
    return false;
  }
  double wanted = floor((builder->cell->park_head - a0) / NUM_TURN + 0.5);
  track->head_shift = NUM_TURN * fmin(fmax(wanted, first), last_turn);
  return true;
}

static double run_start_delay(const struct builder *builder, const struct procedure *procedure) {
  return (double)ticks_of(procedure->travel_start_delay, builder->tick) * builder->tick;
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

/* Run-up, the course at its pace, run-down; t_down: when this begins. */
static void course_profile(struct motion_run *run, const struct weld_timing *timing, double before,
                           double t_down, double after) {
  struct course *course = &run->course;
  double up = ramp_duration(timing->up);
  course->t_from = before + up;
  course->t_to = t_down;
  course_settle(course, before + up / 2);
  course->q_from = course->pace * course->first.travel_speed * up / 2;
  course_speed_bounds(course, &run->info.speed_blur, &run->info.speed_drift);
  run->profile = profile_course(before, timing->up, course, timing->down, after, run->track.length);
}

/* Times of the run, from where it stands on the wall to the end of the postflow. */
static void times_settle(const struct builder *builder, struct motion_run *run,
                         const struct weld_timing *timing) {
  const struct procedure *procedure = run->procedure;
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
  double after = (double)standing * tick;
  if (run->info.layer->change_count > 0)
    course_profile(run, timing, before, before + ramp_duration(timing->up) + cruise, after);
  else
    run->profile = profile_travel(before, timing->up, timing->speed, cruise, timing->down, after);
  run->info.speed = timing->speed;
  run->info.pace = timing->speed / run->info.layer->values_most.travel_speed;
  run->info.run_up = ramp_duration(timing->up);
  run->info.run_down = ramp_duration(timing->down);
  run->info.length = timing->way;
  run->info.total = run->track.length;
  run->info.travel_t0 = before;
  run->info.weld_end = before + weld_time;
  run->info.travel_t1 = before + weld_time + slope_time;
  run->info.run_down_in_weld = timing->down_in_weld;
}

/* -- sizing ------------------------------------------------------------------------------------ */

enum sized { SIZED, SIZED_TOO_FAST, SIZED_TOO_SHORT, SIZED_STEEP };
struct sizing {
  enum sized sized;
  struct speed_verdict verdict;
  struct weld_timing timing;
  const struct course_change *steep; /* SIZED_STEEP */
};

/* The run's way with all that the downslope may add to it. */
static const struct course_change *ramps_fit(const struct builder *builder, struct track *track,
                                             struct course *course, double beyond, double edge) {
  size_t legs = track->leg_count;
  double length = track->length;
  track_add_level(track, beyond, edge);
  const struct course_change *steep = course_steep_find(builder, track, course);
  track->leg_count = legs;
  track->length = length;
  return steep;
}

static void course_size(const struct builder *builder, struct motion_run *run, double edge,
                        double may_lose, struct sizing *sizing) {
  const struct plan_layer *layer = run->info.layer;
  double fastest = run->procedure->travel_speed;
  double slope = (double)ticks_of(run->procedure->downslope, builder->tick) * builder->tick;
  double beyond = run->procedure->downslope_travel ? fastest * slope : 0;
  run->course = course_make(builder->arena, &run->track, layer, beyond);
  run->course.pace = fastest / layer->values_most.travel_speed;
  sizing->steep = ramps_fit(builder, &run->track, &run->course, beyond, edge);
  if (sizing->steep)
    sizing->sized = SIZED_STEEP;
  else if (!course_timing_find(builder, &run->track, run->procedure, &run->course, edge, may_lose,
                               &sizing->timing))
    sizing->sized = SIZED_TOO_SHORT;
  sizing->timing.speed = run->course.pace * layer->values_most.travel_speed;
}

static void timing_size(const struct builder *builder, struct motion_run *run, double may_lose,
                        struct sizing *sizing) {
  double edge = edge_find(&run->track, run->info.run);
  if (run->info.layer->change_count > 0)
    course_size(builder, run, edge, may_lose, sizing);
  else if (!weld_timing_find(builder, &run->track, run->procedure, edge, may_lose, &sizing->timing))
    sizing->sized = SIZED_TOO_SHORT;
}

static struct sizing run_size(const struct builder *builder, struct motion_run *run) {
  const struct plan_layer *layer = run->info.layer;
  struct rounding_limits limits = weld_limits(builder, layer);
  struct rounding_cost cost;
  struct sizing sizing = {.sized = SIZED};
  sizing.verdict = windows_size(&run->track, run->procedure->travel_speed, &limits, &cost);
  if (sizing.verdict.bar != SPEED_FITS)
    sizing.sized = SIZED_TOO_FAST;
  else
    timing_size(builder, run,
                fmax(fmin(TICK_PART, speed_part(layer) - cost.pool_slip / SPEED_WINDOW_MM), 0),
                &sizing);
  return sizing;
}

/* -- swaying ----------------------------------------------------------------------------------- */

/* Shortest crossing that axis z bears at `speed`, s. */
static double least_crossing(const struct builder *builder, const struct motion_run *run,
                             double speed) {
  const struct track *track = &run->track;
  double sink = 0, part = SLOPELESS_PART;
  for (size_t i = 0; i < track->leg_count; i++)
    sink = fmax(sink, fabs(track->legs[i].sink));
  if (sink > 0)
    part = SWAY_PART;
  if (speed_changes(run->info.layer))
    part *= LEFT_BY_RAMPS;
  return sway_least_crossing(builder->cell, run->procedure->oscillation.width, sink * speed, part);
}

/* times: as fast as the weld goes */
static bool sway_fits(const struct builder *builder, const struct motion_run *run, double times) {
  const struct oscillation *oscillation = &run->procedure->oscillation;
  return oscillation->width == 0 || oscillation_crossing(oscillation) / times >=
                                        least_crossing(builder, run, run->procedure->travel_speed);
}

/* q of the whole run at which what is left of it begins, `behind` mm of contour on. */
static double q_behind(const struct track *whole, double behind) {
  size_t i = 0;
  while (i + 1 < whole->leg_count && behind > whole->legs[i].s_length)
    behind -= whole->legs[i++].s_length;
  const struct track_leg *leg = &whole->legs[i];
  double s0 = leg->s0, s1 = s0 + whole->dir * behind;
  double level =
      contour_offset_length(whole->contour, whole->pool_offset, fmin(s0, s1), fmax(s0, s1));
  return leg->q0 + level / leg->flat;
}

static struct sway sway_of(const struct motion_run *run) {
  const struct run_info *info = &run->info;
  return sway_make(&run->info.layer->procedure->oscillation, &run->profile,
                   info->travel_t0 + info->run_up, info->travel_t1 - info->run_down);
}

/* In a rehearsal everything but the moves is to go `times` as fast. */
static const struct procedure *hurried(const struct builder *builder,
                                       const struct procedure *procedure, double times) {
  struct procedure *made = arena_alloc(builder->arena, 1, sizeof *made);
  *made = *procedure;
  made->travel_speed *= times;
  made->touch_time /= times;
  made->preflow /= times;
  made->upslope /= times;
  made->travel_start_delay /= times;
  made->downslope /= times;
  made->postflow /= times;
  return made;
}

static void legs_only(struct motion_run *run) {
  const struct track_leg *last = &run->track.legs[run->weld_legs - 1];
  run->track.leg_count = run->weld_legs;
  run->track.length = last->q0 + last->length;
}

/* As fast as asked for, or as near to it as the axes and the run's own length allow. */
static struct sizing rehearsal_size(const struct builder *builder, struct motion_run *run) {
  const struct procedure *procedure = run->procedure;
  struct sizing sizing;
  for (double times = builder->times; times > 1; times *= 0.85) {
    run->procedure = hurried(builder, procedure, times);
    sizing = run_size(builder, run);
    if (sizing.sized == SIZED && sway_fits(builder, run, times))
      return sizing;
    legs_only(run);
  }
  run->procedure = procedure;
  return run_size(builder, run);
}

/* With what the layer's sectors ask for all round, or with the fastest speed along the lap. */
static const struct procedure *procedure_of(const struct builder *builder,
                                            const struct plan_layer *layer) {
  if (layer->procedure->travel_speed == layer->values_most.travel_speed)
    return layer->procedure;
  struct procedure *made = arena_alloc(builder->arena, 1, sizeof *made);
  *made = *layer->procedure;
  made->travel_speed = layer->values_most.travel_speed;
  return made;
}

static struct motion_run *run_on_track(struct builder *builder, const struct plan_overlay *overlay,
                                       const struct plan_layer *layer,
                                       const struct plan_run *plan_run) {
  const struct procedure *procedure = layer->procedure;
  struct motion_run *run = builder_run(builder);
  run->track = track_contour(overlay->contour, layer->offset, layer->offset + procedure->arc_length,
                             builder->cell->reach, layer->dir, 0);
  run->info = (struct run_info){.overlay = overlay, .layer = layer, .run = plan_run};
  run->procedure = procedure_of(builder, layer);
  run->course = (struct course){.first = layer->values, .hi = (double)INFINITY, .pace = 1};
  builder_group(builder, &run->track, procedure->angle_tolerance,
                speed_part(layer) * SPEED_WINDOW_MM);
  track_add_legs(builder, &run->track, plan_run->s_start, plan_run->legs, plan_run->leg_count);
  run->weld_legs = run->track.leg_count;
  return run;
}

/* The rest of a run that was broken off goes over the same roundings at the same speed. */
static struct sizing rest_size(struct builder *builder, struct motion_run *run) {
  struct motion_run *whole =
      run_on_track(builder, run->info.overlay, run->info.layer, builder->resume->whole);
  struct sizing sizing = run_size(builder, whole);
  if (sizing.sized != SIZED)
    return sizing;
  struct procedure *made = arena_alloc(builder->arena, 1, sizeof *made);
  *made = *run->procedure;
  made->travel_speed = sizing.timing.speed;
  run->procedure = made;
  run->track.windows = whole->track.windows;
  run->track.slope_window = whole->track.slope_window;
  run->track.widest = whole->track.widest;
  timing_size(builder, run, 0, &sizing);
  return sizing;
}

/* The run as it is welded from its start on: what is rehearsed or taken up again sways where that
 * does. */
static struct motion_run *welded_run(const struct builder *builder, const struct motion_run *run,
                                     const struct plan_run *plan_run) {
  struct builder at_speed = *builder;
  at_speed.times = 1;
  struct motion_run *whole = run_on_track(&at_speed, run->info.overlay, run->info.layer, plan_run);
  struct sizing sizing = run_size(&at_speed, whole);
  if (sizing.sized == SIZED)
    times_settle(&at_speed, whole, &sizing.timing);
  return whole;
}

static bool sway_lay(struct builder *builder, struct motion_run *run, bool is_rest) {
  struct track *track = &run->track;
  struct run_info *info = &run->info;
  if (run->procedure->oscillation.width == 0)
    return true;
  if (builder->times == 1 && !sway_fits(builder, run, 1)) {
    run_refuse_sway(builder, run, least_crossing(builder, run, run->procedure->travel_speed));
    return false;
  }
  struct sway sway = sway_of(run);
  bool is_weld = builder->times == 1 && !is_rest;
  if (!is_weld) {
    const struct plan_run *plan_run = is_rest ? builder->resume->whole : info->run;
    const struct motion_run *whole = welded_run(builder, run, plan_run);
    sway = sway_of(whole);
    sway.q_shift = q_behind(&whole->track, info->run->from - plan_run->from);
    sway_limit(&sway, profile_at(&run->profile, info->travel_t0 + info->run_up),
               profile_at(&run->profile, info->travel_t1 - info->run_down));
  } else if (!sway_exists(&sway)) {
    run_refuse_swayless(builder, run);
    return false;
  }
  track->sway = sway;
  info->sway_first = sway.first;
  info->sway_last = sway.last;
  return true;
}

struct motion_run *weld_run_make(struct builder *builder, const struct plan_overlay *overlay,
                                 const struct plan_layer *layer, const struct plan_run *plan_run,
                                 double head_near) {
  struct motion_run *run = run_on_track(builder, overlay, layer, plan_run);
  struct track *track = &run->track;
  bool is_rest = builder->resume && builder->resume->rest == plan_run;
  struct sizing sizing = is_rest ? rest_size(builder, run) : rehearsal_size(builder, run);
  if (sizing.sized == SIZED_TOO_FAST) {
    struct rounding_limits limits = weld_limits(builder, layer);
    double best = windows_highest_speed(track, layer->values_most.travel_speed, &limits);
    run_refuse_speed(builder, track, overlay, layer, sizing.verdict, best);
  }
  if (sizing.sized == SIZED_TOO_SHORT)
    run_refuse_short(builder, run, &sizing.timing);
  if (sizing.sized == SIZED_STEEP)
    run_refuse_ramp(builder, run, sizing.steep);
  if (sizing.sized != SIZED || !head_turn_choose(builder, track, overlay, layer, head_near))
    return NULL;
  track->from = track_pose(track, 0);
  track->to = track_pose(track, track->length);
  times_settle(builder, run, &sizing.timing);
  return sway_lay(builder, run, is_rest) ? run : NULL;
}
