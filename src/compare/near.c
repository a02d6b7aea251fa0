/* Boxes in boxes over the lines in their order, which is along the way: neighbours in the list lie
 * near one another.  A box that is farther than the nearest line found is passed over with all that
 * it holds. */
#include "compare/near.h"

#include <math.h>

#include "borelay/arena.h"

struct box {
  vec3 lo, hi;
};

struct near_tree {
  const struct tip_line *lines;
  size_t leaf_count; /* a power of two, of which only the first hold something */
  size_t count;
  struct box *boxes; /* [1] holds all; [i] holds [2 i] and [2 i + 1]; leaves from leaf_count on */
};
enum { PER_LEAF = 8 };

static struct box box_of(const struct tip_line *line) {
  return (struct box){{fmin(line->from.x, line->to.x), fmin(line->from.y, line->to.y),
                       fmin(line->from.z, line->to.z)},
                      {fmax(line->from.x, line->to.x), fmax(line->from.y, line->to.y),
                       fmax(line->from.z, line->to.z)}};
}

static struct box box_join(struct box a, struct box b) {
  return (struct box){{fmin(a.lo.x, b.lo.x), fmin(a.lo.y, b.lo.y), fmin(a.lo.z, b.lo.z)},
                      {fmax(a.hi.x, b.hi.x), fmax(a.hi.y, b.hi.y), fmax(a.hi.z, b.hi.z)}};
}

static struct box leaf_box(const struct near_tree *tree, size_t leaf) {
  struct box box = {{HUGE_VAL, HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL, -HUGE_VAL}};
  for (size_t i = leaf * PER_LEAF; i < (leaf + 1) * PER_LEAF && i < tree->count; i++)
    box = box_join(box, box_of(&tree->lines[i]));
  return box;
}

const struct near_tree *near_tree_make(struct arena *arena, const struct tip_course *way) {
  struct near_tree *tree = arena_alloc(arena, 1, sizeof *tree);
  *tree = (struct near_tree){.lines = way->lines, .leaf_count = 1, .count = way->count};
  while (tree->leaf_count * PER_LEAF < way->count)
    tree->leaf_count *= 2;
  tree->boxes = arena_alloc(arena, 2 * tree->leaf_count, sizeof *tree->boxes);
  for (size_t i = 0; i < tree->leaf_count; i++)
    tree->boxes[tree->leaf_count + i] = leaf_box(tree, i);
  for (size_t i = tree->leaf_count - 1; i >= 1; i--)
    tree->boxes[i] = box_join(tree->boxes[2 * i], tree->boxes[2 * i + 1]);
  return tree;
}

static double beyond(double x, double lo, double hi) {
  return fmax(fmax(lo - x, x - hi), 0);
}

static double box_distance(const struct box *box, vec3 p) {
  double x = beyond(p.x, box->lo.x, box->hi.x), y = beyond(p.y, box->lo.y, box->hi.y);
  double z = beyond(p.z, box->lo.z, box->hi.z);
  return sqrt(x * x + y * y + z * z);
}

double line_distance(const struct tip_line *line, vec3 p) {
  vec3 d = {line->to.x - line->from.x, line->to.y - line->from.y, line->to.z - line->from.z};
  vec3 r = {p.x - line->from.x, p.y - line->from.y, p.z - line->from.z};
  double length = d.x * d.x + d.y * d.y + d.z * d.z;
  double share = length > 0 ? (r.x * d.x + r.y * d.y + r.z * d.z) / length : 0;
  share = fmin(fmax(share, 0), 1);
  double x = r.x - share * d.x, y = r.y - share * d.y, z = r.z - share * d.z;
  return sqrt(x * x + y * y + z * z);
}

static void search_leaf(const struct near_tree *tree, size_t leaf, vec3 point, struct near *best) {
  for (size_t i = leaf * PER_LEAF; i < (leaf + 1) * PER_LEAF && i < tree->count; i++) {
    double distance = line_distance(&tree->lines[i], point);
    if (distance < best->distance)
      *best = (struct near){distance, i};
  }
}

/* The nearer of two halves first: the other is then mostly passed over. */
static void search(const struct near_tree *tree, size_t node, vec3 point, struct near *best) {
  if (box_distance(&tree->boxes[node], point) >= best->distance)
    return;
  if (node >= tree->leaf_count) {
    search_leaf(tree, node - tree->leaf_count, point, best);
    return;
  }
  size_t first = 2 * node, second = first + 1;
  if (box_distance(&tree->boxes[second], point) < box_distance(&tree->boxes[first], point)) {
    first = second;
    second = 2 * node;
  }
  search(tree, first, point, best);
  search(tree, second, point, best);
}

struct near near_find(const struct near_tree *tree, vec3 point, size_t guess) {
  struct near best = {line_distance(&tree->lines[guess], point), guess};
  search(tree, 1, point, &best);
  return best;
}
