/* laid.h - what the files of this room share of one overlay. */
#ifndef BUILDUP_LAID_H
#define BUILDUP_LAID_H

#include "borelay/buildup.h"
#include "buildup/section.h"

struct buildup {
  const struct plan_overlay *overlay;
  struct poured *layers;
  size_t layer_count;
};

/* Metal of a layer per area of its own wall, per area of the shape itself. */
double laid_carried(const struct plan_layer *layer, const struct contour_seg *seg, double flat);

#endif
