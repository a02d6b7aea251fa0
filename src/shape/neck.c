/* Necks: an offset folds over itself where the bore is narrower than twice the offset, though no
 * radius vanishes there.
 *
 * A point under the offset d lies d away from its own place on the wall.  The offset contour is
 * sound just where it lies no nearer to any other place of the wall: where it crosses itself, the
 * points behind the crossing do.  So every segment under the offset is held against every segment
 * of the wall. */
#include <math.h>

#include "borelay/num.h"
#include "shape/approach.h"
#include "shape/segments.h"

/* Nearer than the offset by this (mm) is rounding. */
#define SAME_DISTANCE 1e-7

/* No point of a segment is farther than its length from its start. */
static bool may_meet(const struct contour_seg *a, const struct contour_seg *b, double offset) {
  vec2 apart = vec2_sub(a->start, b->start);
  return num_hypot(apart.x, apart.y) <= 2 * offset + a->length + b->length;
}

/* How much nearer than the offset the contour comes to the wall, and between which places. */
struct fold {
  double depth; /* 0: nowhere */
  double s_a, s_b;
};

static struct fold fold_find(const struct contour *contour, double offset) {
  struct fold deepest = {0, 0, 0};
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    struct contour_seg moved = seg_offset(seg, offset);
    for (size_t j = 0; j < contour->count; j++) {
      const struct contour_seg *wall = &contour->segs[j];
      if (i == j || !may_meet(seg, wall, offset))
        continue;
      struct approach approach = seg_approach(&moved, wall);
      double depth = offset - approach.distance;
      double u = fmin(approach.u_a / seg_stretch(seg, offset), seg->length);
      if (depth > fmax(deepest.depth, SAME_DISTANCE))
        deepest = (struct fold){depth, seg->s0 + u, wall->s0 + approach.u_b};
    }
  }
  return deepest;
}

bool contour_neck_find(const struct contour *contour, double offset, struct contour_neck *neck) {
  if (!(offset > 0))
    return false;
  struct fold fold = fold_find(contour, offset);
  if (fold.depth <= 0)
    return false;
  /* Half of the neck's width is the largest offset that does not fold. */
  double sound = 0, folded = offset;
  for (int i = 0; i < 60 && folded - sound > SAME_DISTANCE; i++) {
    double middle = sound + (folded - sound) / 2;
    struct fold found = fold_find(contour, middle);
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
