/* boxes.h - boxes, and trees of them. */
#ifndef METAL_BOXES_H
#define METAL_BOXES_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/vec.h"

struct arena;

struct box {
  vec2 lo, hi;
};

static inline bool box_holds(struct box box, vec2 p) {
  return p.x >= box.lo.x && p.x <= box.hi.x && p.y >= box.lo.y && p.y <= box.hi.y;
}
struct box box_of(vec2 a, vec2 b);
struct box box_join(struct box a, struct box b);
/* Square of the distance between two boxes. */
double box_gap2(struct box a, struct box b);

struct box_node {
  struct box box;
  size_t first, count; /* places in the tree's order below it */
  size_t right;        /* the left child follows its parent; 0: a leaf */
};

/* Halves along the longer side of the box, few a leaf, alike on every machine. */
struct box_tree {
  struct box_node *nodes;
  size_t node_count; /* 0: no boxes */
  size_t *order;     /* which of the boxes is at each place */
};
enum { BOX_TREE_DEPTH = 64 };

struct box_tree box_tree_make(struct arena *arena, const struct box *boxes, size_t count);

#endif
