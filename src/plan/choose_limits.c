/* Limits that the choice of layers and overlap depends on.
 *
 * Layers and overlap change no value of a procedure, but with `layer N { procedure ... }` a further
 * layer brings one of its own.  And each further lap of an unbroken run winds the head once more.
 */
#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "plan/choose.h"

/* -- qualified ranges ---------------------------------------------------------------------------
 */

static const char *range_text(struct arena *arena, const struct plan_limit *limit) {
  struct range r = limit->limit;
  return isinf(r.lo) ? arena_format(arena, "at most %.6g %s", r.hi / limit->per_unit, limit->unit)
                     : arena_format(arena, "%.6g .. %.6g %s", r.lo / limit->per_unit,
                                    r.hi / limit->per_unit, limit->unit);
}

/* "current of procedure `fill` is 230 A, qualified 180 .. 220 A" */
static const char *limit_text(struct arena *arena, const struct plan_layer *layer,
                              const struct plan_limit *limit) {
  double value = limit->high >= limit->low ? limit->values.hi : limit->values.lo;
  return arena_format(arena, "%s of procedure `%s` is %.6g %s, qualified %s", limit->key,
                      layer->procedure->name, value / limit->per_unit, limit->unit,
                      range_text(arena, limit));
}

static bool qualified_holds(const struct chooser *chooser, const struct plan_layer *layer,
                            struct plan_try *got) {
  struct arena *arena = chooser->site->arena;
  for (int kind = 0; kind < LIMIT_COUNT; kind++) {
    struct plan_limit limit = plan_limit_get(layer, (enum limit_kind)kind);
    if (limit.is_kept)
      continue;
    got->why = arena_format(arena, "layer %" PRId64 " would leave a qualified range: %s",
                            layer->number, limit_text(arena, layer, &limit));
    got->why_at = origin_of_key(&layer->procedure->limit_origin, limit.key);
    return false;
  }
  return true;
}

void choice_tell_limits(const struct chooser *chooser, const struct plan_try *nearest,
                        struct diag *diag) {
  struct plan_site site = *chooser->site;
  struct choice_point point = {chooser->always, nearest->overlap};
  struct plan_overlay made = {.overlay = choice_overlay(chooser, &point),
                              .contour = site.contour,
                              .layer_count = point.layers};
  made.layers = arena_alloc(site.arena, point.layers, sizeof *made.layers);
  site.overlay = made.overlay;
  site.diags = diag_list_new(site.arena, NULL);
  if (!overlay_lap(&site, &made))
    return;
  for (size_t k = 0; k < point.layers; k++) {
    const struct plan_layer *layer = &made.layers[k];
    bool is_told = false;
    for (size_t i = 0; i < k; i++)
      is_told = is_told || made.layers[i].procedure == layer->procedure;
    for (int kind = 0; kind < LIMIT_COUNT && !is_told; kind++) {
      struct plan_limit limit = plan_limit_get(layer, (enum limit_kind)kind);
      if (!limit.is_kept)
        diag_note(diag, origin_of_key(&layer->procedure->limit_origin, limit.key),
                  "nor does this hold, whatever is chosen: %s",
                  limit_text(site.arena, layer, &limit));
    }
  }
}

/* -- the head's travel --------------------------------------------------------------------------
 */

/* Whole turns of the longest run where no zone breaks it; its tie-in turns the head a little more.
 */
static int64_t turns_of(const struct plan_site *site, const struct plan_layer *layer) {
  if (site->overlay->zone_count > 0 || site->overlay->pattern == PATTERN_RINGS)
    return 0;
  bool sinks = site->overlay->pattern == PATTERN_SPIRAL && layer->laps > 1;
  return layer->laps + (sinks ? 1 : 0);
}

static bool head_turns(const struct chooser *chooser, const struct plan_layer *layer,
                       struct plan_try *got) {
  const struct axis_limits *head = &chooser->site->cell->axis[AXIS_HEAD];
  double turns = (double)turns_of(chooser->site, layer), travel = head->travel.hi - head->travel.lo;
  if (head->endless || turns * NUM_TURN <= travel + 1e-9)
    return true;
  got->why = arena_format(
      chooser->site->arena,
      "%" PRId64 " %s of layer %" PRId64 " %s the head by %.0f deg without a break; its travel "
      "of %.6g .. %.6g deg is %.6g deg",
      layer->laps, layer->laps == 1 ? "lap" : "laps", layer->number,
      layer->laps == 1 ? "turns" : "turn", num_degrees(turns * NUM_TURN),
      num_degrees(head->travel.lo), num_degrees(head->travel.hi), num_degrees(travel));
  got->why_at = origin_of_key(&head->origin, "travel");
  return false;
}

bool choice_keeps_limits(const struct chooser *chooser, const struct plan_overlay *made,
                         struct plan_try *got) {
  for (size_t k = 0; k < made->layer_count; k++) {
    const struct plan_layer *layer = &made->layers[k];
    if ((k >= chooser->always && !qualified_holds(chooser, layer, got)) ||
        !head_turns(chooser, layer, got))
      return false;
  }
  return true;
}
