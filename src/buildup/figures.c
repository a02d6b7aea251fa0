/* figures.c - least, mean and most over the band, looked at place by place.
 *
 * All beads at one place of the contour serve every depth there. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "buildup/laid.h"

enum { PLACES_MOST = 400 };

/* Sums while looking. */
struct tally {
  double places, least, sum, most;
};

static void tally_add(struct tally *tally, double value) {
  tally->least = tally->places > 0 ? fmin(tally->least, value) : value;
  tally->most = fmax(tally->most, value);
  tally->sum += value;
  tally->places++;
}

static struct buildup_part tally_part(const struct tally *tally, double all) {
  if (tally->places <= 0)
    return (struct buildup_part){0, 0, 0, 0};
  return (struct buildup_part){tally->places / all, tally->least, tally->sum / tally->places,
                               tally->most};
}

struct look {
  const struct buildup *buildup;
  const struct contour_seg *seg;
  double s;
  struct section *sections; /* one a layer */
  struct tally inside, edges;
  struct buildup_figures figures;
};

/* Beads from the first one that is not too far from the depth. */
static const struct bead *beads_near(const struct section *section, double depth, double reach,
                                     size_t *count) {
  size_t lo = 0, hi = section->count;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    if (section->items[middle].centre < depth - reach)
      lo = middle + 1;
    else
      hi = middle;
  }
  size_t end = lo;
  while (end < section->count && section->items[end].centre <= depth + reach)
    end++;
  *count = end - lo;
  return &section->items[lo];
}

/* How far inside its edges a layer counts: docs/buildup.md, section 5. */
static double edge_of(const struct plan_layer *layer) {
  double width = bead_width_laid(layer->procedure);
  struct range band = layer->layer->depths;
  return layer->pitch < width / 2 ? fmin(width, (band.hi - band.lo) / 2) : width / 2;
}

/* Whole beads on both sides, no farther than neighbours are. */
static bool has_whole_beads(const struct plan_layer *layer, const struct bead *beads, size_t count,
                            double depth) {
  bool is_there[2] = {false, false};
  double least = layer->bead_areas.lo * (1 - 1e-6), near = layer->pitch + 1e-6;
  for (size_t i = 0; i < count; i++) {
    double off = beads[i].centre - depth;
    if (beads[i].area < least || fabs(off) > near)
      continue;
    is_there[0] |= off <= 0;
    is_there[1] |= off >= 0;
  }
  return is_there[0] && is_there[1];
}

static void look_at(struct look *look, double depth) {
  bool inside = true;
  double metal = 0;
  for (size_t k = 0; k < look->buildup->layer_count; k++) {
    const struct plan_layer *layer = look->buildup->layers[k].layer;
    double reach = across_reach(bead_width_laid(layer->procedure));
    size_t count;
    const struct bead *beads = beads_near(&look->sections[k], depth, reach, &count);
    metal += laid_carried(layer, look->seg, across_height(beads, count, depth));
    struct range band = layer->layer->depths;
    double nearest = fmin(fabs(depth - band.lo), fabs(depth - band.hi));
    inside = inside && nearest >= edge_of(layer) - 1e-9;
    if (depth > band.lo && depth < band.hi)
      inside = inside && has_whole_beads(layer, beads, count, depth);
  }
  double here = layer_thickness_true(metal, look->seg->turn, look->seg->radius);
  if (inside && here > look->inside.most) {
    look->figures.most_s = look->s;
    look->figures.most_depth = depth;
  }
  if (inside)
    tally_add(&look->inside, here);
  else if (here > 0)
    tally_add(&look->edges, here);
}

static struct range band_of(const struct buildup *buildup) {
  struct range band = buildup->layers[0].layer->layer->depths;
  for (size_t k = 1; k < buildup->layer_count; k++) {
    band.lo = fmin(band.lo, buildup->layers[k].layer->layer->depths.lo);
    band.hi = fmax(band.hi, buildup->layers[k].layer->layer->depths.hi);
  }
  return band;
}

static double places_on(double length, double bead) {
  return fmin(fmax(ceil(4 * length / bead), 1), PLACES_MOST);
}

static void look_along(struct look *look, struct range band, double places) {
  const struct contour *contour = look->buildup->overlay->contour;
  look->seg = &contour->segs[contour_seg_at(contour, look->s)];
  for (size_t k = 0; k < look->buildup->layer_count; k++) {
    section_begin(&look->sections[k]);
    section_fill(&look->sections[k], &look->buildup->layers[k], look->s,
                 (struct range){-HUGE_VAL, HUGE_VAL});
  }
  for (double i = 0; i < places; i++)
    look_at(look, band.lo + (band.hi - band.lo) * (i + 0.5) / places);
  for (size_t k = 0; k < look->buildup->layer_count; k++)
    section_release(&look->sections[k]);
}

struct buildup_figures buildup_figures_of(const struct motion *motion, size_t overlay) {
  if (motion->mode != MODE_WELD)
    return (struct buildup_figures){.most_s = 0};
  struct arena *arena = arena_new();
  struct buildup_figures figures =
      buildup_figures_find(arena, buildup_make(arena, motion, overlay));
  arena_free(arena);
  return figures;
}

struct buildup_figures buildup_figures_find(struct arena *scratch, const struct buildup *buildup) {
  struct look look = {.buildup = buildup};
  struct range band = band_of(buildup);
  double bead = buildup->layers[0].layer->procedure->bead_width;
  double perimeter = buildup->overlay->contour->perimeter;
  double along = places_on(perimeter, bead), across = places_on(band.hi - band.lo, bead);
  look.sections = arena_alloc(scratch, buildup->layer_count, sizeof *look.sections);
  for (double i = 0; i < along; i++) {
    look.s = perimeter * (i + 0.5) / along;
    look_along(&look, band, across);
  }
  look.figures.inside = tally_part(&look.inside, along * across);
  look.figures.edges = tally_part(&look.edges, along * across);
  return look.figures;
}
