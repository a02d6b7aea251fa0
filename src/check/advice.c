/* advice.c - guesses by lifting, then judges the whole.
 *
 * Lifting only guesses: with another edge the laps share the band anew, and the clad ends
 * elsewhere.  So the job is planned and moved again with the edge found, and the overlay judged as
 * the check does; what fails there is lifted further (docs/checks.md, "Advice"). */
#include "check/advice.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "check/lift.h"
#include "check/retry.h"

enum { ROUNDS = 6 };
static const double TENTH_MM = 0.1;

/* -- another band ---------------------------------------------------------------------------- */

/* The band's edge moved by at least `by`, to a whole tenth of a mm. */
static struct range band_moved(struct range band, int up, double by) {
  if (up > 0)
    band.hi = floor((band.hi - by) / TENTH_MM + 1e-6) / 10;
  else
    band.lo = ceil((band.lo + by) / TENTH_MM - 1e-6) / 10;
  return band;
}

/* One round: the edge moved far enough for its own moves, and what then is worst.  false: there is
 * no such band. */
static bool advice_round(struct arena *arena, struct scene *scene, struct near_miss *miss, int up,
                         bool first, struct edge *edge, struct range *band) {
  const struct plan *plan = scene->motion->plan;
  if (!edge_find(scene, miss, up, edge))
    return false;
  const struct plan_layer *layer = &plan->overlays[edge->overlay].layers[edge->layer];
  double most =
      layer->layer->depths.hi - layer->layer->depths.lo - bead_width_laid(layer->procedure);
  if (!(most > 0))
    return false;
  double by = lift_least(arena, scene, miss, edge, most);
  if (by == 0 && first)
    return false;
  /* What still fails once the edge was moved lies within the guess's own error. */
  *band = band_moved(layer->layer->depths, up, fmax(by, LIFT_STEP_MM));
  if (band->hi - band->lo < bead_width_laid(layer->procedure))
    return false;
  scene->motion = retry_band(arena, plan->job, edge->overlay, layer->layer->depths, *band);
  if (!scene->motion)
    return false;
  *miss = retry_miss(scene, edge->overlay, miss->least.part == CLEAR_BODY);
  return true;
}

/* made: with the band advised, which the layers have that had the old one. */
static const char *advice_text(const struct scene *scene, const struct motion *made,
                               const struct near_miss *miss, const struct edge *edge,
                               struct range band) {
  const struct plan_overlay *overlay = &made->plan->overlays[edge->overlay];
  const char *where = "";
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (overlay->layers[k].layer->depths.lo != band.lo ||
        overlay->layers[k].layer->depths.hi != band.hi)
      where = arena_format(scene->arena, " in layer %zu", edge->layer + 1);
  return arena_format(scene->arena, "with `depths %.10g .. %.10g mm`%s %s keeps its clearance",
                      band.lo, band.hi, where,
                      clear_part_name(scene->arena, made->plan->job->cell, &miss->least));
}

static const char *advice_edge(struct arena *scratch, const struct scene *scene,
                               const struct near_miss *worst, int up) {
  struct scene now = {scratch, scene->motion, false};
  struct near_miss miss = *worst;
  struct edge edge;
  struct range band;
  for (int round = 0; round < ROUNDS; round++) {
    if (!advice_round(scratch, &now, &miss, up, round == 0, &edge, &band))
      return NULL;
    if (near_miss_holds(&miss))
      return advice_text(scene, now.motion, worst, &edge, band);
  }
  return NULL;
}

/* The clad that a band's own laps make goes with the band: a few laps well away from the place
 * would always be clear, and nobody would thank for them. */
static bool is_own_clad(const struct near_miss *miss) {
  const struct metal_hit *hit = &miss->least.metal;
  return hit->kind == METAL_CLAD && (int64_t)hit->index + 1 == miss->phase->overlay;
}

static const char *advice_band(struct arena *scratch, const struct scene *scene,
                               const struct near_miss *miss) {
  if (is_own_clad(miss))
    return NULL;
  const char *advice = advice_edge(scratch, scene, miss, 1);
  return advice ? advice : advice_edge(scratch, scene, miss, -1);
}

/* -- another retract ------------------------------------------------------------------------- */

/* Once the last run of a layer is left, the layer counts for the electrode: backed off by less than
 * its thickness the electrode stands too near to what it laid. */
static const char *advice_retract(struct arena *scratch, const struct scene *scene,
                                  const struct near_miss *miss) {
  const struct phase *left = weld_before(scene->motion, miss->phase);
  if (miss->least.part != CLEAR_ELECTRODE || miss->phase->kind != PHASE_MOVE || !left)
    return NULL;
  size_t overlay = (size_t)left->overlay - 1;
  double needed =
      left->plan_layer->thickness + miss->limit - left->plan_layer->procedure->arc_length;
  double retract = ceil(needed / TENTH_MM + TENTH_MM) / 10; /* 0.01 mm for the judgement */
  const struct plan *plan = scene->motion->plan;
  if (retract <= plan->overlays[overlay].overlay->retract)
    return NULL;
  struct scene now = {scratch, retry_retract(scratch, plan->job, overlay, retract), false};
  if (!now.motion)
    return NULL;
  struct near_miss then = retry_miss(&now, overlay, false);
  if (!near_miss_holds(&then))
    return NULL;
  return arena_format(scene->arena, "with `retract %.10g mm` electrode keeps its clearance",
                      retract);
}

/* In a narrow bore a body comes near to the far wall as the tip backs off this one.  Less of it
 * must do for the electrode, too. */
static const char *advice_less_retract(struct arena *scratch, const struct scene *scene,
                                       const struct near_miss *miss) {
  enum { TRIES = 3 };
  const struct phase *left = weld_before(scene->motion, miss->phase);
  int64_t number = left ? left->overlay : miss->phase->overlay;
  if (miss->least.part != CLEAR_BODY || miss->phase->kind != PHASE_MOVE || number < 1)
    return NULL;
  const struct plan *plan = scene->motion->plan;
  size_t overlay = (size_t)number - 1;
  double retract = plan->overlays[overlay].overlay->retract;
  struct near_miss bodies = *miss;
  for (int i = 0; i < TRIES; i++) {
    double lacks = fmax(bodies.limit - bodies.least.distance, TENTH_MM);
    retract = floor((retract - lacks) / TENTH_MM + 1e-6) / 10;
    if (!(retract > 0))
      return NULL;
    struct scene now = {scratch, retry_retract(scratch, plan->job, overlay, retract), false};
    if (!now.motion)
      return NULL;
    bodies = retry_miss(&now, overlay, true);
    if (!near_miss_holds(&bodies))
      continue;
    struct near_miss torch = retry_miss(&now, overlay, false);
    return near_miss_holds(&torch)
               ? arena_format(scene->arena, "with `retract %.10g mm` %s keeps its clearance",
                              retract, clear_part_name(scene->arena, plan->job->cell, &miss->least))
               : NULL;
  }
  return NULL;
}

static const char *advice_find(const struct scene *scene, const struct near_miss *miss) {
  struct arena *scratch = arena_new();
  const char *advice = advice_retract(scratch, scene, miss);
  if (!advice)
    advice = advice_band(scratch, scene, miss);
  if (!advice)
    advice = advice_less_retract(scratch, scene, miss);
  arena_free(scratch);
  return advice;
}

void advice_add(const struct scene *scene, const struct collide_judge *judge,
                struct check_result results[2]) {
  if (scene->motion->resume) /* its laps lie on the part already */
    return;
  if (!near_miss_holds(&judge->body))
    results[0].help = advice_find(scene, &judge->body);
  if (!near_miss_holds(collide_torch_miss(judge)))
    results[1].help = advice_find(scene, collide_torch_miss(judge));
}
