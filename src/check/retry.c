/* retry.c - copies of the job, of which one overlay differs. */
#include "check/retry.h"

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "check/lift.h"

/* The job with an overlay of its own, to be changed. */
static struct job *job_copy(struct arena *arena, const struct job *job, size_t index,
                            struct overlay **changed) {
  const struct overlay *old = job->sequence[index];
  struct job *made = arena_alloc(arena, 1, sizeof *made);
  struct overlay *overlay = arena_alloc(arena, 1, sizeof *overlay);
  *made = *job;
  *overlay = *old;
  made->sequence = arena_alloc(arena, job->overlay_count, sizeof *made->sequence);
  for (size_t i = 0; i < job->overlay_count; i++)
    made->sequence[i] = job->sequence[i];
  made->sequence[index] = overlay;
  overlay->layers = arena_alloc(arena, old->layer_room, sizeof *overlay->layers);
  for (size_t k = 0; k < old->layer_room; k++) /* further ones are what `auto` may try */
    overlay->layers[k] = old->layers[k];
  *changed = overlay;
  return made;
}

static const struct motion *motion_of(struct arena *arena, const struct job *job) {
  struct diag_list *unheard = diag_list_new(arena, NULL);
  const struct plan *plan = plan_make(arena, job, unheard);
  return plan ? motion_make(arena, plan, unheard) : NULL;
}

const struct motion *retry_band(struct arena *arena, const struct job *job, size_t index,
                                struct range was, struct range band) {
  struct overlay *overlay;
  const struct job *made = job_copy(arena, job, index, &overlay);
  for (size_t k = 0; k < overlay->layer_room; k++)
    if (overlay->layers[k].depths.lo == was.lo && overlay->layers[k].depths.hi == was.hi)
      overlay->layers[k].depths = band;
  return motion_of(arena, made);
}

const struct motion *retry_retract(struct arena *arena, const struct job *job, size_t index,
                                   double retract) {
  struct overlay *overlay;
  const struct job *made = job_copy(arena, job, index, &overlay);
  overlay->retract = retract;
  return motion_of(arena, made);
}

struct near_miss retry_miss(const struct scene *scene, size_t overlay, bool bodies) {
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
