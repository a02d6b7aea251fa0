/* entry.h - the entry of an overlay: where H goes down and up, and the head's angle there. */
#ifndef BORELAY_MOTION_ENTRY_H
#define BORELAY_MOTION_ENTRY_H

#include "motion/build.h"

/* H's height with the tip at the job's safe height, cell frame. */
double safe_height_z(const struct builder *builder);

/* Sets pose->x and y to H at the entry with the head at pose->head (cell frame): moved back along
 * the torch as far as the tip needs to keep `room` from the bare wall.  false: it finds none. */
bool entry_find(const struct builder *builder, const struct plan_overlay *overlay, double room,
                struct pose *pose);
/* The same about the centre of the overlay's shape. */
bool centre_find(const struct builder *builder, const struct plan_overlay *overlay, double room,
                 struct pose *pose);
/* Tells that the entry leaves no room. */
void entry_refuse(struct builder *builder, const struct plan_overlay *overlay, double room,
                  double head);
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
