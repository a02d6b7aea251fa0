/* Touches in, checked fit out: what rounds and racetracks have in common.  The refusals and the
 * reasons for their limits: docs/fits.md. */
#include <assert.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/taught_kinds.h"

vec2 touch_tip(const struct touch *touch, double reach) {
  if (!touch->has_head)
    return touch->at;
  struct sincos d = num_sincos(touch->head);
  return vec2_add(touch->at, (vec2){reach * d.cos, reach * d.sin});
}

bool size_agrees(const struct touch_set *set, struct diag_list *diags, const char *size,
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
  diag_help(diag, "touch again, or write `%s %.3f mm` where that is the part's", size, fitted);
  return false;
}

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
