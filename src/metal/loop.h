/* loop.h - closed loops of edges: a volume's contour, a wall, a face of clad. */
#ifndef METAL_LOOP_H
#define METAL_LOOP_H

#include "borelay/plan.h"
#include "metal/edge.h"

struct loop {
  struct edge *edges;
  size_t count;
  struct box box;
  struct box_tree tree; /* of the edges' boxes */
};

/* The contour moved inward by thickness[i] on its segment i (NULL: by nothing), its parts joined by
 * straight steps along the normal.  An arc that loses its radius shrinks to its centre. */
struct loop loop_make(struct arena *arena, const struct contour *contour, const double *thickness);

/* Where a point lies; on the loop within tolerance: which way the loop runs there. */
struct loop_place {
  bool inside; /* the loop winds round it anticlockwise; not to be used when on */
  bool on;
  vec2 direction;
};
struct loop_place loop_place_of(const struct loop *loop, vec2 p, double tolerance);
bool loop_holds(const struct loop *loop, vec2 p);

#endif
