/* outlines.h - the loops that metal is made of: each volume's, each overlay's wall and clad face.
 */
#ifndef METAL_OUTLINES_H
#define METAL_OUTLINES_H

#include "metal/loop.h"

struct outlines { /* made once, for all heights and states */
  struct loop *volumes, *walls;
};
struct outlines outlines_make(struct arena *arena, const struct plan *plan);

/* Face of the clad of an overlay's first `layers` layers. */
struct loop outline_of_clad(struct arena *arena, const struct plan *plan, size_t overlay,
                            size_t layers, bool nominal);
/* Its box alone. */
struct box outline_box_of_clad(struct arena *arena, const struct plan_overlay *overlay,
                               size_t layers, bool nominal);

#endif
