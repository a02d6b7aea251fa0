/* tree.h - edges in a tree of boxes, so that a distance looks at few of them. */
#ifndef METAL_TREE_H
#define METAL_TREE_H

#include "borelay/metal.h"
#include "metal/edge.h"
#include "metal/strip.h"

struct arena;

struct edge_tree {
  struct edge *edges;
  size_t edge_count;
  struct box_tree boxes;
  struct strip *strips; /* one for each node of the tree: all of its edges lie in it; of few edges,
                           which are one node, none */
};

/* Of a copy of the edges, in the tree's order. */
struct edge_tree edge_tree_make(struct arena *arena, const struct edge *edges, size_t count);
/* The same where the tree of their boxes is known. */
struct edge_tree edge_tree_of(struct arena *arena, const struct edge *edges, size_t count,
                              struct box_tree boxes);
/* Least distance of the segment p q (may be a point) to the edges where below cap; else INFINITY.
 */
double edge_tree_distance(const struct edge_tree *tree, vec2 p, vec2 q, double cap,
                          const struct edge **nearest);

/* Whether every edge is at least `distance` off the region; false where that is not plain. */
bool edge_tree_stays_off(const struct edge_tree *tree, const struct metal_region *region,
                         double distance);

#endif
