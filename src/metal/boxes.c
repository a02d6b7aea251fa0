/* boxes.c - a balanced tree: halves along the longer side of the box, four boxes a leaf. */
#include "metal/boxes.h"

#include <stdbool.h>

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
  double middle[2]; /* twice the box's, by axis */
  size_t item;
};

struct builder {
  struct box_tree *tree;
  const struct box *boxes;
  struct entry *entries;
};

/* No two are alike, so that every way of sorting gives the same tree. */
static bool is_before(const struct entry *p, const struct entry *q, int axis) {
  if (p->middle[axis] != q->middle[axis])
    return p->middle[axis] < q->middle[axis];
  return p->item < q->item;
}

static void swap(struct entry *p, struct entry *q) {
  struct entry p_was = *p;
  *p = *q;
  *q = p_was;
}

static void sort_few(struct entry *entries, size_t count, int axis) {
  for (size_t i = 1; i < count; i++)
    for (size_t k = i; k > 0 && is_before(&entries[k], &entries[k - 1], axis); k--)
      swap(&entries[k], &entries[k - 1]);
}

/* Brings the first `half` of the entries along an axis to the front (C. A. R. Hoare's FIND, Comm.
 * ACM 4, 1961, from memory). */
static void part_in_two(struct entry *entries, ptrdiff_t count, ptrdiff_t half, int axis) {
  ptrdiff_t lo = 0, hi = count - 1;
  while (lo < hi) {
    struct entry pivot = entries[lo + (hi - lo) / 2];
    ptrdiff_t left = lo, right = hi;
    while (left <= right) {
      while (is_before(&entries[left], &pivot, axis))
        left++;
      while (is_before(&pivot, &entries[right], axis))
        right--;
      if (left <= right)
        swap(&entries[left++], &entries[right--]);
    }
    if (right <
        half) /* those from left on are not before the pivot, those up to right not behind */
      lo = left;
    if (half < left)
      hi = right;
  }
}

static size_t build(struct builder *builder, size_t first, size_t count) {
  size_t at = builder->tree->node_count++;
  struct entry *entries = &builder->entries[first];
  struct box box = builder->boxes[entries[0].item];
  for (size_t i = 1; i < count; i++)
    box = box_join(box, builder->boxes[entries[i].item]);
  struct box_node *node = &builder->tree->nodes[at];
  *node = (struct box_node){.box = box, .first = first, .count = count};
  if (count <= LEAF_MOST)
    return at;
  int axis = box.hi.x - box.lo.x >= box.hi.y - box.lo.y ? 0 : 1;
  size_t half = count / 2;
  part_in_two(entries, (ptrdiff_t)count, (ptrdiff_t)half, axis);
  if (half <= LEAF_MOST)
    sort_few(entries, half, axis);
  if (count - half <= LEAF_MOST)
    sort_few(entries + half, count - half, axis);
  build(builder, first, half);
  node->right = build(builder, first + half, count - half);
  return at;
}

/* A leaf has two boxes at least but where there is only one, so there are fewer nodes than boxes.
 */
struct box_tree box_tree_make(struct arena *arena, const struct box *boxes, size_t count) {
  struct box_tree tree = {.nodes = arena_alloc(arena, count + 1, sizeof *tree.nodes),
                          .order = arena_alloc(arena, count + 1, sizeof *tree.order)};
  struct builder builder = {&tree, boxes, arena_alloc(arena, count + 1, sizeof *builder.entries)};
  for (size_t i = 0; i < count; i++)
    builder.entries[i] =
        (struct entry){{boxes[i].lo.x + boxes[i].hi.x, boxes[i].lo.y + boxes[i].hi.y}, i};
  if (count)
    build(&builder, 0, count);
  for (size_t i = 0; i < count; i++)
    tree.order[i] = builder.entries[i].item;
  return tree;
}
