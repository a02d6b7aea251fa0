/* Values along a run: see course.h. */
#include "motion/course.h"

#include <math.h>

#include "motion/profile.h"

static struct lap_values end_values(const struct course_change *change, bool last) {
  const struct lap_change *c = change->change;
  return change->backward == last ? c->before : c->after;
}

static struct lap_values values_at_share(const struct course_change *change, double u) {
  struct lap_values a = end_values(change, false), b = end_values(change, true);
  return u <= 0 ? a : u >= 1 ? b : change_at(&a, &b, u);
}

struct lap_values course_from(const struct course_change *change) {
  return values_at_share(change, change->u0);
}

struct lap_values course_to(const struct course_change *change) {
  return values_at_share(change, change->u1);
}

/* -- as if there were no ends ------------------------------------------------------------------ */

/* Last change that begins at q, or at asked time t, or before; count where there is none. */
static size_t change_before(const struct course *course, double value, bool by_time) {
  size_t lo = 0, hi = course->count;
  while (lo < hi) {
    size_t mid = lo + (hi - lo) / 2;
    const struct course_change *change = &course->changes[mid];
    if ((by_time ? change->t0 : change->q0) <= value)
      lo = mid + 1;
    else
      hi = mid;
  }
  return lo > 0 ? lo - 1 : course->count;
}

static double share_at(const struct course_change *change, double q) {
  double v0 = course_from(change).travel_speed, v1 = course_to(change).travel_speed;
  return change_share(v0, v1, (q - change->q0) / (change->q1 - change->q0));
}

/* share: of its time from q0 to q1. */
static struct lap_values change_values(const struct course_change *change, double share) {
  return values_at_share(change, change->u0 + (change->u1 - change->u0) * share);
}

static struct lap_values values_free(const struct course *course, double q) {
  size_t i = change_before(course, q, false);
  if (i == course->count)
    return course->first;
  const struct course_change *change = &course->changes[i];
  return q >= change->q1 ? course_to(change) : change_values(change, share_at(change, q));
}

static double time_free(const struct course *course, double q) {
  size_t i = change_before(course, q, false);
  if (i == course->count)
    return q / course->first.travel_speed;
  const struct course_change *change = &course->changes[i];
  if (q >= change->q1)
    return change->t1 + (q - change->q1) / course_to(change).travel_speed;
  return change->t0 + (change->t1 - change->t0) * share_at(change, q);
}

static double place_free(const struct course *course, double t) {
  size_t i = change_before(course, t, true);
  if (i == course->count)
    return t * course->first.travel_speed;
  const struct course_change *change = &course->changes[i];
  double v0 = course_from(change).travel_speed, v1 = course_to(change).travel_speed;
  if (t >= change->t1)
    return change->q1 + (t - change->t1) * v1;
  double share = (t - change->t0) / (change->t1 - change->t0);
  return change->q0 + (change->q1 - change->q0) * change_way(v0, v1, share);
}

/* -- with its ends ----------------------------------------------------------------------------- */

static double limited(double value, double lo, double hi) {
  return value < lo ? lo : value > hi ? hi : value;
}

struct lap_values course_values(const struct course *course, double q) {
  return values_free(course, limited(q, course->lo, course->hi));
}

static double speed_at(const struct course *course, double q) {
  return course_values(course, q).travel_speed;
}

/* What the ends shift asked time by, against time_free(). */
static double time_shift(const struct course *course) {
  return course->lo / speed_at(course, course->lo) - time_free(course, course->lo);
}

double course_asked_time(const struct course *course, double q) {
  if (q <= course->lo)
    return q / speed_at(course, course->lo);
  double inside = fmin(q, course->hi), behind = q - inside;
  double time = time_free(course, inside) + time_shift(course);
  return behind > 0 ? time + behind / speed_at(course, course->hi) : time;
}

double course_place(const struct course *course, double t) {
  double v_lo = speed_at(course, course->lo);
  if (t <= course->lo / v_lo)
    return t * v_lo;
  double t_hi = isinf(course->hi) ? course->hi : course_asked_time(course, course->hi);
  if (t >= t_hi)
    return course->hi + (t - t_hi) * speed_at(course, course->hi);
  return place_free(course, t - time_shift(course));
}

void course_snap(struct course *course, double least) {
  size_t i = change_before(course, course->lo, false);
  if (i < course->count && course->lo < course->changes[i].q1 &&
      course->changes[i].t1 - time_free(course, course->lo) < least)
    course->lo = course->changes[i].q1;
  if (isinf(course->hi))
    return;
  i = change_before(course, course->hi, false);
  if (i < course->count && course->hi < course->changes[i].q1 &&
      time_free(course, course->hi) - course->changes[i].t0 < least)
    course->hi = course->changes[i].q0;
}

/* Of what lies between lo and hi. */
static struct course_change change_cut(const struct course *course, size_t i, double t_zero) {
  const struct course_change *change = &course->changes[i];
  struct course_change cut = *change;
  if (course->lo > change->q0) {
    cut.q0 = course->lo;
    cut.u0 = change->u0 + (change->u1 - change->u0) * share_at(change, cut.q0);
  }
  if (course->hi < change->q1) {
    cut.q1 = course->hi;
    cut.u1 = change->u0 + (change->u1 - change->u0) * share_at(change, cut.q1);
  }
  cut.t0 = t_zero + course_asked_time(course, cut.q0) / course->pace;
  cut.t1 = t_zero + course_asked_time(course, cut.q1) / course->pace;
  return cut;
}

void course_settle(struct course *course, double t_zero) {
  struct course free = *course;
  struct lap_values first = course_values(course, course->lo);
  size_t first_kept = course->count, end = 0;
  for (size_t i = course->count; i > 0; i--) {
    const struct course_change *change = &course->changes[i - 1];
    if (change->q1 <= course->lo || change->q0 >= course->hi)
      continue;
    first_kept = i - 1;
    end = end > 0 ? end : i;
  }
  if (end == 0) {
    course->count = 0;
    course->first = first;
    return;
  }
  struct course_change cut_first = change_cut(&free, first_kept, t_zero);
  struct course_change cut_last = change_cut(&free, end - 1, t_zero);
  for (size_t i = first_kept + 1; i + 1 < end; i++) {
    struct course_change *change = &course->changes[i];
    double t0 = t_zero + course_asked_time(&free, change->q0) / course->pace;
    double t1 = t_zero + course_asked_time(&free, change->q1) / course->pace;
    change->t0 = t0, change->t1 = t1;
  }
  course->changes[first_kept] = cut_first;
  course->changes[end - 1] = cut_last;
  course->changes += first_kept;
  course->count = end - first_kept;
  course->first = first;
}

/* -- as it is travelled ------------------------------------------------------------------------ */

struct lap_values course_values_at(const struct course *course, double t) {
  size_t i = change_before(course, t, true);
  if (i == course->count)
    return course->first;
  const struct course_change *change = &course->changes[i];
  return t >= change->t1 ? course_to(change)
                         : change_values(change, (t - change->t0) / (change->t1 - change->t0));
}

size_t course_change_at(const struct course *course, double t) {
  size_t lo = 0, hi = course->count;
  while (lo < hi) {
    size_t mid = lo + (hi - lo) / 2;
    if (course->changes[mid].t1 <= t)
      lo = mid + 1;
    else
      hi = mid;
  }
  return lo;
}

/* The rounded ends, t of the ramp's time T: an even change a = dv / T is left by at most a t / 2
 * (docs/motion.md, section 8).  The speed's square changes evenly with the way. */
void course_speed_bounds(const struct course *course, double *blur, double *drift) {
  *blur = *drift = 0;
  for (size_t i = 0; i < course->count; i++) {
    const struct course_change *change = &course->changes[i];
    double v0 = course_from(change).travel_speed, v1 = course_to(change).travel_speed;
    double least = fmin(v0, v1), dv = fabs(v1 - v0), time = change->t1 - change->t0;
    *blur = fmax(*blur, dv * course->t_jerk / (2 * time * least));
    *drift = fmax(*drift, dv * (v0 + v1) / (change->q1 - change->q0) / (2 * least * least));
  }
}

size_t course_seg_count(const struct course *course) {
  return 4 * course->count + 1;
}

/* The k-th stretch of steady speed: between the change before and the one behind. */
static struct profile_seg steady_seg(const struct course *course, size_t k) {
  double q = course->q_from, t = course->t_from, speed = course->first.travel_speed;
  if (k > 0) {
    const struct course_change *before = &course->changes[k - 1];
    q = before->q1;
    t = before->t1;
    speed = course_to(before).travel_speed;
  }
  double until = k < course->count ? course->changes[k].t0 : course->t_to;
  return (struct profile_seg){t, fmax(until - t, 0), {q, speed * course->pace, 0, 0}};
}

/* Part 0 .. 2 of a ramp: jerk, steady acceleration, jerk back, all within the ramp's own way and
 * time.  The last part is reckoned from the end, so that nothing piles up. */
static struct profile_seg ramp_seg(const struct course *course, const struct course_change *ramp,
                                   size_t part) {
  double time = ramp->t1 - ramp->t0, t = fmin(course->t_jerk, time / 2);
  double v0 = course_from(ramp).travel_speed * course->pace;
  double v1 = course_to(ramp).travel_speed * course->pace;
  double jerk = v0 == v1 ? 0 : (v1 - v0) / (t * (time - t)), a = jerk * t;
  double dv = jerk * t * t / 2, dq = jerk * t * t * t / 6;
  if (part == 0)
    return (struct profile_seg){ramp->t0, t, {ramp->q0, v0, 0, jerk / 6}};
  if (part == 1)
    return (struct profile_seg){
        ramp->t0 + t, time - 2 * t, {ramp->q0 + v0 * t + dq, v0 + dv, a / 2, 0}};
  return (struct profile_seg){ramp->t1 - t, t, {ramp->q1 - v1 * t + dq, v1 - dv, a / 2, -jerk / 6}};
}

struct profile_seg course_seg_get(const struct course *course, size_t k) {
  return k % 4 == 0 ? steady_seg(course, k / 4)
                    : ramp_seg(course, &course->changes[k / 4], k % 4 - 1);
}

size_t course_seg_at(const struct course *course, double t) {
  size_t i = change_before(course, t, true);
  if (i == course->count)
    return 0;
  size_t k = 4 * i + 1;
  while (k < 4 * i + 4 && t >= course_seg_get(course, k + 1).t0)
    k++;
  return k;
}
