/* seg_tree.h - which of many segments in a row come near a place, found without looking at all.
 *
 * A line or arc of length L lies within L/2 of the middle between its ends.  The circles so made
 * are held in a binary tree over their order, each node with a box of its middles: segments in a
 * row lie beside one another. */
#ifndef SHAPE_SEG_TREE_H
#define SHAPE_SEG_TREE_H

#include "borelay/contour.h"

struct arena;

struct seg_circle {
  vec2 middle;
  double radius;
};
struct seg_tree {
  const struct seg_circle *circles;
  size_t count;
  struct seg_box *boxes;
};

struct seg_circle seg_circle(const struct contour_seg *seg);
struct seg_tree seg_tree_make(struct arena *arena, const struct contour_seg *segs, size_t count);
/* The first segment from `from` on whose circle comes within `reach` mm of `at`, or a little
 * farther; count: none. */
size_t seg_tree_next(const struct seg_tree *tree, size_t from, vec2 at, double reach);

#endif
