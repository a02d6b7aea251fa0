/* weld_timing.h - speed, ramps and ticks of a welding run. */
#ifndef BORELAY_MOTION_WELD_TIMING_H
#define BORELAY_MOTION_WELD_TIMING_H

#include "motion/build.h"

/* Fitting a run to whole ticks may take this share of its speed at most. */
#define TICK_PART 0.005

struct weld_timing {
  struct ramp up, down;
  double speed;       /* mm/s in cruise */
  int64_t weld_ticks; /* of travel at full current */
  int64_t down_ticks; /* of the downslope */
  bool down_in_weld;  /* the run stops at full current; the downslope stands */
  double way;         /* mm of the pool's path at full current */
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

#endif
