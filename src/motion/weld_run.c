/* A welding run: its track, its speed on whole ticks, its sway. */
#include <math.h>

#include "motion/run_refuse.h"
#include "motion/weld_size.h"
#include "motion/weld_sway.h"
#include "motion/weld_track.h"

static double run_start_delay(const struct builder *builder, const struct procedure *procedure) {
  return (double)ticks_of(procedure->travel_start_delay, builder->tick) * builder->tick;
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
    sizing = weld_size(builder, run);
    if (sizing.sized == SIZED && weld_sway_fits(builder, run, times))
      return sizing;
    legs_only(run);
  }
  run->procedure = procedure;
  return weld_size(builder, run);
}

/* The rest of a run that was broken off goes over the same roundings at the same speed. */
static struct sizing rest_size(struct builder *builder, struct motion_run *run) {
  struct motion_run *whole =
      weld_track_make(builder, run->info.overlay, run->info.layer, builder->resume->whole);
  struct sizing sizing = weld_size(builder, whole);
  if (sizing.sized != SIZED)
    return sizing;
  struct procedure *made = arena_alloc(builder->arena, 1, sizeof *made);
  *made = *run->procedure;
  made->travel_speed = sizing.timing.speed;
  run->procedure = made;
  run->track.windows = whole->track.windows;
  run->track.slope_window = whole->track.slope_window;
  run->track.widest = whole->track.widest;
  weld_size_timing(builder, run, 0, &sizing);
  return sizing;
}

/* The run as it is welded from its start on: what is rehearsed or taken up again sways where that
 * does.  NULL: this is the weld, or does not sway. */
static const struct motion_run *welded_run(const struct builder *builder,
                                           const struct motion_run *run, bool is_rest) {
  bool is_weld = builder->times == 1 && !is_rest;
  if (is_weld || run->procedure->oscillation.width == 0)
    return NULL;
  struct builder at_speed = *builder;
  at_speed.times = 1;
  struct motion_run *whole = weld_track_make(&at_speed, run->info.overlay, run->info.layer,
                                             is_rest ? builder->resume->whole : run->info.run);
  struct sizing sizing = weld_size(&at_speed, whole);
  if (sizing.sized == SIZED)
    times_settle(&at_speed, whole, &sizing.timing);
  return whole;
}

struct motion_run *weld_run_make(struct builder *builder, const struct plan_overlay *overlay,
                                 const struct plan_layer *layer, const struct plan_run *plan_run,
                                 double head_near) {
  struct motion_run *run = weld_track_make(builder, overlay, layer, plan_run);
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
  if (sizing.sized != SIZED || !weld_head_choose(builder, run, head_near))
    return NULL;
  track->from = track_pose(track, 0);
  track->to = track_pose(track, track->length);
  times_settle(builder, run, &sizing.timing);
  return weld_sway_lay(builder, run, welded_run(builder, run, is_rest)) ? run : NULL;
}
