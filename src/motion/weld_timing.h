/* weld_timing.h - speed, ramps and ticks of a welding run. */
#ifndef BORELAY_MOTION_WELD_TIMING_H
#define BORELAY_MOTION_WELD_TIMING_H

#include "motion/build.h"
#include "motion/course.h"

/* Fitting a run to whole ticks may take this share of its speed at most. */
#define TICK_PART 0.005

struct weld_timing {
  struct ramp up, down;
  double speed;       /* mm/s in cruise */
  int64_t weld_ticks; /* of travel at full current */
  int64_t down_ticks; /* of the downslope */
  bool down_in_weld;  /* the run stops at full current; the downslope stands */
  double way;         /* mm of the pool's path at full current */
  /* With a course: speeds over those asked for; q at which the run-down begins. */
  double pace, q_down;
  /* mm: what the run has, and what coming up to speed and its other end need */
  double has, needs_up, needs_down;
};

/* Sizes a track that holds the plan's legs, and adds the downslope's run behind them where that
 * does not lie within them.
 *   edge      q at which a zone begins and the arc has to be out; INFINITY: nowhere
 *   may_lose  share of the speed that may go into fitting it to ticks
 * false: it is too short for its slopes; has, needs_up and needs_down tell by how much. */
bool weld_timing_find(const struct builder *builder, struct track *track,
                      const struct procedure *procedure, double edge, double may_lose,
                      struct weld_timing *timing);

/* -- shared with course_timing.c ---------------------------------------------------------------
 */

/* The ramp at one end of a track: from_end false, at q = 0; true, at its end. */
struct ramp ramp_at_end(const struct builder *builder, const struct track *track, double speed,
                        bool from_end);
/* The ramp at the end of the downslope's run, whose length depends on it; not before `earliest`. */
struct ramp run_down_find(const struct builder *builder, const struct track *track, double earliest,
                          double speed, double slope_time);
/* A level leg behind the legs of the plan, as far as `length` and the edge of a zone allow. */
void track_add_level(struct track *track, double length, double edge);

/* -- course_timing.c --------------------------------------------------------------------------
 */

/* The same for a run on which the speed changes; course is not settled yet, its pace what the
 * speeds asked for are multiplied by (rehearsals; the rest of a run), its t_jerk known.  On true
 * lo, hi and pace are what it is to be settled with. */
bool course_timing_find(const struct builder *builder, struct track *track,
                        const struct procedure *procedure, struct course *course, double edge,
                        double may_lose, struct weld_timing *timing);

/* The change of speed that the axes cannot make on the way that it has; NULL: they can make all,
 * and course->t_jerk is set.  At the course's pace; windows must be sized. */
const struct course_change *course_steep_find(const struct builder *builder,
                                              const struct track *track, struct course *course);
/* A length of ramp, mm of path, on which they could make it; 0: none was found. */
double course_ramp_that_fits(const struct builder *builder, const struct track *track,
                             const struct course *course, const struct course_change *change);
/* A share of the change that they could make on the way that it has, whichever of its two speeds
 * stays; 0: none was found. */
double course_share_that_fits(const struct builder *builder, const struct track *track,
                              const struct course *course, const struct course_change *change);

#endif
