/* Where the part lies: as the job says, or as the touches of its datum say. */
#include "shape/place.h"

#include "borelay/diag.h"
#include "shape/taught.h"

/* The shape's own centre (and a racetrack's own direction) comes to lie on the fitted one. */
static struct placement placement_on_fit(const struct datum_fit *datum, const struct fit *fit) {
  const struct shape *shape = datum->shape;
  bool is_racetrack = shape->kind == SHAPE_RACETRACK;
  double turned = is_racetrack ? fit->turned - shape->turned : datum->turned;
  vec2 arm = turned_about_zero(shape->centre, turned);
  return (struct placement){{fit->centre.x - arm.x, fit->centre.y - arm.y, datum->z}, turned};
}

bool placement_find(const struct job *job, double reach, struct diag_list *diags,
                    struct placement *placement, struct fit *fit, bool *has_fit) {
  *has_fit = false;
  if (!job->has_datum_fit) {
    *placement = (struct placement){job->at, job->turned};
    return true;
  }
  const struct datum_fit *datum = &job->datum;
  struct touch_set set = {"datum", datum->shape, datum->touches, datum->touch_count,
                          datum->origin.head};
  if (!touches_fit(&set, reach, diags, fit))
    return false;
  *has_fit = true;
  *placement = placement_on_fit(datum, fit);
  return true;
}
