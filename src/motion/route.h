/* route.h - ways with the arc off between the entry, the runs of an overlay, and the entry again.
 */
#ifndef BORELAY_MOTION_ROUTE_H
#define BORELAY_MOTION_ROUTE_H

#include "motion/build.h"

/* H backed off from a pose on the wall, along the wall's normal at s. */
struct pose pose_backed_off(const struct contour *contour, double s, struct pose pose,
                            double distance);
/* Contour place at which a run comes to rest. */
double run_end_s(const struct motion_run *run);

/* Each adds its moves and leaves builder->pose at their end.  false: refused (told).
 *
 * Over the entry at safe height (at_entry: the head is at the entry already), down, and to the
 * backed-off start of the first run of overlay `index`. */
bool route_in(struct builder *builder, size_t index, const struct motion_run *run, bool at_entry);
/* From backed off from `run`, the overlay's last, to the entry at the same depth. */
bool route_out(struct builder *builder, const struct motion_run *run);
/* Between runs of one overlay: from backed off from `last` to backed off from `next`'s start, `way`
 * (signed) along the contour where that is the way taken. */
bool route_between(struct builder *builder, const struct motion_run *last,
                   const struct motion_run *next, double way);

#endif
