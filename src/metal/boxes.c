/* boxes.c - a balanced tree: halves along the longer side of the box, four boxes a leaf. */
#include "metal/boxes.h"

#include <stdbool.h>
#include <stdlib.h>

#include "borelay/arena.h"

enum { LEAF_MOST = 4 };

struct box box_of(vec2 a, vec2 b) {
  return (struct box){{a.x < b.x ? a.x : b.x, a.y < b.y ? a.y : b.y},
                      {a.x > b.x ? a.x : b.x, a.y > b.y ? a.y : b.y}};
}

struct box box_join(struct box a, struct box b) {
  return (struct box){
      {a.lo.x < b.lo.x ? a.lo.x : b.lo.x, a.lo.y < b.lo.y ? a.lo.y : b.lo.y},
      {a.hi.x > b.hi.x ? a.hi.x : b.hi.x, a.hi.y > b.hi.y ? a.hi.y : b.hi.y},
  };
}

static double interval_gap(double a_lo, double a_hi, double b_lo, double b_hi) {
  if (a_lo > b_hi)
    return a_lo - b_hi;
  return b_lo > a_hi ? b_lo - a_hi : 0;
}

double box_gap2(struct box a, struct box b) {
  double x = interval_gap(a.lo.x, a.hi.x, b.lo.x, b.hi.x);
  double y = interval_gap(a.lo.y, a.hi.y, b.lo.y, b.hi.y);
  return x * x + y * y;
}

/* -- the tree ---------------------------------------------------------------------- */

struct entry {
  struct box box;
  size_t item;
};

struct sorter {
  struct box_tree *tree;
  struct entry *entries;
};

static int by_place(double x, double y, const struct entry *p, const struct entry *q) {
  if (x != y)
    return x < y ? -1 : 1;
  return p->item < q->item ? -1 : p->item > q->item;
}

static int by_x(const void *a, const void *b) {
  const struct entry *p = a, *q = b;
  return by_place(p->box.lo.x + p->box.hi.x, q->box.lo.x + q->box.hi.x, p, q);
}

static int by_y(const void *a, const void *b) {
  const struct entry *p = a, *q = b;
  return by_place(p->box.lo.y + p->box.hi.y, q->box.lo.y + q->box.hi.y, p, q);
}

static size_t build(struct sorter *sorter, size_t first, size_t count) {
  size_t at = sorter->tree->node_count++;
  struct box box = sorter->entries[first].box;
  for (size_t i = 1; i < count; i++)
    box = box_join(box, sorter->entries[first + i].box);
  struct box_node *node = &sorter->tree->nodes[at];
  *node = (struct box_node){.box = box, .first = first, .count = count};
  if (count <= LEAF_MOST)
    return at;
  bool wide = box.hi.x - box.lo.x >= box.hi.y - box.lo.y;
  qsort(&sorter->entries[first], count, sizeof *sorter->entries, wide ? by_x : by_y);
  build(sorter, first, count / 2);
  node->right = build(sorter, first + count / 2, count - count / 2);
  return at;
}

struct box_tree box_tree_make(struct arena *arena, const struct box *boxes, size_t count) {
  struct box_tree tree = {.nodes = arena_alloc(arena, 2 * count + 1, sizeof *tree.nodes),
                          .order = arena_alloc(arena, count + 1, sizeof *tree.order)};
  struct sorter sorter = {&tree, arena_alloc(arena, count + 1, sizeof *sorter.entries)};
  for (size_t i = 0; i < count; i++)
    sorter.entries[i] = (struct entry){boxes[i], i};
  if (count)
    build(&sorter, 0, count);
  for (size_t i = 0; i < count; i++)
    tree.order[i] = sorter.entries[i].item;
  return tree;
}
