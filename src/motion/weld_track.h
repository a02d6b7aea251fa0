/* weld_track.h - a welding run on its track, without time. */
#ifndef BORELAY_MOTION_WELD_TRACK_H
#define BORELAY_MOTION_WELD_TRACK_H

#include "motion/build.h"

/* With the plan's legs and groups; its procedure is that of the layer, as fast as the lap's fastest
 * speed. */
struct motion_run *weld_track_make(struct builder *builder, const struct plan_overlay *overlay,
                                   const struct plan_layer *layer, const struct plan_run *plan_run);
/* Turn of the head at which the run starts, see weld_run_make().  false: it turns too far (told).
 */
bool weld_head_choose(struct builder *builder, struct motion_run *run, double head_near);

#endif
