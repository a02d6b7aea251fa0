/* cover.c - layer by layer: which runs are laid (their weld phases tell), then band and bare. */
#include "check/cover.h"

#include <inttypes.h>

#include "borelay/arena.h"
#include "check/band.h"

static const double LEAST = 1e-6; /* mm: less is rounding */

/* laid[run] of one layer, in the plan's order. */
static struct laid_run *layer_runs(const struct scene *scene, const struct plan_layer *layer) {
  const struct motion *motion = scene->motion;
  struct laid_run *runs = arena_alloc(scene->arena, layer->run_count, sizeof *runs);
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->kind == PHASE_WELD && phase->plan_layer == layer)
      runs[phase->run] = laid_run_make(scene->arena, motion, phase);
  }
  return runs;
}

struct cover {
  const struct scene *scene;
  struct check_result result;
};

static void cover_raise(struct cover *cover, const struct plan_overlay *overlay, double missing,
                        const char *detail) {
  if (missing <= cover->result.worst)
    return;
  cover->result.worst = missing;
  cover->result.at = overlay->overlay->origin.head;
  cover->result.detail = detail;
}

static const char *bare_text(const struct cover *cover, const struct plan *plan,
                             const struct bare_length *bare, size_t count, double total) {
  const struct plan_overlay *overlay = &plan->overlays[bare->overlay];
  const struct plan_layer *layer = &overlay->layers[bare->layer];
  const struct procedure *procedure = layer->procedure;
  return arena_format(cover->scene->arena,
                      "overlay %s, layer %" PRId64 ", lap %" PRId64
                      " stays bare for %.3f mm from s = %.3f mm, before the wire (wire_start_delay "
                      "%.3f s, travel_start_delay %.3f s); %zu in all, %.3f mm",
                      overlay->overlay->name, layer->number, bare->lap, bare->length, bare->s,
                      procedure->wire_start_delay, procedure->travel_start_delay, count, total);
}

static void judge_layer(struct cover *cover, struct bare_list *list, size_t i, size_t k) {
  const struct scene *scene = cover->scene;
  const struct plan_overlay *overlay = &scene->motion->plan->overlays[i];
  const struct plan_layer *layer = &overlay->layers[k];
  struct band_gap gap = band_gap_find(scene->arena, overlay, layer);
  if (gap.missing > cover->result.worst)
    cover_raise(cover, overlay, gap.missing,
                arena_format(scene->arena, "overlay %s, layer %" PRId64 ": %.6f mm missing %s",
                             overlay->overlay->name, layer->number, gap.missing, gap.what));
  bare_find(list, layer_runs(scene, layer), layer->run_count, i, k,
            overlay->overlay->pattern == PATTERN_RINGS);
}

static void judge_bare(struct cover *cover, const struct bare_list *list) {
  const struct plan *plan = cover->scene->motion->plan;
  double total = 0;
  const struct bare_length *longest = NULL;
  for (size_t i = 0; i < list->count; i++) {
    total += list->items[i].length;
    if (!longest || list->items[i].length > longest->length)
      longest = &list->items[i];
  }
  if (longest && longest->length > cover->result.worst)
    cover_raise(cover, &plan->overlays[longest->overlay], longest->length,
                bare_text(cover, plan, longest, list->count, total));
}

struct check_result cover_check(const struct scene *scene, struct bare_list *list) {
  const struct plan *plan = scene->motion->plan;
  struct cover cover = {scene, finding_not_asked("coverage", "mm")};
  cover.result.judged = true;
  cover.result.worst = 0;
  if (plan->overlay_count > 0)
    cover.result.at = plan->overlays[0].overlay->origin.head;
  for (size_t i = 0; i < plan->overlay_count; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++)
      judge_layer(&cover, list, i, k);
  judge_bare(&cover, list);
  cover.result.passed = cover.result.worst <= LEAST;
  if (cover.result.passed) {
    cover.result.worst = 0;
    cover.result.detail = "";
  }
  return cover.result;
}
