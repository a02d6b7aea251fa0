/* course.h - what a layer's sectors ask for along a run: values over the pool's path q.
 *
 * "Asked time" is the time from q = 0 at the very speeds asked for, without run-up.  How a run is
 * really travelled is one common factor slower (pace), between run-up and run-down.  Memory grows
 * with the laps of the run, as that of its legs does; all questions are answered by bisection and
 * closed forms (docs/motion.md, section 8). */
#ifndef BORELAY_MOTION_COURSE_H
#define BORELAY_MOTION_COURSE_H

#include "borelay/num.h"
#include "borelay/plan.h"

struct arena;
struct track;
struct profile_seg;

/* One ramp as the run passes it. */
struct course_change {
  const struct lap_change *change;
  bool backward; /* from its `after` to its `before` */
  double q0, q1; /* mm of the run, q0 < q1 */
  double u0, u1; /* shares of the ramp's time at q0 and q1: 0 and 1 but at the run's ends */
  double t0, t1; /* asked time; once settled, track time */
};

struct course {
  struct lap_values first; /* before the first change */
  struct course_change *changes;
  size_t count; /* 0: `first` all along */
  /* Nearer to either end of the run than lo and hi (q) the values are those at lo and hi. */
  double lo, hi;
  const struct oscillation *sway; /* of the tip; its width may be 0 */
  /* Once settled: */
  double pace;                 /* speed over that asked for */
  double t_jerk;               /* of either end of every ramp, s */
  double q_from, t_from, t_to; /* track times and place between which it goes at speed */
};

/* Of a track that holds the run's legs, and as far as `beyond` mm level behind them. */
struct course course_make(struct arena *arena, const struct track *track,
                          const struct plan_layer *layer, const struct plan_run *run,
                          double beyond);

/* -- while it is being timed ------------------------------------------------------------------ */

struct lap_values course_values(const struct course *course, double q);
double course_asked_time(const struct course *course, double q);
double course_place(const struct course *course, double asked_time);
/* Moves an end of what is asked for out of a ramp of which less than `least` asked time is left. */
void course_snap(struct course *course, double least);

/* Cuts the changes to what lies between lo and hi, and turns asked times into track times: asked
 * time 0 would be at t_zero.  pace and what is behind it in the struct must be set. */
void course_settle(struct course *course, double t_zero);

/* -- settled ---------------------------------------------------------------------------------- */

/* What is asked for at a track time. */
struct lap_values course_values_at(const struct course *course, double t);
/* The first change that ends behind a track time; count: none. */
size_t course_change_at(const struct course *course, double t);
struct lap_values course_from(const struct course_change *change); /* at q0 */
struct lap_values course_to(const struct course_change *change);   /* at q1 */

/* Bounds over all ramps, see run_info. */
void course_speed_bounds(const struct course *course, double *blur, double *drift);

/* The travel at speed as segments of constant jerk, four a change and one. */
size_t course_seg_count(const struct course *course);
struct profile_seg course_seg_get(const struct course *course, size_t k);
/* Segment that holds track time t, the later one on a border. */
size_t course_seg_at(const struct course *course, double t);

#endif
