/* boundary.h - where the metal of a cross-section ends. */
#ifndef METAL_BOUNDARY_H
#define METAL_BOUNDARY_H

#include "metal/section.h"

struct boundary {
  struct edge_tree parts;          /* of loops, cut where they meet others */
  const struct edge_tree **wholes; /* loops of many edges of which nothing is cut */
  size_t whole_count;
};
struct boundary boundary_find(struct arena *arena, const struct section_loop *loops, size_t count,
                              bool background);

#endif
