/* Touches of a racetrack: five determine it, so what can be checked is that each lies where its
 * number says, and what the centre is worth. */
#include <assert.h>
#include <math.h>

#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/fit_racetrack.h"
#include "shape/racetrack_order.h"
#include "shape/taught_kinds.h"

static void help_with_order(const struct touch_set *set, const vec2 tips[5], struct diag *diag) {
  struct touch_order order;
  if (!touch_order_find(set->shape, tips, &order)) {
    diag_help(diag, "touches 1 and 2 on one straight, 3 on the half circle that follows, 4 on the "
                    "other straight, 5 on the other half circle");
    return;
  }
  const int *touch = order.touch;
  int first = 0;
  while (touch[first] == first)
    first++;
  if (touch_order_kept(&order) == 3)
    diag_help(diag, "with touches %d and %d exchanged the five would fit", first + 1,
              touch[first] + 1);
  else
    diag_help(diag, "in the order %d, %d, %d, %d, %d the five would fit", touch[0] + 1,
              touch[1] + 1, touch[2] + 1, touch[3] + 1, touch[4] + 1);
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

/* Along the straights the ends hold the centre, and the worse the farther from their apex they
 * are touched; across, the straights. */
static bool racetrack_centre_sound(const struct touch_set *set, struct diag_list *diags,
                                   const vec2 tips[5], const struct racetrack_fit *found,
                                   double sigma) {
  double tolerance = set->shape->fit_tolerance, most = BOUND_PER_SIGMA * tolerance;
  if (sigma <= most)
    return true;
  vec2 base = vec2_sub(tips[1], tips[0]);
  bool fifth = fabs(found->off_apex[1]) > fabs(found->off_apex[0]);
  if (found->spreads_along)
    diag_help(diag_error(diags, DIAG_TOUCH_SPAN, set->at,
                         "touch %d of `%s` lies %.1f deg from the middle of its half circle: the "
                         "standard error of its centre is %.3f mm, and %.3f mm is the most with a "
                         "fit_tolerance of %.3f mm",
                         fifth ? 5 : 3, set->name, fabs(found->off_apex[fifth]) * (180 / NUM_PI),
                         sigma, most, tolerance),
              "touch the half circles near their middle");
  else
    diag_help(diag_error(diags, DIAG_TOUCH_SPAN, set->at,
                         "touches 1 and 2 of `%s` are %.3f mm apart: the standard error of its "
                         "centre is %.3f mm, and %.3f mm is the most with a fit_tolerance of %.3f "
                         "mm",
                         set->name, num_hypot(base.x, base.y), sigma, most, tolerance),
              "touch the straight near its two ends, and the other straight near its middle");
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
      .is_exact = true,
      .centre_sigma = set->shape->fit_tolerance * found.spread,
  };
  if (!racetrack_centre_sound(set, diags, tips, &found, fit->centre_sigma))
    return false;
  bool length_agrees = size_agrees(set, diags, "length", fit->length, set->shape->length);
  return size_agrees(set, diags, "width", fit->width, set->shape->width) && length_agrees;
}
