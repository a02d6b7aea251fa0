/* entry.h - the entry of an overlay: where H goes down and up, and the head's angle there. */
#ifndef BORELAY_MOTION_ENTRY_H
#define BORELAY_MOTION_ENTRY_H

#include "motion/build.h"

/* H's height with the tip at the job's safe height, cell frame. */
double safe_height_z(const struct builder *builder);

/* H at the entry with the head at `head` (cell frame): moved back along the torch as far as the tip
 * needs to keep `room` from the bare wall.  false: nowhere (told). */
bool entry_place(struct builder *builder, const struct plan_overlay *overlay, double head,
                 double room, vec2 *place);
/* The head's angle at the entry: `entry_angle` at the whole turn nearest to `otherwise` that the
 * head's travel holds; without `entry_angle`, otherwise. */
double entry_head(const struct builder *builder, const struct plan_overlay *overlay,
                  double otherwise);
/* The turn of `angle` nearest to `near` that the head axis can take. */
double head_nearest(const struct cell *cell, double angle, double near);
/* Same wall, same entry: between two such overlays the head stays down. */
bool entry_is_same(const struct builder *builder, const struct plan_overlay *a,
                   const struct plan_overlay *b);

#endif
