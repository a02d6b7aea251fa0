/* tree.c - a balanced tree: halves along the longer side of the box, four edges a leaf. */
#include "metal/tree.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "metal/region.h"

enum { LEAF_MOST = 4, DEPTH_MOST = 64 };

static int by_x(const void *a, const void *b) {
  const struct edge *p = a, *q = b;
  double x = p->box.lo.x + p->box.hi.x, y = q->box.lo.x + q->box.hi.x;
  if (x != y)
    return x < y ? -1 : 1;
  return p->order < q->order ? -1 : p->order > q->order;
}

static int by_y(const void *a, const void *b) {
  const struct edge *p = a, *q = b;
  double x = p->box.lo.y + p->box.hi.y, y = q->box.lo.y + q->box.hi.y;
  if (x != y)
    return x < y ? -1 : 1;
  return p->order < q->order ? -1 : p->order > q->order;
}

static size_t build(struct edge_tree *tree, size_t first, size_t count) {
  size_t at = tree->node_count++;
  struct box box = tree->edges[first].box;
  for (size_t i = 1; i < count; i++)
    box = box_join(box, tree->edges[first + i].box);
  tree->nodes[at] = (struct edge_node){.box = box, .first = first, .count = count};
  if (count <= LEAF_MOST)
    return at;
  bool wide = box.hi.x - box.lo.x >= box.hi.y - box.lo.y;
  qsort(&tree->edges[first], count, sizeof *tree->edges, wide ? by_x : by_y);
  build(tree, first, count / 2);
  tree->nodes[at].right = build(tree, first + count / 2, count - count / 2);
  return at;
}

struct edge_tree edge_tree_make(struct arena *arena, struct edge *edges, size_t count) {
  struct edge_tree tree = {.edges = edges, .edge_count = count};
  tree.nodes = arena_alloc(arena, 2 * count + 1, sizeof *tree.nodes);
  if (count)
    build(&tree, 0, count);
  return tree;
}

static void look_at_leaf(const struct edge_tree *tree, const struct edge_node *node, vec2 p, vec2 q,
                         struct box reach, double *least, const struct edge **nearest) {
  for (size_t i = node->first; i < node->first + node->count; i++) {
    if (box_gap2(tree->edges[i].box, reach) >= *least * *least)
      continue;
    double distance = edge_distance_segment(&tree->edges[i], p, q);
    if (distance < *least) {
      *least = distance;
      *nearest = &tree->edges[i];
    }
  }
}

double edge_tree_distance(const struct edge_tree *tree, vec2 p, vec2 q, double cap,
                          const struct edge **nearest) {
  struct box reach = box_of(p, q);
  size_t stack[DEPTH_MOST], height = 0;
  double least = cap;
  *nearest = NULL;
  if (tree->edge_count)
    stack[height++] = 0;
  while (height > 0) {
    size_t at = stack[--height];
    const struct edge_node *node = &tree->nodes[at];
    if (box_gap2(node->box, reach) >= least * least)
      continue;
    if (node->right == 0) {
      look_at_leaf(tree, node, p, q, reach, &least, nearest);
      continue;
    }
    bool right_nearer =
        box_gap2(tree->nodes[node->right].box, reach) < box_gap2(tree->nodes[at + 1].box, reach);
    stack[height++] = right_nearer ? at + 1 : node->right;
    stack[height++] = right_nearer ? node->right : at + 1;
  }
  return *nearest ? least : HUGE_VAL;
}

static bool leaf_stays_off(const struct edge_tree *tree, const struct edge_node *node,
                           const struct metal_region *region, double distance) {
  for (size_t i = node->first; i < node->first + node->count; i++)
    if (!region_off_edge(region, &tree->edges[i], distance))
      return false;
  return true;
}

bool edge_tree_stays_off(const struct edge_tree *tree, const struct metal_region *region,
                         double distance) {
  size_t stack[DEPTH_MOST], height = 0;
  if (tree->edge_count)
    stack[height++] = 0;
  while (height > 0) {
    size_t at = stack[--height];
    const struct edge_node *node = &tree->nodes[at];
    if (region_off_box(region, node->box, distance))
      continue;
    if (node->right == 0) {
      if (!leaf_stays_off(tree, node, region, distance))
        return false;
      continue;
    }
    stack[height++] = node->right;
    stack[height++] = at + 1;
  }
  return true;
}
