/* seg_tree.c - boxes of segments in a row, halved down to one. */
#include "shape/seg_tree.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "shape/segments.h"

/* For the rounding of middles and sums, as a share and in mm: more is found, never less. */
static const double SURE_SHARE = 1e-9, SURE = 1e-9;

struct seg_box {
  vec2 lo, hi; /* of the circles */
};

struct seg_circle seg_circle(const struct contour_seg *seg) {
  vec2 a = seg->start, b = seg_point(seg, seg->length, 0).at;
  return (struct seg_circle){vec2_scale(vec2_add(a, b), 0.5), seg->length / 2};
}

static struct seg_box box_join(struct seg_box a, struct seg_box b) {
  return (struct seg_box){{fmin(a.lo.x, b.lo.x), fmin(a.lo.y, b.lo.y)},
                          {fmax(a.hi.x, b.hi.x), fmax(a.hi.y, b.hi.y)}};
}

/* Node 1 holds all; 2 n and 2 n + 1 are the halves of n. */
static struct seg_box box_build(struct seg_tree *tree, size_t node, size_t lo, size_t hi) {
  if (hi - lo == 1) {
    const struct seg_circle *circle = &tree->circles[lo];
    vec2 reach = {circle->radius, circle->radius};
    tree->boxes[node] =
        (struct seg_box){vec2_sub(circle->middle, reach), vec2_add(circle->middle, reach)};
  } else {
    size_t middle = lo + (hi - lo) / 2;
    struct seg_box left = box_build(tree, 2 * node, lo, middle);
    tree->boxes[node] = box_join(left, box_build(tree, 2 * node + 1, middle, hi));
  }
  return tree->boxes[node];
}

struct seg_tree seg_tree_make(struct arena *arena, const struct contour_seg *segs, size_t count) {
  struct seg_circle *circles = arena_alloc(arena, count, sizeof *circles);
  for (size_t i = 0; i < count; i++)
    circles[i] = seg_circle(&segs[i]);
  struct seg_tree tree = {.circles = circles, .count = count};
  tree.boxes = arena_alloc(arena, 4 * count + 2, sizeof *tree.boxes);
  if (count > 0)
    box_build(&tree, 1, 0, count);
  return tree;
}

static bool box_is_far(const struct seg_box *box, vec2 at, double reach) {
  double x = fmax(fmax(box->lo.x - at.x, at.x - box->hi.x), 0);
  double y = fmax(fmax(box->lo.y - at.y, at.y - box->hi.y), 0);
  return num_hypot(x, y) > reach;
}

static bool is_near(const struct seg_circle *circle, vec2 at, double reach) {
  vec2 apart = vec2_sub(circle->middle, at);
  return num_hypot(apart.x, apart.y) <= reach + circle->radius;
}

struct query {
  size_t from;
  vec2 at;
  double reach;
};

static size_t next_in(const struct seg_tree *tree, const struct query *query, size_t node,
                      size_t lo, size_t hi) {
  if (hi <= query->from || box_is_far(&tree->boxes[node], query->at, query->reach))
    return tree->count;
  if (hi - lo == 1)
    return is_near(&tree->circles[lo], query->at, query->reach) ? lo : tree->count;
  size_t middle = lo + (hi - lo) / 2;
  size_t found = next_in(tree, query, 2 * node, lo, middle);
  return found < tree->count ? found : next_in(tree, query, 2 * node + 1, middle, hi);
}

size_t seg_tree_next(const struct seg_tree *tree, size_t from, vec2 at, double reach) {
  double far = fabs(at.x) + fabs(at.y) + reach;
  struct query query = {from, at, reach + SURE + SURE_SHARE * far};
  return from < tree->count ? next_in(tree, &query, 1, 0, tree->count) : tree->count;
}
