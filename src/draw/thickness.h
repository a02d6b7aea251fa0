/* thickness.h - the thickness on the wall by colour. */
#ifndef DRAW_THICKNESS_H
#define DRAW_THICKNESS_H

#include "borelay/buildup.h"
#include "draw/wall_view.h"

enum { THICKNESS_LEVELS = 10 };
/* mm a level: a round figure, so that `most` lies within the levels. */
double thickness_step(double most);
/* Samples of every number of layers over the overlay's own field. */
void thickness_put(struct drawing *drawing, const struct buildup *buildup,
                   const struct plan_overlay *over, size_t layers, double step);
/* The scale of the levels above the field, at the right; how much room it may take there. */
double thickness_scale_wide(const struct drawing *drawing);
void thickness_scale_put(struct drawing *drawing, double step, double most);

#endif
