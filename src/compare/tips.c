/* The two ways of the tip, arc on and arc off apart, and where they are farthest from one another.
 */
#include <inttypes.h>

#include "borelay/arena.h"
#include "borelay/digits.h"
#include "borelay/num.h"
#include "compare/comparison.h"

/* The tip's place on the wall that it welds. */
static const char *wall_text(struct arena *arena, const struct motion *motion,
                             const struct phase *phase, vec3 at) {
  const struct plan *plan = motion->plan;
  const struct plan_overlay *overlay = &plan->overlays[phase->overlay - 1];
  struct sincos turned = num_sincos(plan->placement.turned);
  vec2 in_cell = {at.x * turned.cos - at.y * turned.sin + plan->placement.at.x,
                  at.x * turned.sin + at.y * turned.cos + plan->placement.at.y};
  double distance, s = contour_foot(overlay->contour, in_cell, &distance);
  vec2 centre = overlay->contour->centre;
  double angle = num_atan2(in_cell.y - centre.y, in_cell.x - centre.x) - plan->placement.turned;
  double degrees = angle * (180.0 / NUM_PI);
  while (degrees < -180)
    degrees += 360;
  while (degrees > 180)
    degrees -= 360;
  return arena_format(arena, "depth %.2f mm, angle %.1f deg, s %.1f mm", digits_shown(-at.z, 2),
                      digits_shown(degrees, 1), digits_shown(s, 1));
}

static const char *where_text(struct arena *arena, const struct motion *motion,
                              const struct apart *apart) {
  const struct phase *phase = apart->phase;
  if (phase->overlay <= 0)
    return arena_format(arena, "on the way to park, at %.2f s", apart->t);
  bool welds = phase->kind == PHASE_WELD || phase->kind == PHASE_DOWNSLOPE;
  int64_t lap = phase->lap;
  if (welds) {
    size_t leg = run_leg_at(motion, phase, apart->t);
    lap = phase_run_info(motion, phase).run->legs[leg].lap;
  }
  return arena_format(arena, "overlay %s, layer %" PRId32 ", lap %" PRId64 ", %s, %s, at %.2f s",
                      motion->plan->overlays[phase->overlay - 1].overlay->name, phase->layer, lap,
                      phase->kind == PHASE_MOVE ? move_name(phase->move) : phase_name(phase->kind),
                      wall_text(arena, motion, phase, apart->at), apart->t);
}

static struct tip_apart tip_compare(struct arena *arena, const struct motion *motions[2],
                                    bool arc) {
  struct arena *scratch = arena_new();
  struct tip_course ways[2];
  for (int i = 0; i < 2; i++)
    ways[i] = tip_course_make(scratch, motions[i], arc);
  struct tip_apart tip = {apart_find(scratch, &ways[0], &ways[1]), NULL};
  if (tip.apart.is_there)
    tip.where = where_text(arena, motions[tip.apart.side], &tip.apart);
  arena_free(scratch);
  return tip;
}

void tips_compare(struct arena *arena, struct comparison *comparison) {
  const struct motion *motions[2] = {comparison->sides[0].outcome.motion,
                                     comparison->sides[1].outcome.motion};
  comparison->tip_on = tip_compare(arena, motions, true);
  comparison->tip_off = tip_compare(arena, motions, false);
}
