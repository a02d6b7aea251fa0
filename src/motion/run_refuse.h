/* run_refuse.h - what a welding run is refused for.  Each tells, with what would do, and sets
 * builder->refused. */
#ifndef BORELAY_MOTION_RUN_REFUSE_H
#define BORELAY_MOTION_RUN_REFUSE_H

#include "motion/build.h"
#include "motion/weld_timing.h"
#include "motion/windows.h"

/* best: the highest speed that would do, mm/s; 0: none. */
void run_refuse_speed(struct builder *builder, const struct track *track,
                      const struct plan_overlay *overlay, const struct plan_layer *layer,
                      struct speed_verdict verdict, double best);
/* turned: least and largest head angle of the run, at any turn, rad. */
void run_refuse_turn(struct builder *builder, const struct plan_overlay *overlay,
                     const struct plan_layer *layer, struct range turned);
void run_refuse_short(struct builder *builder, const struct motion_run *run,
                      const struct weld_timing *timing);
void run_refuse_ramp(struct builder *builder, const struct motion_run *run,
                     const struct course_change *steep);
/* least: the shortest crossing that axis z bears, s. */
void run_refuse_sway(struct builder *builder, const struct motion_run *run, double least);
void run_refuse_swayless(struct builder *builder, const struct motion_run *run);

#endif
