/* weld_size.h - whether a welding run can be made at the speed asked for: how wide its joints are
 * rounded, its ramps, its ticks. */
#ifndef BORELAY_MOTION_WELD_SIZE_H
#define BORELAY_MOTION_WELD_SIZE_H

#include "motion/weld_timing.h"
#include "motion/windows.h"

/* Where the speed changes along the lap: what joints leave of an axis's acceleration and jerk to
 * the ramps. */
#define LEFT_BY_RAMPS 0.9

enum sized { SIZED, SIZED_TOO_FAST, SIZED_TOO_SHORT, SIZED_STEEP };
struct sizing {
  enum sized sized;
  struct speed_verdict verdict;
  struct weld_timing timing;
  const struct course_change *steep; /* SIZED_STEEP */
};

bool weld_speed_changes(const struct plan_layer *layer);
/* Share of the pool's speed that the roundings of joints may take over SPEED_WINDOW_MM. */
double weld_speed_part(const struct plan_layer *layer);
struct rounding_limits weld_limits(const struct builder *builder, const struct plan_layer *layer);

/* At the speed of run->procedure.  Sized: the track has its windows and the downslope's run. */
struct sizing weld_size(const struct builder *builder, struct motion_run *run);
/* The same on windows that are there already; may_lose: share of the speed that may go into fitting
 * it to ticks. */
void weld_size_timing(const struct builder *builder, struct motion_run *run, double may_lose,
                      struct sizing *sizing);

#endif
