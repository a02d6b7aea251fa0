/* `layers auto`, `overlap auto`: the fewest layers, then the widest pitch, that meet what `require`
 * asks within the limits that depend on them.
 *
 * Every candidate is planned by the files that plan the overlay itself, as far as laps, stack and
 * thickness: there is no second set of formulas.  A candidate is a count of layers and an overlap;
 * of overlaps only those matter at which a layer gets one lap more, and of these there are as many
 * as laps.  Counts are tried one by one; over the overlaps what is met stays met and what cannot be
 * laid stays unlaid, so that halving finds the first (docs/plan.md, "Chosen layers and overlap").
 */
#include "plan/choose.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"

/* Up to here a bead shares its metal with its neighbours only: its edge lies on their crests.  The
 * model tells nothing of closer ones. */
static const double OVERLAP_MOST = 0.5;
/* A band that divides evenly on paper keeps its lap (src/deposit/layer.c has the same). */
static const double LAP_ROUNDING = 1e-9;
static const double STEPS_MOST = 1e6; /* more laps than any layer may have */

/* -- a candidate ------------------------------------------------------------------------------ */

struct overlay *choice_overlay(const struct chooser *chooser, const struct choice_point *point) {
  struct arena *arena = chooser->site->arena;
  const struct overlay *asked = chooser->asked;
  struct overlay *made = arena_alloc(arena, 1, sizeof *made);
  *made = *asked;
  made->layer_count = made->layer_room = point->layers;
  made->layers = arena_alloc(arena, point->layers, sizeof *made->layers);
  for (size_t k = 0; k < point->layers; k++) {
    made->layers[k] = asked->layers[k];
    if (!asked->layers[k].overlap_auto && !chooser->all_overlaps)
      continue;
    made->layers[k].has_pitch = false;
    made->layers[k].overlap = point->overlap;
  }
  return made;
}

/* Why a layer cannot be laid, as the plan would tell it. */
static void keep_reason(struct diag_list *told, struct plan_try *got) {
  for (size_t i = 0; i < diag_count(told); i++) {
    struct diag_view view = diag_view_get(told, i);
    if (!view.is_error)
      continue;
    got->why = view.message;
    got->why_at = view.at;
  }
}

struct plan_try choice_try(const struct chooser *chooser, const struct choice_point *point) {
  struct arena *arena = chooser->site->arena;
  struct plan_site site = *chooser->site;
  struct plan_overlay made = {.overlay = choice_overlay(chooser, point),
                              .contour = site.contour,
                              .layer_count = point->layers};
  struct plan_try got = {.layers = point->layers, .overlap = point->overlap};
  made.layers = arena_alloc(arena, point->layers, sizeof *made.layers);
  site.overlay = made.overlay;
  site.diags = diag_list_new(arena, NULL);
  got.is_sound = overlay_lap(&site, &made);
  for (size_t k = 0; k < point->layers; k++)
    got.laps += made.layers[k].laps;
  if (!got.is_sound || !overlay_stack(&site, &made)) {
    keep_reason(site.diags, &got);
    return got;
  }
  got.is_laid = choice_keeps_limits(chooser, &made, &got);
  if (!got.is_laid)
    return got;
  overlay_thickness(&made);
  got.is_met = true;
  for (int d = 0; d < DEMAND_COUNT; d++) {
    got.demands[d] = plan_demand_get(&made, (enum demand)d);
    got.is_met = got.is_met && (!got.demands[d].is_asked || got.demands[d].is_met);
  }
  return got;
}

/* -- overlaps at which a layer gets a lap more ------------------------------------------------- */

struct steps {
  double *overlaps; /* rising, no two alike */
  size_t count, room;
};

static int double_compare(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

/* The least overlap with which a band gets so many laps. */
static double overlap_of(double band, double width, double laps) {
  return laps > 1 ? fmin(fmax(1 - (band - width) / ((laps - 1) * width), 0), OVERLAP_MOST) : 0;
}

static void layer_steps(struct arena *arena, const struct layer *layer, struct steps *steps) {
  double width = bead_width_laid(layer->procedure), band = layer->depths.hi - layer->depths.lo;
  double rest = (band - width) / width; /* pitches as wide as a bead */
  double least = 1 + fmax(ceil(rest - LAP_ROUNDING), 0);
  double most = 1 + floor(rest / (1 - OVERLAP_MOST) + LAP_ROUNDING);
  most = fmin(fmax(most, least), least + STEPS_MOST);
  size_t count = steps->count + (size_t)(most - least) + 1;
  steps->overlaps =
      arena_grow(arena, steps->overlaps, steps->count, count, sizeof *steps->overlaps);
  for (double n = least; steps->count < count; n += 1)
    steps->overlaps[steps->count++] = overlap_of(band, width, n);
}

/* A layer before it with the same band and bead has the same steps. */
static bool has_steps_before(const struct overlay *asked, size_t k, bool all) {
  const struct layer *layer = &asked->layers[k];
  for (size_t i = 0; i < k; i++) {
    const struct layer *other = &asked->layers[i];
    if ((other->overlap_auto || all) &&
        bead_width_laid(other->procedure) == bead_width_laid(layer->procedure) &&
        other->depths.lo == layer->depths.lo && other->depths.hi == layer->depths.hi)
      return true;
  }
  return false;
}

/* Where no overlap is to be chosen there is one step. */
static struct steps steps_make(const struct chooser *chooser, size_t layers) {
  struct arena *arena = chooser->site->arena;
  const struct overlay *asked = chooser->asked;
  struct steps steps = {0};
  for (size_t k = 0; k < layers; k++)
    if ((asked->layers[k].overlap_auto || chooser->all_overlaps) &&
        !has_steps_before(asked, k, chooser->all_overlaps))
      layer_steps(arena, &asked->layers[k], &steps);
  if (steps.count == 0) {
    steps.overlaps = arena_alloc(arena, 1, sizeof *steps.overlaps);
    steps.count = 1;
    return steps;
  }
  qsort(steps.overlaps, steps.count, sizeof *steps.overlaps, double_compare);
  size_t kept = 1;
  for (size_t i = 1; i < steps.count; i++)
    if (steps.overlaps[i] > steps.overlaps[kept - 1])
      steps.overlaps[kept++] = steps.overlaps[i];
  steps.count = kept;
  return steps;
}

/* -- the search ------------------------------------------------------------------------------- */

/* Met or beyond what can be laid: once so, so at every larger overlap. */
static bool is_over(const struct plan_try *got) {
  return got->is_sound && (!got->is_laid || got->is_met);
}

/* With so many layers.  true: met, and *got is the widest pitch that meets; else *got is what comes
 * nearest, with why nothing closer can be laid. */
static bool count_try(const struct chooser *chooser, size_t layers, struct plan_try *got,
                      struct plan_try *wider) {
  struct steps steps = steps_make(chooser, layers);
  size_t lo = 0, hi = steps.count; /* the first that is over lies in lo .. hi */
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    struct choice_point point = {layers, steps.overlaps[middle]};
    struct plan_try here = choice_try(chooser, &point);
    if (is_over(&here))
      hi = middle;
    else
      lo = middle + 1;
  }
  struct plan_try first = {0}, before = {0};
  if (lo < steps.count)
    first = choice_try(chooser, &(struct choice_point){layers, steps.overlaps[lo]});
  if (lo > 0)
    before = choice_try(chooser, &(struct choice_point){layers, steps.overlaps[lo - 1]});
  *wider = before;
  if (first.is_met) {
    *got = first;
    return true;
  }
  *got = lo > 0 ? before : first;
  if (lo < steps.count) {
    got->why = first.why;
    got->why_at = first.why_at;
  }
  return false;
}

bool choice_search(const struct chooser *chooser, size_t least, size_t most,
                   struct choice_found *found) {
  *found = (struct choice_found){
      .tried = arena_alloc(chooser->site->arena, most + 1, sizeof *found->tried)};
  for (size_t layers = least; layers <= most; layers++) {
    struct plan_try got, wider;
    bool is_met = count_try(chooser, layers, &got, &wider);
    if (is_met) {
      found->choice.chosen = got;
      found->choice.has_wider = wider.layers > 0;
      found->choice.wider = wider;
      found->choice.has_fewer = found->count > 0;
      if (found->count > 0)
        found->choice.fewer = found->tried[found->count - 1];
      return true;
    }
    found->tried[found->count++] = got;
    if (!got.is_sound || !got.is_laid)
      break; /* more layers need this one */
  }
  return false;
}

static bool any_overlap_auto(const struct overlay *asked) {
  for (size_t k = 0; k < asked->layer_count; k++)
    if (asked->layers[k].overlap_auto)
      return true;
  return false;
}

const struct overlay *overlay_choose(const struct plan_site *site,
                                     const struct plan_choice **choice) {
  const struct overlay *asked = site->overlay;
  bool overlap_auto = any_overlap_auto(asked);
  if (!asked->layers_auto && !overlap_auto)
    return asked;
  size_t least = asked->layers_auto ? 1 : asked->layer_count;
  struct chooser chooser = {.site = site, .asked = asked, .always = least};
  struct choice_found found;
  struct plan_try end;
  if (choice_search(&chooser, least, asked->layer_count, &found)) {
    struct plan_choice *made = arena_alloc(site->arena, 1, sizeof *made);
    *made = found.choice;
    made->layers_auto = asked->layers_auto;
    made->overlap_auto = overlap_auto;
    *choice = made;
    end = found.choice.chosen;
  } else {
    end = found.tried[found.count - 1];
    if (end.is_laid || found.count > 1) {
      choice_refuse(&chooser, &found);
      return NULL;
    }
  }
  /* Also what is wrong whatever is chosen: the plan, or a later stage, tells it. */
  return choice_overlay(&chooser, &(struct choice_point){end.layers, end.overlap});
}
