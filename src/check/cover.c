/* cover.c - layer by layer: what the runs lay (their weld phases tell), then band and bare. */
#include "check/cover.h"

#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "check/band.h"

static const double LEAST = 1e-6; /* mm: less is rounding */

/* The runs of each path, in order. */
static void paths_lay(const struct scene *scene, const struct plan_overlay *overlay,
                      const struct plan_layer *layer, struct bare_layer *bare) {
  bare->path_count = layer->path_count;
  bare->paths = arena_alloc(scene->arena, layer->path_count, sizeof *bare->paths);
  size_t run = 0;
  for (size_t i = 0; i < layer->path_count; i++) {
    const struct plan_path *path = &layer->paths[i];
    bare->paths[i] =
        (struct bare_path){.way = run_way_of_path(scene->arena, overlay->contour, layer, path),
                           .tie_in = path->tie_in,
                           .run_from = run};
    while (run < layer->run_count && layer->runs[run].path == i)
      run++;
    bare->paths[i].run_to = run;
  }
}

struct cover {
  const struct scene *scene;
  size_t phase; /* welds before it are of the layers before this one */
  struct check_result result;
};

/* What the weld phases of one layer lay: they come in the order of the plan. */
static void runs_lay(struct cover *cover, const struct plan_layer *layer, struct bare_layer *bare) {
  struct arena *arena = cover->scene->arena;
  const struct motion *motion = cover->scene->motion;
  bare->run_count = layer->run_count;
  bare->runs = arena_alloc(arena, layer->run_count, sizeof *bare->runs);
  for (; cover->phase < motion->phase_count; cover->phase++) {
    const struct phase *phase = &motion->phases[cover->phase];
    if (phase->kind != PHASE_WELD)
      continue;
    if (phase->plan_layer != layer)
      return;
    const struct run_way *path = &bare->paths[layer->runs[phase->run].path].way;
    bare->runs[phase->run] = laid_run_make(arena, motion, phase, path, bare->allowance);
  }
}

static void cover_raise(struct cover *cover, const struct plan_overlay *overlay, double missing,
                        const char *detail) {
  if (missing <= cover->result.worst)
    return;
  cover->result.worst = missing;
  cover->result.at = overlay->overlay->origin.head;
  cover->result.detail = detail;
}

/* count, total: of all that are bare for this reason. */
static const char *bare_text(const struct cover *cover, const struct plan *plan,
                             const struct bare_length *bare, size_t count, double total) {
  const struct plan_overlay *overlay = &plan->overlays[bare->overlay];
  const struct plan_layer *layer = &overlay->layers[bare->layer];
  const struct procedure *procedure = layer->procedure;
  return arena_format(
      cover->scene->arena,
      "overlay %s, layer %" PRId64 ", lap %" PRId64
      " stays bare for %.3f mm from s = %.3f mm, before the wire (wire_start_delay %.3f s, "
      "wire_retract %.3f mm, travel_start_delay %.3f s); %zu in all, %.3f mm",
      overlay->overlay->name, layer->number, bare->lap, bare->length, bare->s,
      procedure->wire_start_delay, procedure->wire_retract, procedure->travel_start_delay, count,
      total);
}

/* A delay as the rows have it, in whole ticks. */
static double delay_kept(const struct cover *cover, double delay) {
  double tick = cover->scene->motion->plan->job->cell->tick;
  return (double)ticks_of(delay, tick) * tick;
}

/* The travel_start_delay with which the wire is there as travel begins. */
static const char *bare_help(const struct cover *cover, const struct plan_layer *layer) {
  const struct procedure *procedure = layer->procedure;
  double late = delay_kept(cover, procedure->wire_start_delay) +
                procedure->wire_retract / layer->values_least.wire_feed_speed;
  if (late <= delay_kept(cover, procedure->travel_start_delay))
    return NULL;
  return arena_format(cover->scene->arena,
                      "a travel_start_delay of %.3f s in procedure %s lets the wire reach the pool "
                      "before it travels",
                      ceil(late * 1000 - CHECK_SLACK) / 1000, procedure->name);
}

static void judge_layer(struct cover *cover, struct bare_list *list,
                        const struct allowance *allowance, size_t i, size_t k) {
  const struct scene *scene = cover->scene;
  const struct plan_overlay *overlay = &scene->motion->plan->overlays[i];
  const struct plan_layer *layer = &overlay->layers[k];
  struct band_gap gap = band_gap_find(scene->arena, overlay, layer);
  if (gap.missing > cover->result.worst)
    cover_raise(cover, overlay, gap.missing,
                arena_format(scene->arena, "overlay %s, layer %" PRId64 ": %.6f mm missing %s",
                             overlay->overlay->name, layer->number, gap.missing, gap.what));
  allowance = allowance_swaying(scene->arena, allowance, layer->procedure->oscillation.width / 2);
  struct bare_layer bare = {.overlay = i, .layer = k, .allowance = allowance};
  paths_lay(scene, overlay, layer, &bare);
  runs_lay(cover, layer, &bare);
  bare_find(list, &bare);
}

static void judge_bare(struct cover *cover, const struct bare_list *list) {
  const struct plan *plan = cover->scene->motion->plan;
  double total = 0;
  size_t count = 0;
  const struct bare_length *longest = NULL;
  for (size_t i = 0; i < list->count; i++) {
    if (list->items[i].kind != BARE_WIRE)
      continue;
    count++;
    total += list->items[i].length;
    if (!longest || list->items[i].length > longest->length)
      longest = &list->items[i];
  }
  if (!longest || longest->length <= cover->result.worst)
    return;
  const struct plan_overlay *overlay = &plan->overlays[longest->overlay];
  cover_raise(cover, overlay, longest->length, bare_text(cover, plan, longest, count, total));
  cover->result.help = bare_help(cover, &overlay->layers[longest->layer]);
}

struct check_result cover_check(const struct scene *scene, struct bare_list *list) {
  const struct plan *plan = scene->motion->plan;
  struct cover cover = {.scene = scene, .result = finding_not_asked("coverage", "mm")};
  cover.result.judged = true;
  cover.result.worst = 0;
  if (plan->overlay_count > 0)
    cover.result.at = plan->overlays[0].overlay->origin.head;
  for (size_t i = 0; i < plan->overlay_count; i++) {
    const struct allowance *allowance = allowance_make(scene->arena, plan, &plan->overlays[i]);
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++)
      judge_layer(&cover, list, allowance, i, k);
  }
  judge_bare(&cover, list);
  cover.result.passed = cover.result.worst <= LEAST;
  if (cover.result.passed) {
    cover.result.worst = 0;
    cover.result.detail = "";
    cover.result.help = NULL;
  }
  return cover.result;
}
