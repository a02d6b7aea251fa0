/* How fast a welding run goes, so that its phases end on ticks; where it comes up to speed and
 * where it stops (docs/motion.md, section 4). */
#include "motion/weld_timing.h"

#include <math.h>

/* Bounds are taken over no less than this (mm), so that some curve holds them. */
static const double LEAST_WAY = 1e-3;

/* q's own limits near one end: x' a + x'' v^2 <= A and x' j + 3 x'' v a + x''' v^3 + step v^2/T <=
 * J on every axis (docs/motion.md, section 4). */
static struct ramp ramp_near(const struct builder *builder, struct track_bounds *bounds, double q_a,
                             double q_b, double speed) {
  struct track_bound bound = track_bounds_over(bounds, q_a, q_b);
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
struct ramp ramp_at_end(const struct builder *builder, const struct track *track, double speed,
                        bool from_end) {
  struct track_bounds bounds = track_bounds_begin(track);
  double way = LEAST_WAY;
  struct ramp ramp = {0, 0};
  for (int i = 0; i < 12; i++) {
    double q_a = from_end ? track->length - way : 0;
    ramp = ramp_near(builder, &bounds, q_a, q_a + way, speed);
    double needed = speed * ramp_duration(ramp) / 2;
    if (needed <= way)
      break;
    way = 1.02 * needed;
  }
  track_bounds_end(&bounds);
  return ramp;
}

/* -- the downslope's run ------------------------------------------------------------------------
 */

/* A level leg behind the legs of the plan, as far as `length` and the edge of a zone allow. */
void track_add_level(struct track *track, double length, double edge) {
  length = fmin(length, edge - track->length);
  if (length <= 0)
    return;
  track->legs[track->leg_count] =
      track_leg_extend(track, &track->legs[track->leg_count - 1], length);
  track->leg_count++;
  track->length += length;
}

/* The ramp at the end of the downslope's run, whose length depends on it: bounds over all of the
 * stretch in which it will lie. */
struct ramp run_down_find(const struct builder *builder, const struct track *track, double earliest,
                          double speed, double slope_time) {
  struct track_bounds bounds = track_bounds_begin(track);
  double way = LEAST_WAY, slack = 2 * TICK_PART * speed * slope_time;
  struct ramp down = {0, 0};
  for (int i = 0; i < 12; i++) {
    double from = fmax(track->length - 2 * way - slack, earliest);
    down = ramp_near(builder, &bounds, from, track->length, speed);
    double needed = speed * ramp_duration(down) / 2;
    if (needed <= way)
      break;
    way = 1.02 * needed;
  }
  track_bounds_end(&bounds);
  return down;
}

/* -- ticks --------------------------------------------------------------------------------------
 */

/* What travels `way` in whole ticks, `ramps` being half the time of its ramps: the largest speed
 * not above `wanted`; where that would lose too much, a longer run-up at the full speed. */
static int64_t ticks_fit(const struct builder *builder, double way, double ramps, double wanted,
                         double may_lose, struct weld_timing *timing) {
  int64_t ticks = ticks_of(way / wanted + ramps, builder->tick);
  double time = (double)ticks * builder->tick;
  timing->speed = fmin(wanted, way / (time - ramps));
  if (timing->speed < wanted * (1 - may_lose)) {
    timing->speed = wanted;
    double longer = 2 * (time - ramps - way / wanted);
    timing->up = ramp_stretch(timing->up, ramp_duration(timing->up) + longer);
  }
  return ticks;
}

/* The way at full current is given: the plan's legs. */
static void fit_legs(const struct builder *builder, double wanted, double may_lose,
                     struct weld_timing *timing) {
  double ramps = ramp_duration(timing->up) / 2;
  if (timing->down_in_weld)
    ramps += ramp_duration(timing->down) / 2;
  timing->weld_ticks = ticks_fit(builder, timing->way, ramps, wanted, may_lose, timing);
}

/* The whole way is given: up to the edge of a zone, where the arc is out. */
static void fit_edge(const struct builder *builder, double wanted, double may_lose, double total,
                     struct weld_timing *timing) {
  double down = ramp_duration(timing->down), ramps = (ramp_duration(timing->up) + down) / 2;
  int64_t ticks = ticks_fit(builder, total, ramps, wanted, may_lose, timing);
  double slope_time = (double)timing->down_ticks * builder->tick;
  timing->weld_ticks = ticks - timing->down_ticks;
  timing->way = total - timing->speed * (slope_time - down / 2);
}

/* -- all ----------------------------------------------------------------------------------------
 */

bool weld_timing_find(const struct builder *builder, struct track *track,
                      const struct procedure *procedure, double edge, double may_lose,
                      struct weld_timing *timing) {
  double wanted = procedure->travel_speed, legs = track->length;
  size_t plan_legs = track->leg_count;
  *timing = (struct weld_timing){.down_ticks = ticks_of(procedure->downslope, builder->tick),
                                 .way = legs};
  double slope_time = (double)timing->down_ticks * builder->tick;
  timing->up = ramp_at_end(builder, track, wanted, false);
  timing->down_in_weld = true;
  if (procedure->downslope_travel && timing->down_ticks > 0) {
    track_add_level(track, wanted * slope_time, edge);
    double earliest = isinf(edge) ? legs : 0;
    timing->down = run_down_find(builder, track, earliest, wanted, slope_time);
    timing->down_in_weld = ramp_duration(timing->down) > slope_time;
    track->leg_count = plan_legs;
    track->length = legs;
  }
  if (timing->down_in_weld)
    timing->down = ramp_at_end(builder, track, wanted, true);
  double down = ramp_duration(timing->down);
  double after = timing->down_in_weld ? 0 : wanted * (slope_time - down / 2);
  bool at_edge = legs + after > edge;
  /* The run-up may yet be drawn out by two ticks. */
  timing->needs_up = wanted * (ramp_duration(timing->up) / 2 + builder->tick);
  timing->needs_down = timing->down_in_weld ? wanted * down / 2 : at_edge ? after : 0;
  timing->has = at_edge ? edge : legs;
  if (timing->has < timing->needs_up + timing->needs_down)
    return false;
  if (at_edge) {
    fit_edge(builder, wanted, may_lose, edge, timing);
    track_add_level(track, edge - legs, edge);
  } else {
    fit_legs(builder, wanted, may_lose, timing);
    if (!timing->down_in_weld)
      track_add_level(track, timing->speed * (slope_time - down / 2), edge);
  }
  return true;
}
