/* What is told where no choice of layers and overlap meets what `require` asks. */
#include <math.h>

#include "borelay/arena.h"
#include "plan/choose.h"

/* -- what came nearest --------------------------------------------------------------------------
 */

static double miss_of(const struct plan_try *got, int demand) {
  const struct plan_demand *here = &got->demands[demand];
  return got->is_laid && here->is_asked && !here->is_met ? here->share : 0;
}

static double worst_miss(const struct plan_try *got, int *demand) {
  double worst = 0;
  for (int d = 0; d < DEMAND_COUNT; d++)
    if (miss_of(got, d) > worst) {
      worst = miss_of(got, d);
      *demand = d;
    }
  return worst;
}

/* The try that misses the demand by least, or meets it; NULL: none was laid. */
static const struct plan_try *nearest(const struct choice_found *found, int demand) {
  const struct plan_try *best = NULL;
  for (size_t i = 0; i < found->count; i++) {
    const struct plan_try *got = &found->tried[i];
    if (got->is_laid && (!best || got->demands[demand].share < best->demands[demand].share))
      best = got;
  }
  return best;
}

/* A demand that no try meets, in the order of enum demand, with what comes nearest to it; else the
 * try whose worst miss is the least, with what it misses most. */
static const struct plan_try *culprit(const struct choice_found *found, int *demand) {
  for (*demand = 0; *demand < DEMAND_COUNT; ++*demand) {
    const struct plan_try *best = nearest(found, *demand);
    if (best && miss_of(best, *demand) > 0)
      return best;
  }
  const struct plan_try *best = NULL;
  double least = HUGE_VAL;
  *demand = 0;
  for (size_t i = 0; i < found->count; i++) {
    int missed = 0;
    double worst = worst_miss(&found->tried[i], &missed);
    if (!found->tried[i].is_laid || worst >= least)
      continue;
    least = worst;
    best = &found->tried[i];
    *demand = missed;
  }
  return best;
}

/* -- words --------------------------------------------------------------------------------------
 */

static const char *layers_text(struct arena *arena, size_t layers) {
  return layers == 1 ? "1 layer" : arena_format(arena, "%zu layers", layers);
}

static bool has_auto_overlap(const struct chooser *chooser, size_t layers) {
  for (size_t k = 0; k < layers; k++)
    if (chooser->asked->layers[k].overlap_auto || chooser->all_overlaps)
      return true;
  return false;
}

static const char *try_text(const struct chooser *chooser, const struct plan_try *got) {
  struct arena *arena = chooser->site->arena;
  const char *layers = layers_text(arena, got->layers);
  if (!has_auto_overlap(chooser, got->layers))
    return layers;
  return arena_format(arena, "%s at an overlap of %.2f %%", layers, 100 * got->overlap);
}

static const char *miss_text(const struct chooser *chooser, const struct plan_try *got,
                             enum demand which) {
  struct arena *arena = chooser->site->arena;
  const struct plan_demand *demand = &got->demands[which];
  const char *text = try_text(chooser, got);
  double value = demand->value, limit = demand->limit, miss = fabs(limit - value);
  switch (which) {
  case DEMAND_THICKNESS:
    return arena_format(arena,
                        "with %s it is %.6g mm at the valley floors, %.4g mm less than the %.6g mm "
                        "required",
                        text, value, miss, limit);
  case DEMAND_FLATNESS:
    return arena_format(arena,
                        "with %s ridges stand %.6g mm over the valley floors, %.4g mm more than "
                        "the %.6g mm allowed",
                        text, value, miss, limit);
  case DEMAND_IRON:
    return arena_format(arena,
                        "with %s the last one holds %.6g %% iron, %.4g %% more than the %.6g %% "
                        "allowed",
                        text, 100 * value, 100 * miss, 100 * limit);
  case DEMAND_COUNT:
    break;
  }
  return "";
}

/* -- what would do ------------------------------------------------------------------------------
 */

static const char *found_text(const struct chooser *chooser, const struct choice_found *found) {
  return try_text(chooser, &found->choice.chosen);
}

/* Another way of asking that is met: an overlap to be chosen, more layers, or both. */
static const char *other_way(const struct chooser *chooser) {
  const struct overlay *asked = chooser->asked;
  struct chooser other = *chooser;
  struct choice_found found;
  size_t least = asked->layers_auto ? 1 : asked->layer_count;
  size_t room = asked->layers_auto ? asked->layer_count : asked->layer_room;
  if (room > asked->layer_count && choice_search(&other, asked->layer_count + 1, room, &found))
    return found_text(&other, &found);
  other.all_overlaps = true;
  if (choice_search(&other, least, asked->layer_count, &found))
    return found_text(&other, &found);
  if (room > asked->layer_count && choice_search(&other, asked->layer_count + 1, room, &found))
    return found_text(&other, &found);
  return NULL;
}

/* A requirement that the best try meets: rounded to the side on which it does. */
static const char *weaker(const struct chooser *chooser, const struct plan_try *best, int which) {
  double value = best->demands[which].value;
  struct arena *arena = chooser->site->arena;
  if (which == DEMAND_IRON)
    return arena_format(arena, "`iron %.2f %%`", ceil(value * 1e4 - 1e-9) / 100);
  if (which == DEMAND_FLATNESS)
    return arena_format(arena, "`flatness %.3f mm`", ceil(value * 1e3 - 1e-6) / 1e3);
  return arena_format(arena, "`%s %.3f mm`", best->demands[which].key,
                      floor(value * 1e3 + 1e-6) / 1e3);
}

static void help_tell(const struct chooser *chooser, const struct plan_try *best, int which,
                      struct diag *diag) {
  const char *other = other_way(chooser);
  if (other)
    diag_help(diag, "%s would do", other);
  else if (which == DEMAND_THICKNESS && best->demands[which].value <= 0)
    diag_help(diag, "no floor can be relied on where beads do not overlap");
  else
    diag_help(diag, "%s could be met", weaker(chooser, best, which));
}

/* -- all ------------------------------------------------------------------------------------------
 */

/* What bound the choice: everything that kept more from being laid, each once by its place. */
static void bound_tell(const struct choice_found *found, struct diag *diag) {
  for (size_t i = 0; i < found->count; i++) {
    const struct plan_try *here = &found->tried[i];
    bool is_told = !here->why;
    for (size_t k = 0; k < i && !is_told; k++)
      is_told = found->tried[k].why && found->tried[k].why_at.file == here->why_at.file &&
                found->tried[k].why_at.begin == here->why_at.begin;
    if (!is_told)
      diag_note(diag, here->why_at, "more cannot be laid: %s", here->why);
  }
}

void choice_refuse(const struct chooser *chooser, const struct choice_found *found) {
  int which;
  const struct plan_try *best = culprit(found, &which);
  const struct overlay *asked = chooser->asked;
  const char *key = best->demands[which].key;
  struct diag *diag = diag_error(chooser->site->diags, DIAG_DEMAND_UNMET,
                                 origin_of_key(&asked->require_origin, key),
                                 "nothing that may be chosen meets the `%s` required: %s", key,
                                 miss_text(chooser, best, (enum demand)which));
  for (int d = 0; d < DEMAND_COUNT; d++)
    if (d != which && miss_of(best, d) > 0)
      diag_note(diag, origin_of_key(&asked->require_origin, best->demands[d].key), "nor this: %s",
                miss_text(chooser, best, (enum demand)d));
  bound_tell(found, diag);
  choice_tell_limits(chooser, best, diag);
  help_tell(chooser, best, which, diag);
}
