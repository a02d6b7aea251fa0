/* reach.h - which volumes and clads of a site reach a depth, for depths from the deepest up. */
#ifndef METAL_REACH_H
#define METAL_REACH_H

#include "metal/sites.h"

/* From where to where one of them reaches at most; both ends belong to it. */
struct reach {
  struct range depths;
  size_t place; /* among the site's volumes, then its overlays */
};

struct reaches {
  struct reach *all; /* deepest end first */
  size_t count, next;
  struct reach *here; /* those that reach the depth asked for last, by their places */
  size_t here_count;
};

/* layers: how many stand, for each overlay of the plan. */
struct reaches reaches_begin(struct arena *arena, const struct plan *plan, const struct site *site,
                             const size_t *layers);
/* No depth is above the one before.  All depths together take n log n, and as much as reaches each.
 */
void reaches_go_to(struct reaches *reaches, double depth);

#endif
