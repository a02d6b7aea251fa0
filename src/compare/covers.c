/* Overlay by overlay and layer by layer: wall that is newly covered, and no longer. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "compare/comparison.h"

static struct laid laid_of(struct arena *arena, const struct outcome *outcome,
                           const struct plan_overlay *overlay, size_t index, size_t layer) {
  if (!overlay || layer >= overlay->layer_count)
    return (struct laid){NULL, 0};
  return laid_make(arena, outcome->motion, index, layer);
}

static struct cover_change change_make(struct arena *arena, const struct comparison *comparison,
                                       const struct overlay_pair *pair, size_t layer) {
  const struct outcome *before = &comparison->sides[0].outcome;
  const struct outcome *after = &comparison->sides[1].outcome;
  struct arena *scratch = arena_new();
  struct laid a = laid_of(scratch, before, pair->before, pair->index_before, layer);
  struct laid b = laid_of(scratch, after, pair->after, pair->index_after, layer);
  const struct plan_overlay *one = pair->after ? pair->after : pair->before;
  double perimeter = one->contour->perimeter;
  struct cover_change change = {.overlay = one->overlay->name,
                                .layer = (int64_t)layer + 1,
                                .contour = one->contour,
                                .placement = &(pair->after ? after : before)->plan->placement};
  if (pair->before && pair->after) {
    double factor = perimeter / pair->before->contour->perimeter;
    change.is_other_wall = fabs(factor - 1) > 1e-9;
    a = laid_scaled(scratch, &a, factor);
  }
  change.newly = cover_only(arena, &b, &a, perimeter);
  change.no_longer = cover_only(arena, &a, &b, perimeter);
  arena_free(scratch);
  return change;
}

void covers_compare(struct arena *arena, struct comparison *comparison) {
  const struct plan *before = comparison->sides[0].outcome.plan;
  const struct plan *after = comparison->sides[1].outcome.plan;
  struct overlay_pairs pairs = overlay_pairs_make(arena, before, after, &comparison->names);
  for (size_t i = 0; i < pairs.count; i++) {
    const struct overlay_pair *pair = &pairs.items[i];
    size_t layers = pair->before ? pair->before->layer_count : 0;
    if (pair->after && pair->after->layer_count > layers)
      layers = pair->after->layer_count;
    for (size_t k = 0; k < layers; k++) {
      struct cover_change change = change_make(arena, comparison, pair, k);
      size_t n = comparison->cover_count;
      if (change.newly.count == 0 && change.no_longer.count == 0)
        continue;
      if ((n & (n - 1)) == 0)
        comparison->covers = arena_grow(arena, comparison->covers, n, n ? 2 * n : 1, sizeof change);
      comparison->covers[comparison->cover_count++] = change;
    }
  }
}

bool cover_part_angles(const struct cover_change *change, const struct cover_part *part,
                       struct range *degrees) {
  if (change->contour->shape->kind != SHAPE_ROUND)
    return false;
  double turned = change->contour->turned - change->placement->turned;
  double scale = 360.0 / change->contour->perimeter, zero = turned * (180.0 / NUM_PI);
  *degrees = (struct range){part->s.lo * scale + zero, part->s.hi * scale + zero};
  return true;
}

const char *cover_part_round(struct arena *arena, const struct cover_change *change,
                             const struct cover_part *part) {
  struct range degrees;
  if (part->s.hi - part->s.lo >= change->contour->perimeter - 1e-6)
    return "all round";
  if (cover_part_angles(change, part, &degrees))
    return arena_format(arena, "angles %.2f .. %.2f deg", degrees.lo, degrees.hi);
  return arena_format(arena, "s %.2f .. %.2f mm", part->s.lo, part->s.hi);
}
