/* Taking up a weld that was broken off: the plan without what lies behind. */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "plan/plan_parts.h"

/* A start nearer than this (mm) behind the border of a leg moves before it, so that the easing of
 * the slope there is the same as in the whole run. */
static const double CLEAR_OF_BORDER = 1.0;
static const double SAME_PLACE = 1e-6; /* mm */
static const double NEARLY = 0.001;    /* mm, as `locate` rounds the place that it tells */

struct found {
  size_t overlay, layer, path;
  double sigma;
};

static bool overlay_find(const struct plan *plan, const char *name, size_t *overlay) {
  for (*overlay = 0; *overlay < plan->overlay_count; (*overlay)++)
    if (strcmp(plan->overlays[*overlay].overlay->name, name) == 0)
      return true;
  return false;
}

/* The first place of lap `lap` that lies at `along`. */
static bool place_find(const struct contour *contour, const struct plan_layer *layer, int64_t lap,
                       double along, struct found *found) {
  double turns, turn = contour->perimeter;
  for (found->path = 0; found->path < layer->path_count; found->path++) {
    const struct plan_path *path = &layer->paths[found->path];
    double ahead = contour_wrap(contour, layer->dir * (along - path->s_start), &turns), begin = 0;
    for (size_t i = 0; i < path->leg_count; i++) {
      double end = begin + path->legs[i].s_length;
      double at = ahead + turn * ceil((begin - ahead) / turn - SAME_PLACE / turn);
      if (path->legs[i].lap == lap && at <= end + SAME_PLACE) {
        found->sigma = fmin(fmax(at, begin), end);
        return true;
      }
      begin = end;
    }
  }
  return false;
}

static int64_t laps_most(const struct plan_layer *layer) {
  int64_t most = 0;
  for (size_t k = 0; k < layer->path_count; k++)
    for (size_t i = 0; i < layer->paths[k].leg_count; i++)
      if (layer->paths[k].legs[i].lap > most)
        most = layer->paths[k].legs[i].lap;
  return most;
}

static const char *find(struct arena *arena, const struct plan *plan,
                        const struct resume_point *point, struct found *found) {
  if (!overlay_find(plan, point->overlay, &found->overlay))
    return arena_format(arena, "the job has no overlay %s", point->overlay);
  const struct plan_overlay *overlay = &plan->overlays[found->overlay];
  if (point->layer < 1 || point->layer > (int64_t)overlay->layer_count)
    return arena_format(arena, "overlay %s has no layer %" PRId64 "; it has %zu", point->overlay,
                        point->layer, overlay->layer_count);
  found->layer = (size_t)point->layer - 1;
  const struct plan_layer *layer = &overlay->layers[found->layer];
  if (point->lap < 1 || point->lap > laps_most(layer))
    return arena_format(
        arena, "layer %" PRId64 " of overlay %s has no lap %" PRId64 "; they go from 1 to %" PRId64,
        point->layer, point->overlay, point->lap, laps_most(layer));
  double round = overlay->contour->perimeter;
  if (point->along < -NEARLY || point->along > round + NEARLY)
    return arena_format(
        arena, "along = %.3f mm lies beyond the wall of overlay %s, which is %.3f mm round",
        point->along, point->overlay, round);
  if (!place_find(overlay->contour, layer, point->lap, point->along, found))
    return arena_format(arena, "lap %" PRId64 " does not pass along = %.3f mm", point->lap,
                        point->along);
  return NULL;
}

/* The run that is under way at the place, or the next one after it; NULL behind the layer's last.
 */
static const struct plan_run *run_find(const struct plan_layer *layer, const struct found *found) {
  for (size_t r = 0; r < layer->run_count; r++) {
    const struct plan_run *run = &layer->runs[r];
    if (run->path > found->path || (run->path == found->path && run->to > found->sigma))
      return run;
  }
  return NULL;
}

static double tie_in_length(const struct plan_overlay *overlay, const struct procedure *procedure) {
  double radius = overlay->contour->segs[0].radius;
  return procedure->tie_in_is_angle ? procedure->tie_in * radius : procedure->tie_in;
}

/* mm of contour before the place in which the wire surely reaches the pool: metal begins when what
 * was drawn back is fed again, a tick late at most; the pool goes no faster than the layer's most,
 * and on a slope its way is only longer than the level one. */
static double late_length(const struct plan_overlay *overlay, const struct plan_layer *layer,
                          double tick, const struct found *found) {
  const struct procedure *procedure = layer->procedure;
  double late = procedure->wire_start_delay + tick +
                procedure->wire_retract / layer->values_least.wire_feed_speed -
                procedure->travel_start_delay;
  if (late <= 0)
    return 0;
  double s = layer->paths[found->path].s_start + layer->dir * found->sigma;
  return fabs(s - contour_advance(overlay->contour, layer->offset, s, -layer->dir,
                                  late * layer->values_most.travel_speed));
}

/* sigma on the path at which the arc starts again, on the same run: a tie-in before the place, or
 * earlier where the wire comes later than that. */
static double start_find(const struct plan_overlay *overlay, const struct plan_layer *layer,
                         const struct plan_run *run, double tick, const struct found *found) {
  if (run->path != found->path || found->sigma <= run->from)
    return run->from;
  double before =
      fmax(tie_in_length(overlay, layer->procedure), late_length(overlay, layer, tick, found));
  double start = found->sigma - before, border = run->from;
  for (size_t i = 0; i < run->leg_count; i++) {
    if (start >= border && start - border < CLEAR_OF_BORDER)
      start = border - CLEAR_OF_BORDER;
    border += run->legs[i].s_length;
  }
  return fmax(start, run->from);
}

/* A copy of the plan in which one run is replaced. */
static struct plan *plan_with(struct arena *arena, const struct plan *plan, const struct found *at,
                              size_t run, struct plan_run rest) {
  struct plan *made = arena_alloc(arena, 1, sizeof *made);
  *made = *plan;
  made->overlays = arena_copy(arena, plan->overlays, plan->overlay_count, plan->overlay_count,
                              sizeof *plan->overlays);
  struct plan_overlay *overlay = &made->overlays[at->overlay];
  overlay->layers = arena_copy(arena, overlay->layers, overlay->layer_count, overlay->layer_count,
                               sizeof *overlay->layers);
  struct plan_layer *layer = &overlay->layers[at->layer];
  layer->runs =
      arena_copy(arena, layer->runs, layer->run_count, layer->run_count, sizeof *layer->runs);
  layer->runs[run] = rest;
  return made;
}

const struct plan *plan_resume(struct arena *arena, const struct plan *plan,
                               const struct resume_point *point, struct resume *resume,
                               const char **why) {
  struct found found = {0};
  *why = find(arena, plan, point, &found);
  if (*why)
    return NULL;
  const struct plan_overlay *overlay = &plan->overlays[found.overlay];
  const struct plan_layer *layer = &overlay->layers[found.layer];
  const struct plan_run *run = run_find(layer, &found);
  if (!run) {
    *why = arena_format(arena, "nothing of layer %" PRId64 " is left there: name the next layer",
                        point->layer);
    return NULL;
  }
  double start = start_find(overlay, layer, run, plan->job->cell->tick, &found);
  size_t index = (size_t)(run - layer->runs);
  struct plan_run rest = run_rest(arena, overlay->contour, layer, run, start - run->from);
  struct plan *made = plan_with(arena, plan, &found, index, rest);
  *resume = (struct resume){.overlay = found.overlay,
                            .layer = found.layer,
                            .run = index,
                            .whole = run,
                            .rest = &made->overlays[found.overlay].layers[found.layer].runs[index],
                            .overlap = run->path == found.path ? found.sigma - start : 0};
  return made;
}
