/* The contour of a shape as the job places it: nominal, or along its touches. */
#include <assert.h>

#include "borelay/contour.h"
#include "shape/nominal.h"
#include "shape/outline.h"
#include "shape/place.h"
#include "shape/segments.h"
#include "shape/taught.h"

static struct contour *contour_nominal(struct arena *arena, const struct shape *shape,
                                       const struct placement *placement, struct diag_list *diags) {
  vec2 centre = placement_point(placement, shape->centre);
  double turned = placement->turned + shape->turned;
  switch (shape->kind) {
  case SHAPE_ROUND:
    return contour_round(arena, centre, shape->diameter, placement->turned);
  case SHAPE_RACETRACK:
    return contour_racetrack(arena, centre, shape->length, shape->width, turned);
  case SHAPE_RECTANGLE:
    return contour_rectangle(arena, centre, shape->length, shape->width, shape->corner, turned);
  case SHAPE_OUTLINE:
    return contour_outline(arena, shape, placement, diags);
  }
  assert(false); /* outside the enumeration */
  return NULL;
}

static struct contour *contour_of_fit(struct arena *arena, const struct fit *fit,
                                      const struct placement *placement) {
  if (fit->kind == SHAPE_ROUND)
    return contour_round(arena, fit->centre, fit->diameter, placement->turned);
  return contour_racetrack(arena, fit->centre, fit->length, fit->width, fit->turned);
}

const struct contour *contour_make(struct arena *arena, const struct shape *shape,
                                   const struct placement *placement, double reach,
                                   struct diag_list *diags, struct fit *fit, bool *has_fit) {
  *has_fit = false;
  struct contour *contour;
  if (shape->touch_count > 0) {
    if (!taught_fit(shape, placement, reach, diags, fit))
      return NULL;
    *has_fit = true;
    contour = contour_of_fit(arena, fit, placement);
  } else {
    contour = contour_nominal(arena, shape, placement, diags);
    if (!contour)
      return NULL;
  }
  contour->shape = shape;
  contour->taught = *has_fit;
  struct joint_fault fault;
  assert(contour_joints_close(contour, 1e-8, 1e-9, &fault));
  (void)fault;
  return contour;
}
