/* What bore the clad leaves: its mean height on the wall, and the size of what is left inside. */
#include "plan/plan_parts.h"

#include <math.h>

#include "borelay/deposit.h"
#include "borelay/num.h"

double plan_build_up_mean(const struct plan_overlay *overlay, size_t layers,
                          const struct contour_seg *seg) {
  double metal = 0;
  for (size_t k = 0; k < layers; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    double share = seg->turn == 0 ? 1 : 1 - seg->turn * layer->offset / seg->radius;
    metal += layer->thickness * share;
  }
  return layer_thickness_true(metal, seg->turn, seg->radius);
}

struct range plan_build_up_range(const struct plan_overlay *overlay, size_t layers) {
  struct range range = {HUGE_VAL, -HUGE_VAL};
  for (size_t i = 0; i < overlay->contour->count; i++) {
    double here = plan_build_up_mean(overlay, layers, &overlay->contour->segs[i]);
    range.lo = fmin(range.lo, here);
    range.hi = fmax(range.hi, here);
  }
  return range;
}

struct range plan_layer_true(const struct plan_overlay *overlay, const struct plan_layer *layer) {
  struct range range = {HUGE_VAL, -HUGE_VAL};
  for (size_t i = 0; i < overlay->contour->count; i++) {
    const struct contour_seg *seg = &overlay->contour->segs[i];
    double here =
        layer_thickness_true(layer->thickness, seg->turn, seg->radius - seg->turn * layer->offset);
    range.lo = fmin(range.lo, here);
    range.hi = fmax(range.hi, here);
  }
  return range;
}

/* The wall's extent along a direction from its centre, and what stands on it where the wall is
 * square to that direction: a straight side, or the apex of a half circle. */
static double left_along(const struct plan_overlay *overlay, size_t layers, double angle) {
  const struct contour *contour = overlay->contour;
  double s = contour_s_at_angle(contour, angle);
  struct contour_point wall = contour_at(contour, s, 0);
  double turns, at = contour_wrap(contour, s, &turns);
  const struct contour_seg *seg = &contour->segs[contour_seg_at(contour, at)];
  double from_centre = (wall.at.x - contour->centre.x) * wall.normal.x +
                       (wall.at.y - contour->centre.y) * wall.normal.y;
  return 2 * (from_centre - plan_build_up_mean(overlay, layers, seg));
}

struct bore_left plan_bore_left(const struct plan_overlay *overlay, size_t layers) {
  const struct contour *contour = overlay->contour;
  struct bore_left left = {.kind = contour->shape->kind};
  if (left.kind == SHAPE_OUTLINE)
    return left;
  left.length = left_along(overlay, layers, contour->turned);
  left.width = left_along(overlay, layers, contour->turned + NUM_PI / 2);
  return left;
}
