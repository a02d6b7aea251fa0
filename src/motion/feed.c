/* What a run asks for at a time, and its wire as the rows have it.
 *
 * A row's speed holds until the next row, so the wire between two times is a sum over rows; in
 * between two ends of a ramp the rows' speeds rise evenly, and the sum is an arithmetic series. */
#include <math.h>

#include "motion/build.h"

static double tick_of(const struct motion *motion) {
  return motion->plan->job->cell->tick;
}

static double run_zero(const struct motion *motion, const struct phase *phase) {
  return (double)phase->track_tick * tick_of(motion);
}

bool run_values_change(const struct phase *phase) {
  return phase->track->course.count > 0;
}

struct lap_values run_values_at(const struct motion *motion, const struct phase *phase, double t) {
  return course_values_at(&phase->track->course, t - run_zero(motion, phase));
}

double run_values_until(const struct motion *motion, const struct phase *phase, double t) {
  const struct course *course = &phase->track->course;
  double zero = run_zero(motion, phase);
  size_t i = course_change_at(course, t - zero);
  return i == course->count ? (double)INFINITY : fmax(zero + course->changes[i].t0, t);
}

double run_time_at(const struct motion *motion, const struct phase *phase, double length) {
  return run_zero(motion, phase) + profile_time_at(&phase->track->profile, length);
}

/* -- wire -------------------------------------------------------------------------------------- */

/* Ticks of the track, from k0 on, that lie before time t; k1 at most. */
static double ticks_before(double t, double tick, double k0, double k1) {
  double k = ceil(t / tick - 1e-9);
  return k < k0 ? k0 : k > k1 ? k1 : k;
}

/* Sum of the wire's speed over ticks k0 <= k < k1 of the track. */
static double feed_sum(const struct course *course, double tick, double k0, double k1) {
  double sum = 0, speed = course_values_at(course, k0 * tick).wire_feed_speed;
  for (size_t i = course_change_at(course, k0 * tick); i < course->count && k0 < k1; i++) {
    const struct course_change *change = &course->changes[i];
    double from = course_from(change).wire_feed_speed, to = course_to(change).wire_feed_speed;
    double begin = ticks_before(change->t0, tick, k0, k1);
    double end = ticks_before(change->t1, tick, begin, k1), n = end - begin;
    if (begin > k0)
      sum += (begin - k0) * speed;
    double time = tick * (begin + end - 1) / 2 - change->t0; /* on the mean */
    if (n > 0)
      sum += n * (from + (to - from) * time / (change->t1 - change->t0));
    speed = to;
    k0 = end;
  }
  return k0 < k1 ? sum + (k1 - k0) * speed : sum;
}

/* From the first feeding tick to a time of the track. */
static double fed_until(const struct course *course, double tick, double k0, double k1, double t) {
  double k = floor(t / tick + 1e-9);
  if (k < k0)
    return 0;
  if (k >= k1)
    return feed_sum(course, tick, k0, k1) * tick;
  double speed = course_values_at(course, k * tick).wire_feed_speed;
  return feed_sum(course, tick, k0, k) * tick + speed * fmax(t - k * tick, 0);
}

double run_wire_fed(const struct motion *motion, const struct phase *phase, double t_a,
                    double t_b) {
  if (phase->kind != PHASE_WELD)
    return 0;
  const struct course *course = &phase->track->course;
  double tick = tick_of(motion), zero = run_zero(motion, phase);
  double k0 = (double)(phase->wire.feed0 - phase->track_tick);
  double k1 = (double)(phase->wire.feed1 - phase->track_tick);
  double from = fmax(floor((t_a - zero) / tick + 1e-9), k0); /* what lies before cancels out */
  return fed_until(course, tick, from, k1, t_b - zero) -
         fed_until(course, tick, from, k1, t_a - zero);
}

/* -- arc --------------------------------------------------------------------------------------- */

/* Of one row. */
static double row_watts(const struct motion *motion, const struct phase *phase, int64_t tick) {
  struct lap_values asked = run_values_at(motion, phase, (double)tick * tick_of(motion));
  double k = (double)(tick - phase->tick0) / (double)phase->ticks;
  double current = phase->kind == PHASE_WELD
                       ? asked.current
                       : phase->current_from + (phase->current_to - phase->current_from) * k;
  return asked.voltage * current;
}

/* Sum of U I over rows first <= k < end of the phase.  Between two places where what is asked for
 * begins or ceases to change both are linear in k, their product is a quadratic, and three rows
 * tell it: n y + (n - 1) n / 2 d + n (n - 1) (n - 2) / 6 e, by Newton's forward differences. */
static double watts_sum(const struct motion *motion, const struct phase *phase, int64_t first,
                        int64_t end) {
  const struct course *course = &phase->track->course;
  double tick = tick_of(motion), sum = 0;
  while (first < end) {
    double k0 = (double)(first - phase->track_tick), k1 = (double)(end - phase->track_tick);
    double t = k0 * tick, until = (double)INFINITY, y[3] = {0};
    for (size_t i = course_change_at(course, t); i < course->count && isinf(until); i++)
      until = t < course->changes[i].t0   ? course->changes[i].t0
              : t < course->changes[i].t1 ? course->changes[i].t1
                                          : until;
    double n = (isinf(until) ? k1 : ticks_before(until, tick, k0 + 1, k1)) - k0;
    for (int i = 0; i < 3 && i < (int)n; i++)
      y[i] = row_watts(motion, phase, first + i);
    if (n <= 3) {
      sum += y[0] + y[1] + y[2];
    } else {
      double d = y[1] - y[0], e = y[2] - 2 * y[1] + y[0];
      sum += n * y[0] + n * (n - 1) / 2 * d + n * (n - 1) * (n - 2) / 6 * e;
    }
    first += (int64_t)n;
  }
  return sum;
}

/* From the phase's first row on. */
static double arc_until(const struct motion *motion, const struct phase *phase, double t) {
  double tick = tick_of(motion), k = floor(t / tick + 1e-9);
  if (!phase->arc || k < (double)phase->tick0)
    return 0;
  int64_t end = phase->tick0 + phase->ticks, row = k < (double)end ? (int64_t)k : end;
  double sum = watts_sum(motion, phase, phase->tick0, row) * tick;
  return row < end ? sum + row_watts(motion, phase, row) * fmax(t - k * tick, 0) : sum;
}

double phase_arc_kj(const struct motion *motion, const struct phase *phase, double t_a,
                    double t_b) {
  return (arc_until(motion, phase, t_b) - arc_until(motion, phase, t_a)) / 1000;
}

double phase_wire_speed(const struct motion *motion, const struct phase *phase, int64_t tick) {
  const struct wire_times *wire = &phase->wire;
  if (phase->kind == PHASE_WELD && tick >= wire->feed0 && tick < wire->feed1)
    return run_values_at(motion, phase, (double)tick * tick_of(motion)).wire_feed_speed;
  int64_t drawn = tick - phase->tick0;
  if (phase->kind != PHASE_DOWNSLOPE || drawn >= wire->retract_ticks)
    return 0;
  return drawn == wire->retract_ticks - 1 ? -wire->retract_last : -wire->retract;
}

double run_wire_time(const struct motion *motion, const struct phase *weld, double length) {
  double tick = tick_of(motion), zero = run_zero(motion, weld);
  double begin = (double)weld->wire.feed0 * tick;
  const struct course *course = &weld->track->course;
  if (course->count == 0)
    return begin + length / course->first.wire_feed_speed;
  double k0 = (double)(weld->wire.feed0 - weld->track_tick);
  double k1 = (double)(weld->wire.feed1 - weld->track_tick), lo = k0, hi = k1;
  while (hi - lo > 1) {
    double mid = floor((lo + hi) / 2);
    if (feed_sum(course, tick, k0, mid) * tick <= length)
      lo = mid;
    else
      hi = mid;
  }
  if (hi <= lo)
    return begin;
  double speed = course_values_at(course, lo * tick).wire_feed_speed;
  double left = length - feed_sum(course, tick, k0, lo) * tick;
  return fmin(zero + lo * tick + left / speed, zero + k1 * tick);
}
