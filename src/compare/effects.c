/* The figures of two outcomes beside one another, by tables: a figure is a row. */
#include "compare/effects.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/num.h"

void effects_add(struct effects *effects, struct effect effect) {
  if (isnan(effect.before) && isnan(effect.after))
    return;
  if (effects->count == effects->room) {
    effects->room = 2 * effects->room + 32;
    effects->items =
        arena_grow(effects->arena, effects->items, effects->count, effects->room, sizeof effect);
  }
  effects->items[effects->count++] = effect;
}

bool effect_is_change(const struct effect *effect) {
  if (isnan(effect->before) || isnan(effect->after))
    return true;
  double larger = fmax(fabs(effect->before), fabs(effect->after));
  return fabs(effect->after - effect->before) > 1e-6 * fmax(larger, 1e-3);
}

/* -- layers ------------------------------------------------------------------------------------ */

struct layer_view {
  const struct plan_layer *plan;
  const struct layer_quantities *sums; /* NULL: the motion was not made */
  const struct run_heat *hottest;      /* of its runs, at the start; NULL: none */
};

/* Where a figure is one all along a lap its range has no row of its own. */
static double least_of(struct range range) {
  return range.lo < range.hi ? range.lo : FIGURE_NONE;
}
static double most_of(struct range range) {
  return range.lo < range.hi ? range.hi : FIGURE_NONE;
}

#define LAYER_FIGURE(name, value)                                                                  \
  static double figure_##name(const struct layer_view *layer) {                                    \
    return (double)(value);                                                                        \
  }
LAYER_FIGURE(laps, layer->plan->laps)
LAYER_FIGURE(turns, layer->plan->turns)
LAYER_FIGURE(pitch, layer->plan->pitch)
LAYER_FIGURE(overlap, 100 * layer->plan->overlap)
LAYER_FIGURE(offset, layer->plan->offset)
LAYER_FIGURE(thickness, layer->plan->thickness)
LAYER_FIGURE(first_depth, layer->plan->first_depth)
LAYER_FIGURE(last_depth, layer->plan->last_depth)
LAYER_FIGURE(bead_area, layer->plan->bead_area)
LAYER_FIGURE(iron, layer->plan->has_iron ? 100 * layer->plan->iron : FIGURE_NONE)
LAYER_FIGURE(arc_energy, layer->plan->arc_energy)
LAYER_FIGURE(heat_input, layer->plan->heat_input)
LAYER_FIGURE(wire_energy, layer->plan->wire_energy)
LAYER_FIGURE(ridge, layer->plan->ridge)
LAYER_FIGURE(least_heat, least_of(layer->plan->heat_inputs))
LAYER_FIGURE(most_heat, most_of(layer->plan->heat_inputs))
LAYER_FIGURE(least_thickness, least_of(layer->plan->thicknesses))
LAYER_FIGURE(most_thickness, most_of(layer->plan->thicknesses))
LAYER_FIGURE(start_heat, layer->hottest ? layer->hottest->first_bead : FIGURE_NONE)
LAYER_FIGURE(end_heat, layer->hottest ? layer->hottest->last_bead : FIGURE_NONE)
LAYER_FIGURE(cooling, layer->plan->has_cooling ? layer->plan->cooling.time : FIGURE_NONE)
LAYER_FIGURE(path_length, layer->sums ? layer->sums->path_length / 1000 : FIGURE_NONE)
LAYER_FIGURE(arc_time, layer->sums ? layer->sums->arc_time / 60 : FIGURE_NONE)
LAYER_FIGURE(starts, layer->sums ? (double)layer->sums->starts : FIGURE_NONE)
LAYER_FIGURE(bare, layer->sums ? layer->sums->bare : FIGURE_NONE)

static const struct {
  const char *name, *unit;
  int decimals;
  double (*figure)(const struct layer_view *layer);
} LAYER_ROWS[] = {
    {"laps", "", 0, figure_laps},
    {"turns", "", 0, figure_turns},
    {"pitch", "mm", 4, figure_pitch},
    {"overlap", "%", 2, figure_overlap},
    {"first lap's depth", "mm", 3, figure_first_depth},
    {"last lap's depth", "mm", 3, figure_last_depth},
    {"offset", "mm", 4, figure_offset},
    {"thickness (nominal)", "mm", 4, figure_thickness},
    {"thickness, least over a lap", "mm", 4, figure_least_thickness},
    {"thickness, most over a lap", "mm", 4, figure_most_thickness},
    {"ridges over valley floors", "mm", 4, figure_ridge},
    {"bead area", "mm2", 3, figure_bead_area},
    {"iron", "%", 3, figure_iron},
    {"arc energy", "kJ/mm", 4, figure_arc_energy},
    {"heat input", "kJ/mm", 4, figure_heat_input},
    {"heat input, least over a lap", "kJ/mm", 4, figure_least_heat},
    {"heat input, most over a lap", "kJ/mm", 4, figure_most_heat},
    {"arc energy where it starts", "kJ/mm", 4, figure_start_heat},
    {"arc energy where it stops", "kJ/mm", 4, figure_end_heat},
    {"wire energy", "kJ/mm", 4, figure_wire_energy},
    {"cooling time t8/5", "s", 2, figure_cooling},
    {"length welded", "m", 3, figure_path_length},
    {"arc time", "min", 2, figure_arc_time},
    {"arc starts", "", 0, figure_starts},
    {"bare length", "mm", 2, figure_bare},
};

static void layer_rows(struct effects *effects, const char *overlay, int64_t number,
                       const struct layer_view *before, const struct layer_view *after) {
  for (size_t i = 0; i < sizeof LAYER_ROWS / sizeof LAYER_ROWS[0]; i++)
    effects_add(effects, (struct effect){overlay, number, LAYER_ROWS[i].name, LAYER_ROWS[i].unit,
                                         LAYER_ROWS[i].decimals,
                                         before->plan ? LAYER_ROWS[i].figure(before) : FIGURE_NONE,
                                         after->plan ? LAYER_ROWS[i].figure(after) : FIGURE_NONE});
}

/* -- overlays ---------------------------------------------------------------------------------- */

static double overlay_layers(const struct plan_overlay *overlay) {
  return (double)overlay->layer_count;
}
static double overlay_true(const struct plan_overlay *overlay) {
  return overlay->thickness_true;
}
static double overlay_flat(const struct plan_overlay *overlay) {
  return overlay->thickness_flat;
}
static double overlay_perimeter(const struct plan_overlay *overlay) {
  return overlay->contour->perimeter;
}

static double overlay_ridge(const struct plan_overlay *overlay) {
  return overlay->ridge;
}
/* After machining to the finished wall, or the build-up where none is asked for. */
static double overlay_remaining(const struct plan_overlay *overlay) {
  struct plan_remaining remaining = plan_remaining_get(overlay);
  return remaining.is_asked && !remaining.is_clean_up ? remaining.value : FIGURE_NONE;
}

static const struct {
  const char *name, *unit;
  int decimals;
  double (*figure)(const struct plan_overlay *overlay);
} OVERLAY_ROWS[] = {
    {"layers", "", 0, overlay_layers},
    {"least thickness", "mm", 4, overlay_true},
    {"at the valley floors", "mm", 4, overlay_flat},
    {"remains of it, as required", "mm", 4, overlay_remaining},
    {"ridges over valley floors", "mm", 4, overlay_ridge},
    {"length round the wall", "mm", 3, overlay_perimeter},
};

static struct layer_view layer_of(const struct outcome *outcome, const struct plan_overlay *overlay,
                                  size_t index, size_t layer) {
  struct layer_view view = {NULL, NULL, NULL};
  if (overlay && layer < overlay->layer_count) {
    view.plan = &overlay->layers[layer];
    const struct verdict *verdict = outcome->verdict;
    size_t run = verdict ? verdict_hottest_run(verdict, index, layer) : 0;
    if (verdict)
      view.sums = &verdict->quantities.layers[index][layer];
    if (verdict && run < verdict->run_count)
      view.hottest = &verdict->heats[run];
  }
  return view;
}

static const struct work *work_of(const struct outcome *outcome, const struct plan_overlay *overlay,
                                  size_t index) {
  return overlay && outcome->verdict ? &outcome->verdict->quantities.overlays[index] : NULL;
}

static void overlay_rows(struct effects *effects, const struct outcome *before,
                         const struct outcome *after, const struct overlay_pair *pair) {
  const char *name = (pair->after ? pair->after : pair->before)->overlay->name;
  for (size_t i = 0; i < sizeof OVERLAY_ROWS / sizeof OVERLAY_ROWS[0]; i++)
    effects_add(effects,
                (struct effect){name, 0, OVERLAY_ROWS[i].name, OVERLAY_ROWS[i].unit,
                                OVERLAY_ROWS[i].decimals,
                                pair->before ? OVERLAY_ROWS[i].figure(pair->before) : FIGURE_NONE,
                                pair->after ? OVERLAY_ROWS[i].figure(pair->after) : FIGURE_NONE});
  bool is_alone = before->plan->overlay_count == 1 && after->plan->overlay_count == 1;
  if (!is_alone) /* else the whole job tells it */
    effects_of_work(effects, name, work_of(before, pair->before, pair->index_before),
                    work_of(after, pair->after, pair->index_after));
  size_t layers_before = pair->before ? pair->before->layer_count : 0;
  size_t layers_after = pair->after ? pair->after->layer_count : 0;
  for (size_t k = 0; k < layers_before || k < layers_after; k++) {
    struct layer_view a = layer_of(before, pair->before, pair->index_before, k);
    struct layer_view b = layer_of(after, pair->after, pair->index_after, k);
    layer_rows(effects, name, (int64_t)k + 1, &a, &b);
  }
}

struct overlay_pairs overlay_pairs_make(struct arena *arena, const struct plan *before,
                                        const struct plan *after, const struct block_pairs *names) {
  struct overlay_pairs pairs = {NULL, 0};
  size_t count_before = before ? before->overlay_count : 0;
  size_t count_after = after ? after->overlay_count : 0;
  pairs.items = arena_alloc(arena, count_before + count_after + 1, sizeof *pairs.items);
  bool *is_taken = arena_alloc(arena, count_before + 1, sizeof *is_taken);
  for (size_t k = 0; k < count_after; k++) {
    struct overlay_pair pair = {NULL, &after->overlays[k], 0, k};
    for (size_t i = 0; i < count_before && !pair.before; i++)
      if (!is_taken[i] && names_equal(names, "overlay", before->overlays[i].overlay->name,
                                      pair.after->overlay->name)) {
        pair.before = &before->overlays[i];
        pair.index_before = i;
        is_taken[i] = true;
      }
    pairs.items[pairs.count++] = pair;
  }
  for (size_t i = 0; i < count_before; i++)
    if (!is_taken[i])
      pairs.items[pairs.count++] = (struct overlay_pair){&before->overlays[i], NULL, i, 0};
  return pairs;
}

/* -- the job ----------------------------------------------------------------------------------- */

static double job_duration(const struct outcome *outcome) {
  return outcome->verdict ? outcome->verdict->quantities.duration / 60 : FIGURE_NONE;
}
static double job_arc_time(const struct outcome *outcome) {
  return outcome->verdict ? outcome->verdict->quantities.arc_time / 60 : FIGURE_NONE;
}
static double job_wire_length(const struct outcome *outcome) {
  return outcome->verdict ? outcome->verdict->quantities.wire_length_m : FIGURE_NONE;
}
static double job_wire_mass(const struct outcome *outcome) {
  return outcome->verdict ? outcome->verdict->quantities.wire_mass_kg : FIGURE_NONE;
}
static double job_gas(const struct outcome *outcome) {
  return outcome->verdict ? outcome->verdict->quantities.gas_l : FIGURE_NONE;
}
static double job_starts(const struct outcome *outcome) {
  return outcome->verdict ? (double)outcome->verdict->run_count : FIGURE_NONE;
}
static double job_deposition(const struct outcome *outcome) {
  return outcome->verdict ? work_deposition(&outcome->verdict->quantities.whole) : FIGURE_NONE;
}
static double job_arc_share(const struct outcome *outcome) {
  return outcome->verdict ? 100 * work_arc_share(&outcome->verdict->quantities.whole) : FIGURE_NONE;
}
static double job_bare(const struct outcome *outcome) {
  double sum = 0;
  for (size_t i = 0; outcome->verdict && i < outcome->verdict->bare_count; i++)
    sum += outcome->verdict->bare[i].length;
  return outcome->verdict ? sum : FIGURE_NONE;
}
static double job_x(const struct outcome *outcome) {
  return outcome->plan ? outcome->plan->placement.at.x : FIGURE_NONE;
}
static double job_y(const struct outcome *outcome) {
  return outcome->plan ? outcome->plan->placement.at.y : FIGURE_NONE;
}
static double job_z(const struct outcome *outcome) {
  return outcome->plan ? outcome->plan->placement.at.z : FIGURE_NONE;
}
static double job_turned(const struct outcome *outcome) {
  return outcome->plan ? outcome->plan->placement.turned * (180.0 / NUM_PI) : FIGURE_NONE;
}

static const struct {
  const char *name, *unit;
  int decimals;
  double (*figure)(const struct outcome *outcome);
} JOB_ROWS[] = {
    {"duration", "min", 2, job_duration},
    {"arc time", "min", 2, job_arc_time},
    {"wire", "m", 2, job_wire_length},
    {"wire", "kg", 3, job_wire_mass},
    {"gas", "L", 1, job_gas},
    {"arc starts", "", 0, job_starts},
    {"deposition rate", "kg/h", 3, job_deposition},
    {"share of time, arc on", "%", 2, job_arc_share},
    {"bare length", "mm", 2, job_bare},
    {"part's datum, x in the cell", "mm", 3, job_x},
    {"part's datum, y in the cell", "mm", 3, job_y},
    {"part's datum, z in the cell", "mm", 3, job_z},
    {"part turned in the cell", "deg", 4, job_turned},
};

struct effects effects_find(struct arena *arena, const struct outcome *before,
                            const struct outcome *after, const struct block_pairs *names) {
  struct effects effects = {.arena = arena};
  for (size_t i = 0; i < sizeof JOB_ROWS / sizeof JOB_ROWS[0]; i++)
    effects_add(&effects,
                (struct effect){NULL, 0, JOB_ROWS[i].name, JOB_ROWS[i].unit, JOB_ROWS[i].decimals,
                                JOB_ROWS[i].figure(before), JOB_ROWS[i].figure(after)});
  effects_of_procedures(&effects, before, after);
  struct overlay_pairs pairs = overlay_pairs_make(arena, before->plan, after->plan, names);
  for (size_t i = 0; i < pairs.count; i++)
    overlay_rows(&effects, before, after, &pairs.items[i]);
  return effects;
}
