/* profile.h - how far along, at what time: jerk-limited profiles of one variable q(t).
 *
 * q is whatever the path is measured in (mm of the pool's path, or 0..1 of a straight move).
 * Speed, acceleration and jerk limits are in that unit per s, s^2, s^3, all > 0. */
#ifndef BORELAY_MOTION_PROFILE_H
#define BORELAY_MOTION_PROFILE_H

#include <stddef.h>

#include "borelay/num.h"

struct profile_seg {
  double t0, duration; /* s from the profile's start */
  struct cubic q;      /* in t - t0 */
};

enum { PROFILE_SEGS = 9 }; /* stand, three of the rise, cruise, three of the fall, stand */

struct course;

struct profile {
  struct profile_seg seg[PROFILE_SEGS];
  size_t count;
  double duration;
  const struct course *course; /* not NULL: its segments take the place of seg[cruise] */
  size_t cruise;
};

/* A change of speed from rest: jerk for t_jerk, steady acceleration for t_accel, jerk back for
 * t_jerk.  It lasts 2 t_jerk + t_accel and covers half of the speed times that. */
struct ramp {
  double t_jerk, t_accel;
};
struct ramp ramp_make(double speed, double accel, double jerk);
double ramp_duration(struct ramp ramp);
struct ramp ramp_stretch(struct ramp ramp, double duration);

/* Rest to rest over `distance` in least time (seven segments at most).
 * Source: L. Biagiotti, C. Melchiorri, Trajectory Planning for Automatic Machines and Robots,
 * Springer 2008, chapter 3 (from memory; the case split is derived in docs/motion.md). */
struct profile profile_rest_to_rest(double distance, double speed, double accel, double jerk);

/* Stand for `before`, rise to `speed` by `up`, cruise for `cruise`, fall by `down`, stand for
 * `after`; q ends at exactly the sum of the parts. */
struct profile profile_travel(double before, struct ramp up, double speed, double cruise,
                              struct ramp down, double after);

/* The same way in `duration` instead (longer): every limit is kept. */
void profile_stretch(struct profile *profile, double duration);

/* The same between run-up and run-down of other speeds, and a settled course in between (course.h),
 * which must outlive the profile; q ends at `length`. */
struct profile profile_course(double before, struct ramp up, const struct course *course,
                              struct ramp down, double after, double length);

size_t profile_seg_count(const struct profile *profile);
struct profile_seg profile_seg_get(const struct profile *profile, size_t k);
/* Segment that holds t (the later one on a border, the last at the end). */
size_t profile_seg_at(const struct profile *profile, double t);
double profile_at(const struct profile *profile, double t);
/* The first time at which q is reached (0 <= q <= its last value). */
double profile_time_at(const struct profile *profile, double q);

#endif
