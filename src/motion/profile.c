/* Jerk-limited profiles.  Each is a chain of cubics that meet with equal speed and
 * acceleration; a chain is built by appending constant-jerk stretches, so that the only
 * place where a formula could be wrong is the choice of durations. */
#include "motion/profile.h"

#include <assert.h>
#include <math.h>

#include "motion/course.h"

struct ramp ramp_make(double speed, double accel, double jerk) {
  struct ramp ramp = {0};
  if (speed * jerk >= accel * accel) {
    ramp.t_jerk = accel / jerk;
    ramp.t_accel = speed / accel - ramp.t_jerk;
  } else {
    ramp.t_jerk = sqrt(speed / jerk);
  }
  return ramp;
}

double ramp_duration(struct ramp ramp) {
  return 2 * ramp.t_jerk + ramp.t_accel;
}

struct ramp ramp_stretch(struct ramp ramp, double duration) {
  double factor = duration / ramp_duration(ramp);
  return (struct ramp){ramp.t_jerk * factor, ramp.t_accel * factor};
}

/* The state at the end of the chain so far. */
struct chain {
  struct profile profile;
  double q, speed, accel;
};

static void chain_add(struct chain *chain, double duration, double jerk) {
  if (duration <= 0)
    return;
  struct profile *profile = &chain->profile;
  assert(profile->count < PROFILE_SEGS);
  struct cubic q = {chain->q, chain->speed, chain->accel / 2, jerk / 6};
  profile->seg[profile->count++] = (struct profile_seg){profile->duration, duration, q};
  profile->duration += duration;
  chain->q = cubic_at(q, duration);
  chain->speed = cubic_derivative(q, duration, 1);
  chain->accel = chain->accel + jerk * duration;
}

/* Speed changes by `change` over the ramp; the ends are set exactly, so that rounding
 * does not pile up along the chain. */
static void chain_add_ramp(struct chain *chain, struct ramp ramp, double change) {
  if (ramp_duration(ramp) <= 0)
    return;
  double speed = chain->speed, q = chain->q;
  double jerk = change / (ramp.t_jerk * (ramp.t_jerk + ramp.t_accel));
  chain_add(chain, ramp.t_jerk, jerk);
  chain_add(chain, ramp.t_accel, 0);
  chain_add(chain, ramp.t_jerk, -jerk);
  chain->accel = 0;
  chain->speed = speed + change;
  chain->q = q + (speed + change / 2) * ramp_duration(ramp);
}

struct profile profile_travel(double before, struct ramp up, double speed, double cruise,
                              struct ramp down, double after) {
  struct chain chain = {0};
  chain_add(&chain, before, 0);
  chain_add_ramp(&chain, up, speed);
  chain_add(&chain, cruise, 0);
  chain_add_ramp(&chain, down, -speed);
  chain.speed = 0;
  chain_add(&chain, after, 0);
  return chain.profile;
}

struct profile profile_rest_to_rest(double distance, double speed, double accel, double jerk) {
  struct ramp ramp = ramp_make(speed, accel, jerk);
  double cruise = distance / speed - ramp_duration(ramp);
  if (cruise < 0) {
    cruise = 0;
    if (distance >= 2 * accel * accel * accel / (jerk * jerk)) {
      /* Acceleration is reached, speed is not: distance = peak * (t_jerk + peak / accel). */
      double t = accel / jerk;
      double rise = t / 2 + sqrt(t * t / 4 + distance / accel);
      ramp = (struct ramp){t, rise - 2 * t > 0 ? rise - 2 * t : 0};
    } else {
      /* t^3 = distance / (2 jerk); the cube root by Newton from above, with our own
       * arithmetic only. */
      double wanted = distance / (2 * jerk), t = ramp.t_jerk;
      if (t * t * t < wanted)
        t = accel / jerk;
      for (int i = 0; i < 200; i++) {
        double next = (2 * t + wanted / (t * t)) / 3;
        if (!(next < t))
          break;
        t = next;
      }
      ramp = (struct ramp){t, 0};
    }
    speed = distance / ramp_duration(ramp);
  }
  return profile_travel(0, ramp, speed, cruise, ramp, 0);
}

void profile_stretch(struct profile *profile, double duration) {
  if (profile->duration <= 0)
    return;
  double f = duration / profile->duration;
  for (size_t i = 0; i < profile->count; i++) {
    struct profile_seg *seg = &profile->seg[i];
    seg->t0 *= f;
    seg->duration *= f;
    seg->q.c1 /= f;
    seg->q.c2 /= f * f;
    seg->q.c3 /= f * f * f;
  }
  profile->duration = duration;
}

struct profile profile_course(double before, struct ramp up, const struct course *course,
                              struct ramp down, double after, double length) {
  struct chain chain = {0};
  struct profile_seg end = course_seg_get(course, course_seg_count(course) - 1);
  double v0 = course_seg_get(course, 0).q.c1, v1 = end.q.c1;
  chain_add(&chain, before, 0);
  chain_add_ramp(&chain, up, v0);
  size_t cruise = chain.profile.count;
  chain_add(&chain, fmax(course->t_to - chain.profile.duration, 1e-12), 0);
  chain.speed = v1;
  chain.q = length - v1 * ramp_duration(down) / 2;
  chain_add_ramp(&chain, down, -v1);
  chain.speed = 0;
  chain_add(&chain, after, 0);
  chain.profile.course = course;
  chain.profile.cruise = cruise;
  return chain.profile;
}

/* -- segments ---------------------------------------------------------------------------------- */

static size_t course_extra(const struct profile *profile) {
  return profile->course ? course_seg_count(profile->course) - 1 : 0;
}

size_t profile_seg_count(const struct profile *profile) {
  return profile->count + course_extra(profile);
}

struct profile_seg profile_seg_get(const struct profile *profile, size_t k) {
  size_t extra = course_extra(profile);
  if (profile->course && k >= profile->cruise && k <= profile->cruise + extra)
    return course_seg_get(profile->course, k - profile->cruise);
  return profile->seg[k > profile->cruise && profile->course ? k - extra : k];
}

size_t profile_seg_at(const struct profile *profile, double t) {
  size_t i = 0;
  while (i + 1 < profile->count && t >= profile->seg[i + 1].t0)
    i++;
  if (!profile->course || i < profile->cruise)
    return i;
  return i == profile->cruise ? i + course_seg_at(profile->course, t) : i + course_extra(profile);
}

double profile_at(const struct profile *profile, double t) {
  if (profile->count == 0)
    return 0;
  size_t k = profile_seg_at(profile, t);
  struct profile_seg made;
  const struct profile_seg *seg = &made;
  if (profile->course) /* of which k may count more than stand here */
    made = profile_seg_get(profile, k);
  else
    seg = &profile->seg[k];
  double x = t - seg->t0;
  return cubic_at(seg->q, x < 0 ? 0 : x > seg->duration ? seg->duration : x);
}

double profile_time_at(const struct profile *profile, double q) {
  size_t lo = 0, hi = profile_seg_count(profile);
  while (hi - lo > 1) {
    size_t mid = lo + (hi - lo) / 2;
    if (profile_seg_get(profile, mid).q.c0 < q)
      lo = mid;
    else
      hi = mid;
  }
  if (hi == 0)
    return 0;
  struct profile_seg seg = profile_seg_get(profile, lo);
  return seg.t0 + cubic_solve_rising(seg.q, 0, seg.duration, q);
}
