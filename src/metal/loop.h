/* loop.h - closed loops of edges: a volume's contour, a wall, a face of clad. */
#ifndef METAL_LOOP_H
#define METAL_LOOP_H

#include "borelay/plan.h"
#include "metal/edge.h"
#include "metal/tree.h"

struct loop {
  struct edge *edges;
  size_t count;
  struct box box;
  struct box_tree tree;          /* of the edges' boxes; of few edges none */
  const struct edge_tree *whole; /* of all edges where there are many; else NULL */
};

/* The contour moved inward by thickness[i] on its segment i (NULL: by nothing), its parts joined by
 * straight steps along the normal.  An arc that loses its radius shrinks to its centre.
 * kind, index: whose loop it is, for messages. */
struct loop loop_make(struct arena *arena, const struct contour *contour, const double *thickness,
                      enum metal_kind kind, size_t index);
/* The box of such a loop; one that adds nothing to another where it has no edges. */
struct box loop_box(const struct contour *contour, const double *thickness);

/* Where a point lies; on the loop within tolerance: which way the loop runs there. */
struct loop_place {
  bool inside; /* the loop winds round it anticlockwise; not to be used when on */
  bool on;
  vec2 direction;
};
struct loop_place loop_place_of(const struct loop *loop, vec2 p, double tolerance);
bool loop_holds(const struct loop *loop, vec2 p);

/* The edges that may be within `reach` of another edge, one after the other. */
struct loop_walk {
  const struct loop *loop;
  const struct edge *beside;
  double reach;
  size_t stack[BOX_TREE_DEPTH], height;
  size_t place, end; /* of the tree's order, in the leaf that is open */
};
void loop_walk_begin(struct loop_walk *walk, const struct loop *loop, const struct edge *beside,
                     double reach);
/* False when there is none left. */
bool loop_walk_next(struct loop_walk *walk, size_t *edge);

#endif
