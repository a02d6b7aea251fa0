/* choose.c - layers and overlap that a job leaves open, found by going through all there are:
 * counts from one up, and for each the overlaps from none up, a lap more at a time. */
#include "verify/choose.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

static const double OVERLAP_MOST = 0.5; /* docs/plan.md, "Chosen layers and overlap" */
static const double SAME = 1e-6;        /* of a limit: docs/semantics.md */

struct question {
  struct arena *arena;
  const struct overlay *asked;
  const struct wall *wall;
  const struct cell *cell;
  size_t always;              /* so many layers are laid whatever is chosen */
  double tightest, narrowest; /* of the wall, mm */
};

static bool is_open(const struct overlay *asked, size_t layers) {
  for (size_t k = 0; k < layers; k++)
    if (asked->layers[k].overlap_auto)
      return true;
  return false;
}

static struct overlay *plain(struct arena *arena, const struct overlay *asked, size_t layers,
                             double overlap) {
  struct overlay *made = arena_alloc(arena, 1, sizeof *made);
  *made = *asked;
  made->layer_count = layers;
  made->layers = arena_alloc(arena, layers, sizeof *made->layers);
  for (size_t k = 0; k < layers; k++) {
    made->layers[k] = asked->layers[k];
    if (!asked->layers[k].overlap_auto)
      continue;
    made->layers[k].has_pitch = false;
    made->layers[k].overlap = overlap;
  }
  return made;
}

/* The least overlap above this one with which a layer that is open gets a lap more; over the most:
 * none. */
static double next_overlap(const struct overlay *asked, size_t layers, double overlap) {
  double next = 1;
  for (size_t k = 0; k < layers; k++) {
    const struct layer *layer = &asked->layers[k];
    double width = layer->procedure->bead_width + layer->procedure->oscillation.width;
    double rest = (layer->depths.hi - layer->depths.lo - width) / width;
    double pitches = ceil(rest / (1 - overlap) - 1e-9); /* now */
    if (layer->overlap_auto && pitches > 0)
      next = fmin(next, 1 - rest / (pitches + 1));
  }
  /* a step that rounding lets come twice */
  return next > overlap ? next : overlap + 1e-12;
}

/* Whole turns of the head in a run that no zone breaks; each ring winds it back. */
static double turns_of(const struct overlay *overlay, const struct lay *lay) {
  if (overlay->zone_count > 0 || overlay->pattern == PATTERN_RINGS)
    return 0;
  return (double)(lay->laps + (overlay->pattern == PATTERN_SPIRAL && lay->laps > 1));
}

/* docs/plan.md, "The stack of layers": the tip's way keeps every radius and meets itself in no
 * neck, nor does the layer's own surface, or where that has lost a radius the one that it lies on.
 */
static bool has_room(const struct question *question, const struct lay *lay) {
  static const double SAME_PLACE = 1e-7; /* mm */
  double tip = lay->offset + lay->procedure->arc_length, surface = lay->offset + lay->nominal_most;
  double own = surface < question->tightest ? surface : lay->offset;
  return tip < question->tightest && fmax(tip, own) <= question->narrowest / 2 + SAME_PLACE;
}

/* What the layers of every choice ask for is no matter of choice. */
static bool is_laid(const struct question *question, const struct overlay *made,
                    const struct lay *lays) {
  const struct axis_limits *head = &question->cell->axis[AXIS_HEAD];
  for (size_t k = 0; k < made->layer_count; k++) {
    const struct lay *lay = &lays[k];
    double width = lay->procedure->bead_width + lay->procedure->oscillation.width;
    if (lay->layer->depths.hi - lay->layer->depths.lo < width - 1e-9)
      return false;
    if (k >= question->always && !lay_is_qualified(lay))
      return false;
    if (!head->endless && turns_of(made, lay) * NUM_TURN > head->travel.hi - head->travel.lo + 1e-9)
      return false;
    if (!has_room(question, lay))
      return false;
  }
  return true;
}

static bool is_met(const struct overlay *overlay, const struct lay *lays) {
  size_t layers = overlay->layer_count;
  double iron = lays[layers - 1].iron;
  if ((overlay->has_required_thickness || overlay->has_required_finish) &&
      lay_remaining_get(lays, layers).share > 1 + SAME)
    return false;
  if (overlay->has_required_flatness &&
      lay_most_ridge(lays, layers) > overlay->required_flatness * (1 + SAME))
    return false;
  return !overlay->has_required_iron || !(iron > overlay->required_iron * (1 + SAME));
}

enum outcome { MET, SHORT, UNLAID };

static enum outcome outcome_of(const struct question *question, const struct overlay *made) {
  struct arena *scratch = arena_new();
  struct lay *lays = arena_alloc(scratch, made->layer_count, sizeof *lays);
  lay_overlay(scratch, lays, made, 1, question->wall);
  enum outcome outcome = !is_laid(question, made, lays) ? UNLAID : is_met(made, lays) ? MET : SHORT;
  arena_free(scratch);
  return outcome;
}

static const struct overlay *with_layers(const struct question *question, size_t layers) {
  const struct overlay *asked = question->asked;
  double overlap = 0;
  do {
    const struct overlay *made = plain(question->arena, asked, layers, overlap);
    enum outcome outcome = outcome_of(question, made);
    if (outcome != SHORT)
      return outcome == MET ? made : NULL;
    overlap = next_overlap(asked, layers, overlap);
  } while (is_open(asked, layers) && overlap <= OVERLAP_MOST + 1e-12);
  return NULL;
}

const struct overlay *overlay_plain(struct arena *arena, const struct overlay *asked,
                                    const struct wall *wall, const struct cell *cell) {
  if (!asked->layers_auto && !is_open(asked, asked->layer_count))
    return asked;
  size_t always = asked->layers_auto ? 1 : asked->layer_count;
  struct question question = {.arena = arena,
                              .asked = asked,
                              .wall = wall,
                              .cell = cell,
                              .always = always,
                              .tightest = wall_tightest(wall),
                              .narrowest = wall_narrowest(wall)};
  for (size_t n = always; n <= asked->layer_count; n++) {
    const struct overlay *made = with_layers(&question, n);
    if (made)
      return made;
  }
  return NULL;
}
