/* standing.c - a small machine over the phases. */
#include "check/standing.h"

#include "borelay/arena.h"

/* What stands before a weld that is taken up again; the layer that was broken off counts as laid.
 */
static void stand_before(struct standing *standing, const struct motion *motion) {
  const struct resume *resume = motion->resume;
  for (size_t i = 0; i < resume->overlay; i++)
    standing->solid[i] = standing->electrode[i] = motion->plan->overlays[i].layer_count;
  standing->solid[resume->overlay] = resume->layer + 1;
  standing->electrode[resume->overlay] = resume->layer;
}

struct standing standing_begin(struct arena *arena, const struct motion *motion) {
  size_t count = motion->plan->overlay_count;
  struct standing standing = {.solid = arena_alloc(arena, count, sizeof(size_t)),
                              .electrode = arena_alloc(arena, count, sizeof(size_t)),
                              .solid_changed = true,
                              .electrode_changed = true};
  if (motion->resume)
    stand_before(&standing, motion);
  return standing;
}

static bool is_at_wall(enum phase_kind kind) {
  switch (kind) {
  case PHASE_TOUCH:
  case PHASE_PREFLOW:
  case PHASE_UPSLOPE:
  case PHASE_WELD:
    return true;
  case PHASE_MOVE:
  case PHASE_DOWNSLOPE:
  case PHASE_POSTFLOW:
  case PHASE_WAIT:
  case PHASE_KIND_COUNT:
    break;
  }
  return false;
}

static void layer_begin(struct standing *standing, const struct motion *motion,
                        const struct phase *phase) {
  const struct plan_overlay *overlays = motion->plan->overlays;
  standing->laying = phase->plan_layer;
  standing->overlay = (size_t)phase->overlay - 1;
  standing->layer = (size_t)(phase->plan_layer - overlays[standing->overlay].layers);
  standing->solid[standing->overlay] = standing->layer + 1;
  standing->solid_changed = true;
}

/* The layer being laid is finished for the electrode as well. */
static void layer_end(struct standing *standing) {
  standing->electrode[standing->overlay] = standing->layer + 1;
  standing->electrode_changed = true;
  standing->last_run_over = standing->backing_off = false;
}

void standing_step(struct standing *standing, const struct motion *motion,
                   const struct phase *phase) {
  /* The back-off is one phase, the first after the last run. */
  if (standing->backing_off)
    layer_end(standing);
  if (standing->last_run_over) {
    if (phase->kind == PHASE_MOVE && phase->move == MOVE_BACK_OFF)
      standing->backing_off = true;
    else if (phase->kind == PHASE_MOVE || phase->kind == PHASE_WAIT)
      layer_end(standing);
  }
  if (is_at_wall(phase->kind) && phase->plan_layer != standing->laying) {
    if (standing->last_run_over)
      layer_end(standing);
    layer_begin(standing, motion, phase);
  }
  if (phase->kind == PHASE_WELD && phase->plan_layer == standing->laying)
    standing->last_run_over = (size_t)phase->run + 1 == phase->plan_layer->run_count;
}
