/* Touches of a racetrack: five determine it, so what can be checked is that each lies where its
 * number says, and what the centre is worth. */
#include <assert.h>
#include <math.h>

#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/fit_racetrack.h"
#include "shape/taught_kinds.h"

/* The one pair of touches that, exchanged, makes the five fit (and the sizes agree, where they are
 * given); false where there is none, or more than one. */
static bool exchange_find(const struct touch_set *set, const vec2 tips[5], int pair[2]) {
  const struct shape *shape = set->shape;
  int found = 0;
  for (int i = 0; i < 5; i++) {
    for (int k = i + 1; k < 5; k++) {
      vec2 order[5] = {tips[0], tips[1], tips[2], tips[3], tips[4]};
      order[i] = tips[k];
      order[k] = tips[i];
      struct racetrack_fit fit;
      if (racetrack_fit(order, shape->fit_tolerance, &fit).fault != RACETRACK_FITS)
        continue;
      double width = 2 * fit.radius, length = fit.straight + width;
      if (shape->has_dimensions && (fabs(width - shape->width) > shape->fit_tolerance ||
                                    fabs(length - shape->length) > shape->fit_tolerance))
        continue;
      pair[0] = i + 1;
      pair[1] = k + 1;
      found++;
    }
  }
  return found == 1;
}

static void help_with_order(const struct touch_set *set, const vec2 tips[5], struct diag *diag) {
  int pair[2] = {0, 0};
  if (exchange_find(set, tips, pair))
    diag_help(diag, "with touches %d and %d exchanged the five would fit", pair[0], pair[1]);
  else
    diag_help(diag, "touches 1 and 2 on one straight, 3 on the half circle that follows, 4 on the "
                    "other straight, 5 on the other half circle");
}

static void tell_misfit(const struct touch_set *set, struct diag_list *diags, const vec2 tips[5],
                        struct racetrack_misfit misfit, const struct racetrack_fit *found) {
  span at = set->touches[misfit.point - 1].place;
  struct diag *diag = NULL;
  switch (misfit.fault) {
  case RACETRACK_FITS:
    return;
  case RACETRACK_SAME_POINT:
    diag = diag_error(diags, DIAG_TOUCH_ORDER, at,
                      "touch 2 of `%s` lies %.3f mm from touch 1, too near to tell the direction "
                      "of the straight",
                      set->name, misfit.figure);
    break;
  case RACETRACK_SAME_STRAIGHT:
    diag = diag_error(diags, DIAG_TOUCH_ORDER, at,
                      "touch 4 of `%s` lies on the straight of touches 1 and 2 (%.3f mm off its "
                      "line); it belongs on the other straight",
                      set->name, misfit.figure);
    break;
  case RACETRACK_NOT_AN_END:
    diag =
        diag_error(diags, DIAG_TOUCH_ORDER, at,
                   "touch %d of `%s` is on no half circle: it lies %.3f mm from the middle line, "
                   "and with touches 1, 2 and 4 the straights lie %.3f mm from it",
                   misfit.point, set->name, misfit.figure, found->radius);
    break;
  case RACETRACK_SAME_END:
    diag = diag_error(diags, DIAG_TOUCH_ORDER, at,
                      "touch 5 of `%s` does not fit: touches 3 and 5 are %.3f mm too near to each "
                      "other along the racetrack for half circles of radius %.3f mm",
                      set->name, misfit.figure, found->radius);
    break;
  case RACETRACK_PAST_STRAIGHT:
    diag = diag_error(diags, DIAG_TOUCH_ORDER, at,
                      "touch %d of `%s` is on no straight: it lies %.3f mm past the end of a "
                      "straight %.3f mm long",
                      misfit.point, set->name, misfit.figure, found->straight);
    break;
  }
  help_with_order(set, tips, diag);
}

static bool racetrack_centre_sound(const struct touch_set *set, struct diag_list *diags,
                                   const vec2 tips[5], double sigma) {
  double tolerance = set->shape->fit_tolerance, most = BOUND_PER_SIGMA * tolerance;
  if (sigma <= most)
    return true;
  vec2 base = vec2_sub(tips[1], tips[0]);
  struct diag *diag = diag_error(
      diags, DIAG_TOUCH_SPAN, set->at,
      "touches 1 and 2 of `%s` are %.3f mm apart: the standard error of its centre is %.3f mm, and "
      "%.3f mm is the most with a fit_tolerance of %.3f mm",
      set->name, num_hypot(base.x, base.y), sigma, most, tolerance);
  diag_help(diag, "touch the straight near its two ends, and the other straight near its middle");
  return false;
}

bool racetrack_touches_fit(const struct touch_set *set, double reach, struct diag_list *diags,
                           struct fit *fit) {
  assert(set->count == 5);
  vec2 tips[5];
  for (int i = 0; i < 5; i++)
    tips[i] = touch_tip(&set->touches[i], reach);
  struct racetrack_fit found;
  struct racetrack_misfit misfit = racetrack_fit(tips, set->shape->fit_tolerance, &found);
  if (misfit.fault != RACETRACK_FITS) {
    tell_misfit(set, diags, tips, misfit, &found);
    return false;
  }
  *fit = (struct fit){
      .name = set->name,
      .kind = SHAPE_RACETRACK,
      .centre = found.centre,
      .length = found.straight + 2 * found.radius,
      .width = 2 * found.radius,
      .turned = found.turned,
      .centre_sigma = set->shape->fit_tolerance * found.spread,
  };
  if (!racetrack_centre_sound(set, diags, tips, fit->centre_sigma))
    return false;
  bool length_agrees = size_agrees(set, diags, "length", fit->length, set->shape->length);
  return size_agrees(set, diags, "width", fit->width, set->shape->width) && length_agrees;
}
