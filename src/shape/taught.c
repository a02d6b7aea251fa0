/* Touches in, checked fit out.  The refusals and the reasons for their limits: docs/fits.md. */
#include "shape/taught.h"

#include <assert.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/fit_racetrack.h"
#include "shape/fit_round.h"

/* A bound on an error, taken as evenly likely inside, stands for a standard error of the bound
 * over the root of 3 (JCGM 100:2008, "Guide to the expression of uncertainty in measurement",
 * 4.3.7).  Exactly determined fits take fit_tolerance, a bound, for the touches' error. */
static const double bound_per_sigma = 1.7320508075688772;

static vec2 touch_tip(const struct touch *touch, double reach) {
  if (!touch->has_head)
    return touch->at;
  struct sincos d = num_sincos(touch->head);
  return vec2_add(touch->at, (vec2){reach * d.cos, reach * d.sin});
}

static bool size_agrees(const struct touch_set *set, struct diag_list *diags, const char *size,
                        double fitted, double nominal) {
  double off = fitted - nominal, tolerance = set->shape->fit_tolerance;
  if (!set->shape->has_dimensions || fabs(off) <= tolerance)
    return true;
  struct diag *diag =
      diag_error(diags, DIAG_TOUCHES_DIFFER, set->at,
                 "the touches of `%s` give a %s of %.3f mm, which differs by %.3f mm "
                 "from the %.3f mm given, more than the fit_tolerance of %.3f mm",
                 set->name, size, fitted, fabs(off), nominal, tolerance);
  diag_note(diag, origin_of_key(&set->shape->origin, size), "the %s given", size);
  return false;
}

/* -- round ---------------------------------------------------------------- */

static bool round_residual_holds(const struct touch_set *set, struct diag_list *diags,
                                 const struct round_fit *found) {
  double tolerance = set->shape->fit_tolerance;
  if (found->residual_max <= tolerance)
    return true;
  struct diag *diag = diag_error(
      diags, DIAG_TOUCH_RESIDUAL, set->touches[found->worst].place,
      "touch %zu of `%s` lies %.3f mm off the fitted circle of diameter %.3f mm; fit_tolerance is "
      "%.3f mm",
      found->worst + 1, set->name, found->residual_max, 2 * found->circle.radius, tolerance);
  diag_help(diag, "touch again; dirt, spatter or a wrong reading on one touch bends the whole fit");
  return false;
}

static bool round_centre_sound(const struct touch_set *set, struct diag_list *diags,
                               const struct round_fit *found, const vec2 *tips, double sigma) {
  bool is_exact = set->count == 3;
  double most = set->shape->fit_tolerance * (is_exact ? bound_per_sigma : 1);
  if (sigma <= most)
    return true;
  double sector = points_span(tips, set->count, found->circle.centre) * (180 / NUM_PI);
  struct diag *diag = diag_error(
      diags, DIAG_TOUCH_SPAN, set->at,
      "the touches of `%s` span %.1f deg of the bore: the standard error of its centre is %.3f mm, "
      "and %.3f mm is the most with a fit_tolerance of %.3f mm",
      set->name, sector, sigma, most, set->shape->fit_tolerance);
  diag_help(diag, "spread the touches over half a turn or more%s",
            is_exact ? ", or add a fourth" : "");
  return false;
}

static void tell_straight(const struct touch_set *set, struct diag_list *diags) {
  diag_error(diags, DIAG_TOUCHES_STRAIGHT, set->at,
             "the %zu touches of `%s` lie on a straight line or on one spot; no circle goes "
             "through them",
             set->count, set->name);
}

static bool round_touches_fit(const struct touch_set *set, double reach, struct arena *scratch,
                              struct diag_list *diags, struct fit *fit) {
  vec2 *tips = arena_alloc(scratch, set->count, sizeof *tips);
  for (size_t i = 0; i < set->count; i++)
    tips[i] = touch_tip(&set->touches[i], reach);
  struct round_fit found;
  if (!round_fit(tips, set->count, &found)) {
    tell_straight(set, diags);
    return false;
  }
  double touch_error = set->count == 3 ? set->shape->fit_tolerance
                                       : sqrt(found.square_sum / (double)(set->count - 3));
  *fit = (struct fit){
      .name = set->name,
      .kind = SHAPE_ROUND,
      .centre = found.circle.centre,
      .diameter = 2 * found.circle.radius,
      .residual_max = set->count == 3 ? 0 : found.residual_max,
      .centre_sigma = touch_error * found.spread,
  };
  return round_residual_holds(set, diags, &found) &&
         round_centre_sound(set, diags, &found, tips, fit->centre_sigma) &&
         size_agrees(set, diags, "diameter", fit->diameter, set->shape->diameter);
}

/* -- racetrack ------------------------------------------------------------ */

static void tell_order(struct diag *diag) {
  diag_help(diag, "touches 1 and 2 on one straight, 3 on the half circle that follows, 4 on the "
                  "other straight, 5 on the other half circle");
}

static void tell_misfit(const struct touch_set *set, struct diag_list *diags,
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
  tell_order(diag);
}

static bool racetrack_centre_sound(const struct touch_set *set, struct diag_list *diags,
                                   const vec2 tips[5], double sigma) {
  double tolerance = set->shape->fit_tolerance, most = bound_per_sigma * tolerance;
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

static bool racetrack_touches_fit(const struct touch_set *set, double reach,
                                  struct diag_list *diags, struct fit *fit) {
  assert(set->count == 5);
  vec2 tips[5];
  for (int i = 0; i < 5; i++)
    tips[i] = touch_tip(&set->touches[i], reach);
  struct racetrack_fit found;
  struct racetrack_misfit misfit = racetrack_fit(tips, set->shape->fit_tolerance, &found);
  if (misfit.fault != RACETRACK_FITS) {
    tell_misfit(set, diags, misfit, &found);
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

/* -- both ----------------------------------------------------------------- */

bool touches_fit(const struct touch_set *set, double reach, struct diag_list *diags,
                 struct fit *fit) {
  if (set->shape->kind == SHAPE_RACETRACK)
    return racetrack_touches_fit(set, reach, diags, fit);
  assert(set->shape->kind == SHAPE_ROUND && set->count >= 3);
  struct arena *scratch = arena_new();
  bool fits = round_touches_fit(set, reach, scratch, diags, fit);
  arena_free(scratch);
  return fits;
}

static void warn_unchecked(const struct shape *shape, struct diag_list *diags) {
  if (shape->kind != SHAPE_RACETRACK || shape->has_dimensions)
    return;
  struct diag *diag = diag_warning(
      diags, DIAG_TOUCHES_UNCHECKED, shape->origin.head,
      "five touches determine a racetrack exactly, so nothing checks those of `%s`", shape->name);
  diag_help(diag, "give `length` and `width` besides");
}

bool taught_fit(const struct shape *shape, const struct placement *placement, double reach,
                struct diag_list *diags, struct fit *fit) {
  struct touch_set set = {shape->name, shape, shape->touches, shape->touch_count,
                          shape->origin.head};
  warn_unchecked(shape, diags);
  if (!touches_fit(&set, reach, diags, fit))
    return false;
  double nominal = placement->turned + shape->turned;
  if (shape->kind == SHAPE_RACETRACK)
    fit->turned += NUM_TURN * floor((nominal - fit->turned) / NUM_TURN + 0.5);
  return true;
}
