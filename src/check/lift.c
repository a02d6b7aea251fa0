/* lift.c - the moves at one edge of a band, lifted as they are until they are clear. */
#include "check/lift.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"

/* -- which lap ------------------------------------------------------------------------------- */

static double depth_of(const struct scene *scene, const struct pose *pose) {
  const struct plan *plan = scene->motion->plan;
  return plan->placement.at.z + plan->job->cell->drop - pose->z;
}

const struct phase *weld_before(const struct motion *motion, const struct phase *phase) {
  for (size_t i = (size_t)(phase - motion->phases); i-- > 0;)
    if (motion->phases[i].kind == PHASE_WELD)
      return &motion->phases[i];
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
bool edge_find(const struct scene *scene, const struct near_miss *miss, int up, struct edge *edge) {
  const struct phase *candidates[2] = {miss->phase, weld_before(scene->motion, miss->phase)};
  double depth = depth_of(scene, &miss->least.pose);
  for (int i = 0; i < 2; i++) {
    if (!candidates[i] || candidates[i]->overlay == 0)
      continue;
    const struct plan_layer *layer = candidates[i]->plan_layer;
    double half = 0.5 * bead_width_laid(layer->procedure);
    *edge = edge_of(scene->motion, candidates[i], up);
    if (depth > fmin(layer->first_depth, layer->last_depth) - half &&
        depth < fmax(layer->first_depth, layer->last_depth) + half)
      return true;
  }
  return false;
}

bool is_at_overlay(const struct motion *motion, const struct phase *phase, size_t overlay) {
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
  double near = 0.5 * bead_width_laid(layer->procedure);
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
static double least_that_clears(struct lift *lift, int up, double most) {
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

double lift_least(struct arena *arena, const struct scene *scene, const struct near_miss *miss,
                  const struct edge *edge, double most) {
  struct lift lift = lift_begin(arena, scene, miss, edge);
  return least_that_clears(&lift, edge->up, most);
}
