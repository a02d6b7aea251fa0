/* tree.c - distances to many edges, looking at few of them. */
#include "metal/tree.h"

#include <math.h>

#include "borelay/arena.h"
#include "metal/region.h"

/* Children stand behind their parents, so that theirs are known when the parent's is made. */
static void strips_make(struct edge_tree *tree) {
  for (size_t i = tree->boxes.node_count; i-- > 0;) {
    const struct box_node *node = &tree->boxes.nodes[i];
    tree->strips[i] = node->right == 0
                          ? strip_of(&tree->edges[node->first], node->count)
                          : strip_join(&tree->strips[i + 1], &tree->strips[node->right]);
  }
}

struct edge_tree edge_tree_of(struct arena *arena, const struct edge *edges, size_t count,
                              struct box_tree boxes) {
  struct edge_tree tree = {.edges = arena_alloc(arena, count + 1, sizeof *tree.edges),
                           .edge_count = count,
                           .boxes = boxes};
  for (size_t i = 0; i < count; i++)
    tree.edges[i] = edges[boxes.order[i]];
  if (boxes.node_count <= 1)
    return tree;
  tree.strips = arena_alloc(arena, boxes.node_count + 1, sizeof *tree.strips);
  strips_make(&tree);
  return tree;
}

struct edge_tree edge_tree_make(struct arena *arena, const struct edge *edges, size_t count) {
  struct box *boxes = arena_alloc(arena, count + 1, sizeof *boxes);
  for (size_t i = 0; i < count; i++)
    boxes[i] = edges[i].box;
  return edge_tree_of(arena, edges, count, box_tree_make(arena, boxes, count));
}

static void look_at_leaf(const struct edge_tree *tree, const struct box_node *node, vec2 p, vec2 q,
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
  size_t stack[BOX_TREE_DEPTH], height = 0;
  double least = cap;
  *nearest = NULL;
  if (tree->edge_count)
    stack[height++] = 0;
  while (height > 0) {
    size_t at = stack[--height];
    const struct box_node *node = &tree->boxes.nodes[at];
    if (box_gap2(node->box, reach) >= least * least)
      continue;
    if (node->right == 0) {
      look_at_leaf(tree, node, p, q, reach, &least, nearest);
      continue;
    }
    bool right_nearer = box_gap2(tree->boxes.nodes[node->right].box, reach) <
                        box_gap2(tree->boxes.nodes[at + 1].box, reach);
    stack[height++] = right_nearer ? at + 1 : node->right;
    stack[height++] = right_nearer ? node->right : at + 1;
  }
  return *nearest ? least : HUGE_VAL;
}

static bool leaf_stays_off(const struct edge_tree *tree, const struct box_node *node,
                           const struct metal_region *region, double distance) {
  for (size_t i = node->first; i < node->first + node->count; i++)
    if (!region_off_edge(region, &tree->edges[i], distance))
      return false;
  return true;
}

bool edge_tree_stays_off(const struct edge_tree *tree, const struct metal_region *region,
                         double distance) {
  size_t stack[BOX_TREE_DEPTH], height = 0;
  if (tree->boxes.node_count == 1)
    return leaf_stays_off(tree, &tree->boxes.nodes[0], region, distance);
  if (tree->edge_count)
    stack[height++] = 0;
  while (height > 0) {
    size_t at = stack[--height];
    const struct box_node *node = &tree->boxes.nodes[at];
    if (region_off_node(region, node->box, &tree->strips[at], distance))
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
