/* thick.c - the worst place of every overlay that asks for thickness or tells its finished wall, in
 * words: where, by how much, and what would do (docs/buildup.md, section 5 and 6). */
#include "check/thick.h"

#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

/* -- where ------------------------------------------------------------------------------------- */

/* Direction of a segment's middle, seen from the shape's centre, from the part's +X. */
static double seg_toward(const struct plan *plan, const struct contour *contour,
                         const struct contour_seg *seg) {
  vec2 at = contour_at(contour, seg->s0 + seg->length / 2, 0).at;
  double angle = num_atan2(at.y - contour->centre.y, at.x - contour->centre.x);
  double turns = (angle - plan->placement.turned) / NUM_TURN;
  double degrees = 360 * (turns - floor(turns));
  return degrees >= 359.95 ? 0 : degrees;
}

static const char *where_text(const struct scene *scene, const struct plan_overlay *planned,
                              const struct plan_remaining *worst) {
  const struct contour *contour = planned->contour;
  const struct contour_seg *seg = &contour->segs[worst->seg];
  const char *depths =
      arena_format(scene->arena, "depths %.3f .. %.3f mm", worst->depths.lo, worst->depths.hi);
  if (contour->count == 1)
    return arena_format(scene->arena, "all round, %s", depths);
  const char *kind = "on a straight";
  if (seg->turn != 0)
    kind = arena_format(scene->arena, "on the %s of radius %.3f mm", seg->turn > 0 ? "arc" : "bump",
                        seg->radius);
  return arena_format(scene->arena, "%s toward %.1f deg, s = %.3f .. %.3f mm, %s", kind,
                      seg_toward(scene->motion->plan, contour, seg), seg->s0, seg->s0 + seg->length,
                      depths);
}

/* -- by how much ------------------------------------------------------------------------------- */

static const char *met_text(const struct scene *scene, const struct plan_overlay *planned,
                            const struct plan_remaining *worst) {
  const char *name = planned->overlay->name;
  if (!planned->overlay->has_required_finish)
    return arena_format(scene->arena, "overlay %s at the valley floors; %.3f mm on the mean", name,
                        planned->thickness_true);
  return arena_format(scene->arena,
                      "overlay %s: %.3f mm from wall to finished wall, of %.3f mm at the valley "
                      "floors",
                      name, worst->is_clean_up ? worst->finish.hi : worst->finish.lo,
                      worst->build_up);
}

static const char *missed_text(const struct scene *scene, const struct plan_overlay *planned,
                               const struct plan_remaining *worst) {
  const char *name = planned->overlay->name, *where = where_text(scene, planned, worst);
  double lacks = worst->limit - worst->value;
  if (worst->is_clean_up)
    return arena_format(scene->arena,
                        "overlay %s does not clean up: the valley floors lie %.3f mm short of the "
                        "finished wall, %s",
                        name, lacks, where);
  if (worst->finish.lo < worst->build_up)
    return arena_format(scene->arena,
                        "overlay %s: of %.3f mm at the valley floors machining leaves %.3f mm too "
                        "little, %s",
                        name, worst->build_up, lacks, where);
  return arena_format(scene->arena, "overlay %s: %.3f mm are missing at the valley floors, %s",
                      name, lacks, where);
}

/* -- what would do -----------------------------------------------------------------------------
 *
 * Held against the whole overlay: what mends the worst place may leave another one short. */

enum { MOST_LAYERS_MORE = 12 };

/* MOST_LAYERS_MORE + 1: no such number is enough, or the wall has no room for it. */
static size_t layers_that_do(const struct plan_overlay *planned) {
  const struct plan_layer *last = &planned->layers[planned->layer_count - 1];
  double inside = plan_clad_nominal(planned, planned->layer_count) + last->procedure->arc_length;
  for (size_t more = 0; more <= MOST_LAYERS_MORE; more++) {
    if (more > 0 && !plan_radii_last(planned, inside + (double)(more - 1) * last->thickness))
      break;
    if (plan_remaining_with(planned, more, 1).is_met)
      return more;
  }
  return MOST_LAYERS_MORE + 1;
}

/* The least factor on the wire feed, to a thousandth; 0: none to speak of, or several procedures.
 * Halving keeps one with which it is met. */
static double feed_that_does(const struct plan_overlay *planned) {
  for (size_t k = 1; k < planned->layer_count; k++)
    if (planned->layers[k].procedure != planned->layers[0].procedure)
      return 0;
  double lo = 1, hi = 3;
  if (!plan_remaining_with(planned, 0, hi).is_met)
    return 0;
  while (hi - lo > 1e-4) {
    double middle = lo + (hi - lo) / 2;
    if (plan_remaining_with(planned, 0, middle).is_met)
      hi = middle;
    else
      lo = middle;
  }
  return ceil(hi * 1000) / 1000;
}

static const char *layers_help(const struct scene *scene, size_t more) {
  return more == 1 ? "one layer more like the last one would do"
                   : arena_format(scene->arena, "%zu layers more like the last one would do", more);
}

static const char *feed_help(const struct scene *scene, const struct plan_overlay *planned) {
  const struct procedure *procedure = planned->layers[0].procedure;
  double feed = procedure->wire_feed_speed * feed_that_does(planned);
  bool is_outside = procedure->has_limit[LIMIT_WIRE_FEED_SPEED] &&
                    feed > procedure->limit[LIMIT_WIRE_FEED_SPEED].hi;
  if (feed <= 0 || is_outside || planned->layers[0].change_count > 0)
    return NULL;
  return arena_format(scene->arena, "a wire_feed_speed of %.1f mm/min in procedure %s",
                      ceil(feed * 600) / 10, procedure->name);
}

/* How metal enough would be laid; more: how many layers that takes, not 0. */
static const char *metal_help(const struct scene *scene, const struct plan_overlay *planned,
                              size_t more) {
  const char *layers = more <= MOST_LAYERS_MORE ? layers_help(scene, more) : NULL;
  const char *feed = feed_help(scene, planned);
  if (layers && feed)
    return arena_format(scene->arena, "%s, or %s", layers, feed);
  return layers ? layers : feed ? arena_format(scene->arena, "%s would do", feed) : NULL;
}

/* Where machining would leave too little whatever is laid, it has to leave more. */
static const char *missed_help(const struct scene *scene, const struct plan_overlay *planned) {
  const struct overlay *overlay = planned->overlay;
  double finish = plan_finish_least(planned);
  if (!overlay->has_required_finish || finish <= overlay->required_finish * (1 + CHECK_SLACK))
    return metal_help(scene, planned, layers_that_do(planned));
  finish = ceil(finish * 1000 - CHECK_SLACK) / 1000;
  if (!plan_radii_last(planned, finish))
    return NULL;
  struct overlay asked = *overlay;
  struct plan_overlay changed = *planned;
  asked.required_finish = finish;
  changed.overlay = &asked;
  size_t more = layers_that_do(&changed);
  if (more == 0)
    return arena_format(scene->arena, "a finish of %.3f mm leaves it", finish);
  const char *metal = metal_help(scene, &changed, more);
  return metal ? arena_format(scene->arena, "with a finish of %.3f mm %s", finish, metal) : NULL;
}

/* -- all --------------------------------------------------------------------------------------- */

static void take(const struct scene *scene, const struct plan_overlay *planned,
                 const struct plan_remaining *worst, struct check_result *result) {
  result->judged = true;
  result->passed = worst->is_met;
  result->worst = worst->value;
  result->limit = worst->limit;
  result->at =
      origin_of_key(&planned->overlay->require_origin, worst->is_clean_up ? "finish" : "thickness");
  result->detail =
      worst->is_met ? met_text(scene, planned, worst) : missed_text(scene, planned, worst);
  result->help = worst->is_met ? NULL : missed_help(scene, planned);
}

struct check_result thickness_check(const struct scene *scene) {
  const struct plan *plan = scene->motion->plan;
  struct check_result result = finding_not_asked("thickness", "mm");
  double share = 0;
  for (size_t i = 0; i < plan->overlay_count; i++) {
    struct plan_remaining worst = plan_remaining_get(&plan->overlays[i]);
    if (!worst.is_asked || (result.judged && worst.share <= share))
      continue;
    share = worst.share;
    take(scene, &plan->overlays[i], &worst, &result);
  }
  return result;
}
