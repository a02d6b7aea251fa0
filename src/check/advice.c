/* advice.c - lifts the moves at one edge of a band until they are clear, then judges the whole.
 *
 * Lifting only guesses: with another edge the laps share the band anew, and the clad ends
 * elsewhere.  So the job is planned and moved again with the edge found, and the overlay judged as
 * the check does; what fails there is lifted further (docs/checks.md, "Advice"). */
#include "check/advice.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/diag.h"

enum { ROUNDS = 6 };
static const double LIFT_STEP_MM = 0.005, TENTH_MM = 0.1;

/* An edge of one layer's band, and which way it is moved. */
struct edge {
  size_t overlay, layer;
  int up;       /* +1: the deeper edge is lifted; -1: the shallower one is lowered */
  double depth; /* of the lap at that edge */
};

/* -- which lap ------------------------------------------------------------------------------- */

static double depth_of(const struct scene *scene, const struct pose *pose) {
  const struct plan *plan = scene->motion->plan;
  return plan->placement.at.z + plan->job->cell->drop - pose->z;
}

/* The overlay that a phase leaves: that of the last weld before it. */
static const struct phase *weld_before(const struct motion *motion, const struct phase *phase) {
  while (phase-- > motion->phases)
    if (phase->kind == PHASE_WELD)
      return phase;
  return NULL;
}

static struct edge edge_of(const struct motion *motion, const struct phase *of, int up) {
  const struct plan_overlay *overlay = phase_overlay(motion, of);
  const struct plan_layer *layer = of->plan_layer;
  double a = layer->first_depth, b = layer->last_depth;
  return (struct edge){(size_t)of->overlay - 1, (size_t)(layer - overlay->layers), up,
                       up > 0 ? fmax(a, b) : fmin(a, b)};
}

/* The layer that the head is at: the one that it leads to, or the one that it leaves. */
static bool edge_find(const struct scene *scene, const struct near_miss *miss, int up,
                      struct edge *edge) {
  const struct phase *candidates[2] = {miss->phase, weld_before(scene->motion, miss->phase)};
  double depth = depth_of(scene, &miss->least.pose);
  for (int i = 0; i < 2; i++) {
    if (!candidates[i] || candidates[i]->overlay == 0)
      continue;
    const struct plan_layer *layer = candidates[i]->plan_layer;
    double half = 0.5 * layer->procedure->bead_width;
    *edge = edge_of(scene->motion, candidates[i], up);
    if (depth > fmin(layer->first_depth, layer->last_depth) - half &&
        depth < fmax(layer->first_depth, layer->last_depth) + half)
      return true;
  }
  return false;
}

/* Does the head move in this overlay, or away from it? */
static bool is_at_overlay(const struct motion *motion, const struct phase *phase, size_t overlay) {
  if ((size_t)phase->overlay == overlay + 1)
    return true;
  const struct phase *left = weld_before(motion, phase);
  return left && (size_t)left->overlay == overlay + 1 && phase->kind == PHASE_MOVE;
}

/* -- how far --------------------------------------------------------------------------------- */

struct lift { /* the pieces at the edge, and against what they are judged */
  const struct cell *cell;
  const struct metal *metal;
  struct clear_parts parts;
  double limit;
  struct piece *pieces;
  size_t count, room;
  struct arena *arena;
};

static void lift_add(struct lift *lift, const struct piece *piece) {
  if (lift->count == lift->room) {
    size_t room = lift->room ? 2 * lift->room : 256;
    lift->pieces = arena_grow(lift->arena, lift->pieces, lift->count, room, sizeof *piece);
    lift->room = room;
  }
  lift->pieces[lift->count++] = *piece;
}

/* Ways of which none was clear would be others with another band: they count only where the miss is
 * one of them. */
static bool is_gathered(const struct motion *motion, const struct phase *phase, size_t overlay,
                        const struct near_miss *miss) {
  if (!is_at_overlay(motion, phase, overlay))
    return false;
  return phase->ways_tried == 0 || phase == miss->phase;
}

static void lift_gather(struct lift *lift, const struct scene *scene, const struct near_miss *miss,
                        const struct edge *edge) {
  const struct motion *motion = scene->motion;
  const struct plan_layer *layer = &motion->plan->overlays[edge->overlay].layers[edge->layer];
  double near = 0.5 * layer->procedure->bead_width;
  for (size_t i = 0; i < motion->phase_count; i++) {
    if (!is_gathered(motion, &motion->phases[i], edge->overlay, miss))
      continue;
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      struct pose a = piece_at(&piece, piece.t0), b = piece_at(&piece, piece.t1);
      if (fabs(depth_of(scene, &a) - edge->depth) < near ||
          fabs(depth_of(scene, &b) - edge->depth) < near)
        lift_add(lift, &piece);
    }
    piece_iter_release(&iter);
  }
}

static struct lift lift_begin(struct arena *arena, const struct scene *scene,
                              const struct near_miss *miss, const struct edge *edge) {
  const struct plan *plan = scene->motion->plan;
  enum clear_part part = miss->least.part;
  bool electrode = part == CLEAR_ELECTRODE;
  struct lift lift = {.cell = plan->job->cell, .limit = miss->limit, .arena = arena};
  lift.parts = (struct clear_parts){.bodies = part == CLEAR_BODY,
                                    .torch = part == CLEAR_TORCH || part == CLEAR_GUARD,
                                    .electrode = electrode,
                                    .shifted = !electrode};
  size_t *laid = arena_alloc(arena, plan->overlay_count, sizeof *laid);
  for (size_t i = 0; i < edge->overlay; i++)
    laid[i] = plan->overlays[i].layer_count;
  laid[edge->overlay] = edge->layer + (electrode ? 0 : 1);
  lift.metal = metal_make(arena, plan, (struct clad_state){laid, electrode});
  lift_gather(&lift, scene, miss, edge);
  return lift;
}

static bool piece_is_clear(const struct lift *lift, size_t index, double by) {
  struct piece piece = lift->pieces[index];
  double bar = lift->limit * (1 - CHECK_SLACK);
  struct clear_result least = clear_begin(bar);
  piece.curve.z.c0 += by;
  clear_piece(lift->cell, lift->metal, &piece, lift->parts, &least);
  return !(least.distance < bar);
}

static bool lift_is_clear(const struct lift *lift, double by) {
  for (size_t i = 0; i < lift->count; i++)
    if (!piece_is_clear(lift, i, by))
      return false;
  return true;
}

/* Pieces that no lift clears have another reason, which another band may mend or not. */
static void lift_drop(struct lift *lift, double most) {
  size_t kept = 0;
  for (size_t i = 0; i < lift->count; i++)
    if (piece_is_clear(lift, i, most))
      lift->pieces[kept++] = lift->pieces[i];
  lift->count = kept;
}

/* Least lift that clears the edge's moves, <= most; 0: none does, or they are clear. */
static double lift_least(struct lift *lift, int up, double most) {
  double fails = 0, clears = most;
  lift_drop(lift, up * most);
  if (lift_is_clear(lift, 0))
    return 0;
  while (clears - fails > LIFT_STEP_MM) {
    double by = 0.5 * (fails + clears);
    if (lift_is_clear(lift, up * by))
      clears = by;
    else
      fails = by;
  }
  return clears;
}

/* -- the job with another band --------------------------------------------------------------- */

/* Every layer of the overlay with the same band gets the other one. */
static struct job *job_with(struct arena *arena, const struct job *job, const struct edge *edge,
                            struct range band) {
  const struct overlay *old = job->sequence[edge->overlay];
  struct range was = old->layers[edge->layer].depths;
  struct job *made = arena_alloc(arena, 1, sizeof *made);
  struct overlay *overlay = arena_alloc(arena, 1, sizeof *overlay);
  *made = *job;
  *overlay = *old;
  made->sequence = arena_alloc(arena, job->overlay_count, sizeof *made->sequence);
  for (size_t i = 0; i < job->overlay_count; i++)
    made->sequence[i] = job->sequence[i];
  made->sequence[edge->overlay] = overlay;
  overlay->layers = arena_alloc(arena, old->layer_count, sizeof *overlay->layers);
  for (size_t k = 0; k < old->layer_count; k++) {
    overlay->layers[k] = old->layers[k];
    if (old->layers[k].depths.lo == was.lo && old->layers[k].depths.hi == was.hi)
      overlay->layers[k].depths = band;
  }
  return made;
}

/* The band's edge moved by at least `by`, to a whole tenth of a mm. */
static struct range band_moved(struct range band, int up, double by) {
  if (up > 0)
    band.hi = floor((band.hi - by) / TENTH_MM + 1e-6) / 10;
  else
    band.lo = ceil((band.lo + by) / TENTH_MM - 1e-6) / 10;
  return band;
}

/* The worst miss of the same kind of part in one overlay. */
static struct near_miss overlay_miss(const struct scene *scene, size_t overlay, bool bodies) {
  const struct motion *motion = scene->motion;
  struct collide_judge judge = collide_begin(scene);
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    struct piece_iter iter;
    struct piece piece;
    collide_phase_begin(&judge, phase);
    if (!is_at_overlay(motion, phase, overlay))
      continue;
    piece_iter_begin(&iter, motion, phase);
    while (piece_iter_next(&iter, &piece))
      collide_piece(&judge, phase, &piece);
    piece_iter_release(&iter);
    collide_phase_end(&judge, phase);
  }
  struct near_miss miss = *(bodies ? &judge.body : collide_torch_miss(&judge));
  collide_release(&judge);
  return miss;
}

/* -- advice ---------------------------------------------------------------------------------- */

/* The job planned and moved with the band. */
static const struct motion *motion_with(struct arena *arena, const struct job *job,
                                        const struct edge *edge, struct range band) {
  struct diag_list *unheard = diag_list_new(arena, NULL);
  const struct plan *plan = plan_make(arena, job_with(arena, job, edge, band), unheard);
  return plan ? motion_make(arena, plan, unheard) : NULL;
}

/* One round: the edge moved far enough for its own moves, and what then is worst.  false: there is
 * no such band. */
static bool advice_round(struct arena *arena, struct scene *scene, struct near_miss *miss, int up,
                         bool first, struct edge *edge, struct range *band) {
  const struct plan *plan = scene->motion->plan;
  if (!edge_find(scene, miss, up, edge))
    return false;
  const struct plan_layer *layer = &plan->overlays[edge->overlay].layers[edge->layer];
  double most = layer->layer->depths.hi - layer->layer->depths.lo - layer->procedure->bead_width;
  if (!(most > 0))
    return false;
  struct lift lift = lift_begin(arena, scene, miss, edge);
  double by = lift_least(&lift, up, most);
  if (by == 0 && first)
    return false;
  /* What still fails once the edge was moved lies within the guess's own error. */
  *band = band_moved(layer->layer->depths, up, fmax(by, LIFT_STEP_MM));
  if (band->hi - band->lo < layer->procedure->bead_width)
    return false;
  scene->motion = motion_with(arena, plan->job, edge, *band);
  if (!scene->motion)
    return false;
  *miss = overlay_miss(scene, edge->overlay, miss->least.part == CLEAR_BODY);
  return true;
}

static const char *advice_text(const struct scene *scene, const struct near_miss *miss,
                               const struct edge *edge, struct range band) {
  const struct plan *plan = scene->motion->plan;
  const struct plan_overlay *overlay = &plan->overlays[edge->overlay];
  struct range was = overlay->layers[edge->layer].layer->depths;
  const char *where = "";
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (overlay->layers[k].layer->depths.lo != was.lo ||
        overlay->layers[k].layer->depths.hi != was.hi)
      where = arena_format(scene->arena, " in layer %zu", edge->layer + 1);
  return arena_format(scene->arena, "with `depths %.10g .. %.10g mm`%s %s keeps its clearance",
                      band.lo, band.hi, where,
                      clear_part_name(scene->arena, plan->job->cell, &miss->least));
}

static const char *advice_edge(struct arena *scratch, const struct scene *scene,
                               const struct near_miss *worst, int up) {
  struct scene now = {scratch, scene->motion};
  struct near_miss miss = *worst;
  struct edge edge;
  struct range band;
  for (int round = 0; round < ROUNDS; round++) {
    if (!advice_round(scratch, &now, &miss, up, round == 0, &edge, &band))
      return NULL;
    if (near_miss_holds(&miss))
      return advice_text(scene, worst, &edge, band);
  }
  return NULL;
}

const char *advice_band(const struct scene *scene, const struct near_miss *miss) {
  struct arena *scratch = arena_new();
  const char *advice = advice_edge(scratch, scene, miss, 1);
  if (!advice)
    advice = advice_edge(scratch, scene, miss, -1);
  arena_free(scratch);
  return advice;
}

void advice_add(const struct scene *scene, const struct collide_judge *judge,
                struct check_result results[2]) {
  if (!near_miss_holds(&judge->body))
    results[0].help = advice_band(scene, &judge->body);
  if (!near_miss_holds(collide_torch_miss(judge)))
    results[1].help = advice_band(scene, collide_torch_miss(judge));
}
