/* Touches of a round: how far off they lie, and whether they hold its centre. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/fit_round.h"
#include "shape/taught_kinds.h"

/* What the machine showed, in an order that the points themselves give: by x, then by y.  So the
 * order in which they were touched does not show in the last digit. */
struct tips {
  vec2 *points;
  size_t *touch; /* number of each, from 0 */
  size_t count;
};

static bool comes_before(vec2 a, vec2 b) {
  return a.x < b.x || (a.x == b.x && a.y < b.y);
}

static struct tips tips_sorted(const struct touch_set *set, double reach, struct arena *scratch) {
  struct tips tips = {.count = set->count};
  tips.points = arena_alloc(scratch, set->count, sizeof *tips.points);
  tips.touch = arena_alloc(scratch, set->count, sizeof *tips.touch);
  for (size_t i = 0; i < set->count; i++) {
    vec2 tip = touch_tip(&set->touches[i], reach);
    size_t at = i;
    for (; at > 0 && comes_before(tip, tips.points[at - 1]); at--) {
      tips.points[at] = tips.points[at - 1];
      tips.touch[at] = tips.touch[at - 1];
    }
    tips.points[at] = tip;
    tips.touch[at] = i;
  }
  return tips;
}

static bool round_residual_holds(const struct touch_set *set, struct diag_list *diags,
                                 const struct round_fit *found, const struct tips *tips) {
  double tolerance = set->shape->fit_tolerance;
  if (found->residual_max <= tolerance)
    return true;
  size_t worst = tips->touch[found->worst];
  struct diag *diag = diag_error(
      diags, DIAG_TOUCH_RESIDUAL, set->touches[worst].place,
      "touch %zu of `%s` lies %.3f mm off the fitted circle of diameter %.3f mm; fit_tolerance is "
      "%.3f mm",
      worst + 1, set->name, found->residual_max, 2 * found->circle.radius, tolerance);
  diag_help(diag, "touch again; dirt, spatter or a wrong reading on one touch bends the whole fit");
  return false;
}

static struct diag *tell_span(const struct touch_set *set, struct diag_list *diags, double sector,
                              double sigma, double most) {
  return diag_error(
      diags, DIAG_TOUCH_SPAN, set->at,
      "the touches of `%s` span %.1f deg of the bore: the standard error of its centre is %.3f mm, "
      "and %.3f mm is the most with a fit_tolerance of %.3f mm",
      set->name, sector, sigma, most, set->shape->fit_tolerance);
}

static struct diag *tell_span_by_floor(const struct touch_set *set, struct diag_list *diags,
                                       double sector, double floor, double sigma) {
  return diag_error(
      diags, DIAG_TOUCH_SPAN, set->at,
      "the touches of `%s` span %.1f deg of the bore: were each good to %.3f mm, a tenth of "
      "fit_tolerance, the standard error of its centre would be %.3f mm, and %.3f mm is the most",
      set->name, sector, floor, sigma, set->shape->fit_tolerance);
}

/* Well spread as they are, the touches contradict one another. */
static void tell_scatter(const struct touch_set *set, struct diag_list *diags,
                         const struct fit *fit, double most) {
  struct diag *diag = diag_error(
      diags, DIAG_TOUCH_SPAN, set->at,
      "the touches of `%s` lie up to %.3f mm off the fitted circle: the standard error of its "
      "centre is %.3f mm, and %.3f mm is the most with a fit_tolerance of %.3f mm",
      set->name, fit->residual_max, fit->centre_sigma, most, set->shape->fit_tolerance);
  diag_help(diag, "touch again; dirt, spatter or a wrong reading on one touch bends the whole fit");
}

/* Three touches: the bound fit_tolerance as it stands.  More: what their residuals say, but no less
 * than TOUCH_FLOOR, because a few touches may agree by chance. */
static bool round_centre_sound(const struct touch_set *set, struct diag_list *diags,
                               const struct round_fit *found, const struct tips *tips,
                               const struct fit *fit) {
  double tolerance = set->shape->fit_tolerance, floor = TOUCH_FLOOR * tolerance;
  double most = tolerance * (fit->is_exact ? BOUND_PER_SIGMA : 1);
  double least = fit->is_exact ? 0 : floor * found->spread;
  if (fit->centre_sigma <= most && least <= most)
    return true;
  if (!fit->is_exact && found->spread <= 1) { /* touches good to fit_tolerance would have done */
    tell_scatter(set, diags, fit, most);
    return false;
  }
  double sector = points_span(tips->points, tips->count, found->circle.centre) * (180 / NUM_PI);
  struct diag *diag = fit->centre_sigma > most
                          ? tell_span(set, diags, sector, fit->centre_sigma, most)
                          : tell_span_by_floor(set, diags, sector, floor, least);
  diag_help(diag, "spread the touches over half a turn or more%s",
            fit->is_exact ? ", or add a fourth" : "");
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
  struct tips tips = tips_sorted(set, reach, scratch);
  struct round_fit found;
  if (!round_fit(tips.points, tips.count, &found)) {
    tell_straight(set, diags);
    return false;
  }
  bool is_exact = tips.count == 3;
  double touch_error =
      is_exact ? set->shape->fit_tolerance : sqrt(found.square_sum / (double)(tips.count - 3));
  *fit = (struct fit){
      .name = set->name,
      .kind = SHAPE_ROUND,
      .centre = found.circle.centre,
      .diameter = 2 * found.circle.radius,
      .is_exact = is_exact,
      .residual_max = is_exact ? 0 : found.residual_max,
      .centre_sigma = touch_error * found.spread,
  };
  return round_residual_holds(set, diags, &found, &tips) &&
         round_centre_sound(set, diags, &found, &tips, fit) &&
         size_agrees(set, diags, "diameter", fit->diameter, set->shape->diameter);
}
