/* How fast a run goes on which the speed changes, so that its phases end on ticks
 * (docs/motion.md, section 8).  What is asked for near both ends depends on where the run-up ends
 * and the run-down begins, and those on the speeds there: settled by repetition, each round of
 * which takes the rest of the error down by the share that the speed changes by on a run-up's way.
 */
#include <math.h>

#include "motion/weld_timing.h"

enum { ROUNDS = 12 };

/* Short of its end by this (mm), so that rounding puts no change behind it. */
static const double AT_END = 1e-6;

/* The run-down's speed is not known to the last per cent when its ramp is made: it is made for one
 * that is so much higher, and asks less than the limits at the true one. */
static const double DOWN_FASTER = 1.05;

/* A ramp lasts no less than four of its rounded ends. */
static const double LEAST_ENDS = 4;
/* What an end of the run leaves of one, no less than so many: with its own ends as long it then
 * asks for 1 / (1 - 1 / CUT_ENDS) of the acceleration at most, which SHARE leaves room for. */
static const double CUT_ENDS = 40, SHARE = 0.97;

static double speed_at(const struct course *course, double q) {
  return course->pace * course_values(course, q).travel_speed;
}

static void snap(struct course *course) {
  course_snap(course, CUT_ENDS * course->t_jerk * course->pace);
}

/* -- ramps and the axes ------------------------------------------------------------------------ */

/* Time that one end of a ramp has to be rounded over: x' a + x'' v^2 <= A and x' a / t + 3 x'' v a
 * + x''' v^3 + step v^2 / T <= J on every axis; a is what the ramp, so rounded, needs.  INFINITY:
 * the axes have not so much. */
static double rounding_time(const struct builder *builder, const struct track_bound *bound,
                            double v0, double v1, double time, double least) {
  double v = fmax(v0, v1), v2 = v * v, t = least;
  for (int round = 0; round < 8; round++) {
    double a = fabs(v1 - v0) / (time - t), needed = t;
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
      const struct axis_limits *limit = &builder->cell->axis[axis];
      const double *d = bound->d[axis];
      double left = SHARE * limit->jerk - 3 * d[2] * v * a - d[3] * v2 * v -
                    bound->step[axis] * v2 / builder->tick;
      if (d[1] * a + d[2] * v2 > SHARE * limit->accel || (d[1] > 0 && left <= 0))
        return (double)INFINITY;
      if (d[1] > 0)
        needed = fmax(needed, d[1] * a / left);
    }
    if (needed > time / LEAST_ENDS)
      return (double)INFINITY;
    if (needed <= t)
      break;
    t = needed * 1.0001; /* the next round asks for hardly more: a grows with t / time */
  }
  return t;
}

/* What a sway that may lie anywhere in the change adds to axis z, per q.  A crossing, of D in a
 * time C, is even in q; u being the least speed in it, it takes u C of q at least, and 2 D/(u C), 8
 * D/(u C)^2, 32 D/(u C)^3 bound its derivatives (sway.h).  In it the speed is u + most C at most,
 * so that times v^2, v a and v^3 they are no more than what stands here times those of the fastest
 * v. */
static void bound_add_sway(struct track_bound *bound, const struct course *course, double v0,
                           double v1, double most) {
  const struct oscillation *sway = course->sway;
  if (!sway || sway->width == 0)
    return;
  double cross = (0.5 / sway->frequency - sway->dwell) / course->pace;
  double slow = fmin(v0, v1), fast = fmax(v0, v1), uneven = 1 + most * cross / slow;
  double *z = bound->d[AXIS_Z], at = fast * cross;
  z[1] += 2 * sway->width / (slow * cross);
  z[2] += 8 * sway->width * uneven * uneven / (at * slow * cross);
  z[3] += 32 * sway->width * uneven * uneven * uneven / (at * at * at);
}

/* From v0 to v1, before the course's pace, over q0 .. q1. */
static double speed_rounding(const struct builder *builder, const struct track *track,
                             const struct course *course, double v0, double v1, double q0,
                             double q1) {
  v0 *= course->pace;
  v1 *= course->pace;
  if (v0 == v1)
    return 0;
  struct track_bound bound = track_bound_over(track, fmax(q0, 0), fmin(fmax(q1, 0), track->length));
  double time = change_time(v0, v1, q1 - q0);
  /* rounded ends make a ramp steeper by a third at most (LEAST_ENDS) */
  bound_add_sway(&bound, course, v0, v1, fabs(v1 - v0) / time * 4 / 3);
  return rounding_time(builder, &bound, v0, v1, time, course->t_jerk);
}

static double change_rounding(const struct builder *builder, const struct track *track,
                              const struct course *course, const struct course_change *change,
                              double q0, double q1) {
  return speed_rounding(builder, track, course, course_from(change).travel_speed,
                        course_to(change).travel_speed, q0, q1);
}

const struct course_change *course_steep_find(const struct builder *builder,
                                              const struct track *track, struct course *course) {
  course->t_jerk = 0;
  /* One time for all: what one change needs asks a little more of the others. */
  for (double before = -1; course->t_jerk > before;) {
    before = course->t_jerk;
    for (size_t i = 0; i < course->count; i++) {
      const struct course_change *change = &course->changes[i];
      double t = change_rounding(builder, track, course, change, change->q0, change->q1);
      if (isinf(t) && (change->u0 <= 0 || change->t1 - change->t0 > LEAST_ENDS * course->t_jerk))
        return change;
      if (!isinf(t))
        course->t_jerk = fmax(course->t_jerk, t);
    }
  }
  return NULL;
}

double course_ramp_that_fits(const struct builder *builder, const struct track *track,
                             const struct course *course, const struct course_change *change) {
  double middle = (change->q0 + change->q1) / 2, length = change->q1 - change->q0;
  for (int i = 0; i < 40; i++) {
    length *= 1.15;
    double t =
        change_rounding(builder, track, course, change, middle - length / 2, middle + length / 2);
    double v = course_from(change).travel_speed + course_to(change).travel_speed;
    if (!isinf(t) && 2 * length / v / course->pace >= LEAST_ENDS * t)
      return length;
  }
  return 0;
}

/* Either speed as it is, and the other nearer to it. */
static bool share_fits(const struct builder *builder, const struct track *track,
                       const struct course *course, const struct course_change *change,
                       double share) {
  double a = course_from(change).travel_speed, b = course_to(change).travel_speed;
  double off = share * (b - a);
  return !isinf(speed_rounding(builder, track, course, a, a + off, change->q0, change->q1)) &&
         !isinf(speed_rounding(builder, track, course, b - off, b, change->q0, change->q1));
}

double course_share_that_fits(const struct builder *builder, const struct track *track,
                              const struct course *course, const struct course_change *change) {
  double fits = 0, steep = 1;
  for (int i = 0; i < 40; i++) {
    double middle = (fits + steep) / 2;
    if (share_fits(builder, track, course, change, middle))
      fits = middle;
    else
      steep = middle;
  }
  return fits;
}

/* -- both ends --------------------------------------------------------------------------------- */

/* The run-up's ramp and course->lo, behind which it ends though it be drawn out by two ticks. */
static void settle_up(const struct builder *builder, const struct track *track,
                      struct course *course, struct weld_timing *timing) {
  course->lo = 0;
  for (int i = 0; i < ROUNDS; i++) {
    double speed = speed_at(course, course->lo);
    timing->up = ramp_at_end(builder, track, speed, false);
    timing->needs_up = speed * (ramp_duration(timing->up) / 2 + builder->tick);
    course->lo = timing->needs_up;
  }
  snap(course);
  double speed = speed_at(course, course->lo);
  timing->up = ramp_at_end(builder, track, speed, false);
  timing->needs_up = speed * (ramp_duration(timing->up) / 2 + builder->tick);
}

/* Where the downslope's run would end at the speeds asked for. */
static double slope_end(const struct course *course, double legs, double time) {
  return course_place(course, course_asked_time(course, legs) + course->pace * time);
}

/* Full current up to the end: the run-down lies before it. */
static void settle_stop(const struct builder *builder, const struct track *track, double end,
                        struct course *course, struct weld_timing *timing) {
  for (int i = 0; i < ROUNDS; i++) {
    double speed = speed_at(course, fmin(course->hi, end));
    timing->down = ramp_at_end(builder, track, DOWN_FASTER * speed, true);
    course->hi = fmax(end - speed * ramp_duration(timing->down) / 2 - AT_END, course->lo);
    snap(course);
  }
}

/* The run-down's ramp, and course->hi before it, at the end of the downslope's run. */
static void settle_slope(const struct builder *builder, struct track *track, double legs,
                         double edge, double slope_time, struct course *course,
                         struct weld_timing *timing) {
  size_t plan_legs = track->leg_count;
  double earliest = isinf(edge) ? legs : 0, down = 0;
  for (int i = 0; i < ROUNDS; i++) {
    double end = fmin(slope_end(course, legs, fmax(slope_time - down / 2, 0)), edge);
    double speed = speed_at(course, fmin(course->hi, end));
    track_add_level(track, slope_end(course, legs, slope_time) - legs, edge);
    timing->down = run_down_find(builder, track, earliest, DOWN_FASTER * speed, slope_time);
    track->leg_count = plan_legs;
    track->length = legs;
    down = ramp_duration(timing->down);
    course->hi = fmax(end - speed * down / 2 - AT_END, course->lo);
    snap(course);
  }
}

/* -- ticks --------------------------------------------------------------------------------------
 */

/* As ticks_fit() of weld_timing.c, for what asks for `asked` s at the pace wanted. */
static int64_t pace_find(const struct builder *builder, double asked, double ramps, double wanted,
                         double may_lose, struct weld_timing *timing) {
  double at_speed = asked / wanted;
  int64_t ticks = ticks_of(at_speed + ramps, builder->tick);
  double time = (double)ticks * builder->tick, share = fmin(1, at_speed / (time - ramps));
  timing->pace = wanted * share;
  if (share < 1 - may_lose) {
    timing->pace = wanted;
    double longer = 2 * (time - ramps - at_speed);
    timing->up = ramp_stretch(timing->up, ramp_duration(timing->up) + longer);
  }
  return ticks;
}

/* A run that stops where `end` lies, or whose downslope does: hi moves with the pace found. */
struct pace_fit {
  const struct builder *builder;
  struct course *course;
  double wanted, may_lose, slope_time;
  struct ramp up; /* not drawn out */
};

static void hi_set(const struct pace_fit *fit, double q_down) {
  fit->course->hi = fmax(q_down - AT_END, fit->course->lo);
  snap(fit->course);
}

static double asked_speed_hi(const struct pace_fit *fit) {
  return course_values(fit->course, fit->course->hi).travel_speed;
}

/* The way at full current is given; *end: of the run. */
static void fit_legs(const struct pace_fit *fit, struct weld_timing *timing, double *end) {
  double down = ramp_duration(timing->down);
  for (int i = 0; i < ROUNDS; i++) {
    timing->up = fit->up;
    double ramps = ramp_duration(fit->up) / 2 + (timing->down_in_weld ? down / 2 : 0);
    double asked = course_asked_time(fit->course, timing->way);
    timing->weld_ticks = pace_find(fit->builder, asked, ramps, fit->wanted, fit->may_lose, timing);
    double run_down = timing->pace * asked_speed_hi(fit) * down / 2;
    timing->q_down =
        timing->down_in_weld
            ? timing->way - run_down
            : course_place(fit->course, asked + timing->pace * (fit->slope_time - down));
    *end = timing->q_down + run_down;
    if (i + 1 < ROUNDS)
      hi_set(fit, timing->q_down);
  }
}

/* The whole way is given: the arc is out at its end. */
static void fit_edge(const struct pace_fit *fit, struct weld_timing *timing, double end) {
  double tick = fit->builder->tick, down = ramp_duration(timing->down);
  for (int i = 0; i < ROUNDS; i++) {
    timing->up = fit->up;
    double ramps = (ramp_duration(fit->up) + down) / 2;
    double asked = course_asked_time(fit->course, end);
    int64_t ticks = pace_find(fit->builder, asked, ramps, fit->wanted, fit->may_lose, timing);
    timing->weld_ticks = ticks - timing->down_ticks;
    double travelled = (double)timing->weld_ticks * tick - ramp_duration(timing->up) / 2;
    timing->way = course_place(fit->course, timing->pace * travelled);
    timing->q_down = end - timing->pace * asked_speed_hi(fit) * down / 2;
    if (i + 1 < ROUNDS)
      hi_set(fit, timing->q_down);
  }
}

/* -- all -----------------------------------------------------------------------------------------
 */

bool course_timing_find(const struct builder *builder, struct track *track,
                        const struct procedure *procedure, struct course *course, double edge,
                        double may_lose, struct weld_timing *timing) {
  double legs = track->length;
  *timing = (struct weld_timing){.down_ticks = ticks_of(procedure->downslope, builder->tick),
                                 .way = legs,
                                 .down_in_weld = true};
  double slope_time = (double)timing->down_ticks * builder->tick, wanted = course->pace;
  course->hi = (double)INFINITY;
  settle_up(builder, track, course, timing);
  if (procedure->downslope_travel && timing->down_ticks > 0) {
    settle_slope(builder, track, legs, edge, slope_time, course, timing);
    timing->down_in_weld = ramp_duration(timing->down) > slope_time;
  }
  if (timing->down_in_weld) {
    course->hi = (double)INFINITY;
    settle_stop(builder, track, legs, course, timing);
  }
  double down = ramp_duration(timing->down), down_way = speed_at(course, course->hi) * down / 2;
  double after = timing->down_in_weld ? 0 : slope_end(course, legs, slope_time - down / 2) - legs;
  bool at_edge = legs + after > edge;
  timing->has = at_edge ? edge : legs;
  timing->needs_down = timing->down_in_weld ? down_way : 0;
  if (at_edge) { /* back from the edge, by the time of the downslope */
    double end_time = course_asked_time(course, edge) - wanted * (slope_time - down / 2);
    timing->needs_down = edge - course_place(course, fmax(end_time, 0));
    if (end_time <= 0)
      timing->needs_down = edge + speed_at(course, 0) * -end_time / wanted;
  }
  if (timing->has < timing->needs_up + timing->needs_down)
    return false;
  struct pace_fit fit = {builder, course, wanted, may_lose, slope_time, timing->up};
  double end = edge;
  if (at_edge)
    fit_edge(&fit, timing, edge);
  else
    fit_legs(&fit, timing, &end);
  if (!timing->down_in_weld)
    track_add_level(track, end - legs, edge);
  course->pace = timing->pace;
  return true;
}
