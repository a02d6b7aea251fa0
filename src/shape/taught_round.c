/* Touches of a round: how far off they lie, and whether they hold its centre. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/fit_round.h"
#include "shape/taught_kinds.h"

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
  double most = set->shape->fit_tolerance * (is_exact ? BOUND_PER_SIGMA : 1);
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

bool round_touches_fit(const struct touch_set *set, double reach, struct arena *scratch,
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
