/* Necks: an offset folds over itself where the bore is narrower than twice the offset, though no
 * radius vanishes there.
 *
 * A point under the offset d lies d away from its own place on the wall.  The offset contour is
 * sound just where it lies no nearer to any other place of the wall: where it crosses itself, the
 * points behind the crossing do.  So every segment under the offset is held against the segments of
 * the wall that come near it, but for those around it.
 *
 * Around it: let A lie on the wall, O = A + d m under the offset, m being the normal away from the
 * metal, and B run along the wall away from A, its tangent t turned by phi(B) from that at A, phi >
 * 0 to the left.  Then (|O B|^2)'/2 = (B - O) t(B) = integral of cos(phi(B) - phi(s)) ds from A to
 * B
 * - d sin phi(B).  Where the wall turns by no more than a quarter in all between A and B every
 * cosine is >= 0; and no concave arc having a radius below R, sin phi(B) = integral of cos(phi(B) -
 * phi(s)) phi'(s) ds <= integral of cos(..) ds / R.  So with R >= d the distance only grows from d
 * on: no fold there, in either direction. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "shape/approach.h"
#include "shape/seg_tree.h"
#include "shape/segments.h"

/* Nearer than the offset by this (mm) is rounding. */
#define SAME_DISTANCE 1e-7

/* No point of a segment is farther than its length from its start. */
static bool may_meet(const struct contour_seg *a, const struct contour_seg *b, double offset) {
  vec2 apart = vec2_sub(a->start, b->start);
  return num_hypot(apart.x, apart.y) <= 2 * offset + a->length + b->length;
}

/* Turned by less than a quarter, rad. */
static const double QUARTER = 1.57;

struct wall {
  const struct contour *contour;
  struct seg_tree tree;
  double *turned;  /* before each segment, rad, twice round; rising */
  double tightest; /* least radius of the concave arcs */
};

static struct wall wall_make(struct arena *arena, const struct contour *contour) {
  size_t n = contour->count;
  struct wall wall = {.contour = contour, .tightest = HUGE_VAL};
  wall.tree = seg_tree_make(arena, contour->segs, n);
  wall.turned = arena_alloc(arena, 2 * n + 1, sizeof *wall.turned);
  for (size_t i = 0; i < 2 * n; i++) {
    const struct contour_seg *seg = &contour->segs[i % n];
    wall.turned[i + 1] = wall.turned[i] + (seg->turn == 0 ? 0 : seg->length / seg->radius);
    if (seg->turn > 0)
      wall.tightest = fmin(wall.tightest, seg->radius);
  }
  return wall;
}

/* From `lo` to `hi`, both with it, the wall turns less than a quarter; hi up to 2 n - 1. */
static bool is_bend(const struct wall *wall, size_t lo, size_t hi) {
  return wall->turned[hi + 1] - wall->turned[lo] < QUARTER;
}

/* The last one on from `hi`, no farther than `most`, up to which it is so from `lo` on. */
static size_t bend_end(const struct wall *wall, size_t lo, size_t hi, size_t most) {
  size_t beyond = most + 1;
  while (beyond - hi > 1) {
    size_t middle = hi + (beyond - hi) / 2;
    if (is_bend(wall, lo, middle))
      hi = middle;
    else
      beyond = middle;
  }
  return hi;
}

/* Where j lies around i, past those behind it that do as well; else j. */
static size_t pass_around(const struct wall *wall, size_t i, size_t j) {
  size_t n = wall->contour->count;
  if (j <= i && is_bend(wall, j, i))
    return i + 1;
  if (j < i)
    return is_bend(wall, i, j + n) ? bend_end(wall, i, j + n, i + n - 1) - n + 1 : j;
  if (is_bend(wall, i, j))
    return bend_end(wall, i, j, n - 1) + 1;
  return is_bend(wall, j, i + n) ? n : j;
}

/* How much nearer than the offset the contour comes to the wall, and between which places. */
struct fold {
  double depth; /* 0: nowhere */
  double s_a, s_b;
};

static void fold_take(struct fold *deepest, const struct contour_seg *seg,
                      const struct contour_seg *wall, double offset) {
  if (!may_meet(seg, wall, offset))
    return;
  struct contour_seg moved = seg_offset(seg, offset);
  struct approach approach = seg_approach(&moved, wall);
  double depth = offset - approach.distance;
  double u = fmin(approach.u_a / seg_stretch(seg, offset), seg->length);
  if (depth > fmax(deepest->depth, SAME_DISTANCE))
    *deepest = (struct fold){depth, seg->s0 + u, wall->s0 + approach.u_b};
}

static struct fold fold_find(const struct wall *wall, double offset) {
  const struct contour_seg *segs = wall->contour->segs;
  size_t count = wall->contour->count;
  bool bends_hold = offset <= wall->tightest;
  struct fold deepest = {0, 0, 0};
  for (size_t i = 0; i < count; i++) {
    const struct seg_circle *circle = &wall->tree.circles[i];
    double reach = circle->radius + 2 * offset;
    for (size_t j = 0; (j = seg_tree_next(&wall->tree, j, circle->middle, reach)) < count;) {
      size_t past = bends_hold ? pass_around(wall, i, j) : j;
      if (past == j && i != j)
        fold_take(&deepest, &segs[i], &segs[j], offset);
      j = past > j ? past : j + 1;
    }
  }
  return deepest;
}

static bool neck_find(const struct wall *wall, double offset, struct contour_neck *neck) {
  struct fold fold = fold_find(wall, offset);
  if (fold.depth <= 0)
    return false;
  /* Half of the neck's width is the largest offset that does not fold. */
  double sound = 0, folded = offset;
  for (int i = 0; i < 60 && folded - sound > SAME_DISTANCE; i++) {
    double middle = sound + (folded - sound) / 2;
    struct fold found = fold_find(wall, middle);
    if (found.depth <= 0) {
      sound = middle;
    } else {
      folded = middle;
      fold = found;
    }
  }
  *neck = (struct contour_neck){fmin(fold.s_a, fold.s_b), fmax(fold.s_a, fold.s_b), 2 * folded};
  return true;
}

bool contour_neck_find(const struct contour *contour, double offset, struct contour_neck *neck) {
  if (!(offset > 0))
    return false;
  struct arena *scratch = arena_new();
  struct wall wall = wall_make(scratch, contour);
  bool found = neck_find(&wall, offset, neck);
  arena_free(scratch);
  return found;
}
