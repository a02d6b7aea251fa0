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
  if (tally->places == 0 || value < tally->least)
    tally->least = value;
  if (value > tally->most)
    tally->most = value;
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
  struct section *sections;     /* one a layer */
  double *depths;               /* looked at */
  struct across_place **places; /* of each layer */
  double *edges;                /* how far inside its edges each layer counts */
  struct tally inside, edge;
  struct buildup_figures figures;
};

/* How far inside its edges a layer counts: docs/buildup.md, section 5. */
static double edge_of(const struct plan_layer *layer) {
  double width = bead_width_laid(layer->procedure);
  struct range band = layer->layer->depths;
  return layer->pitch < width / 2 ? fmin(width, (band.hi - band.lo) / 2) : width / 2;
}

/* Whole beads on both sides, no farther than neighbours are. */
static bool has_whole_beads(const struct plan_layer *layer, const struct across_place *here,
                            double depth) {
  double least = layer->bead_areas.lo * (1 - 1e-6), near = layer->pitch + 1e-6;
  bool is_above = false, is_below = false;
  for (size_t i = here->behind; i > 0 && !is_above && depth - here->beads[i - 1].centre <= near;
       i--) {
    is_above = here->beads[i - 1].area >= least;
    is_below = is_below || (is_above && here->beads[i - 1].centre == depth);
  }
  for (size_t i = here->behind;
       i < here->count && !is_below && here->beads[i].centre - depth <= near; i++)
    is_below = here->beads[i].area >= least;
  return is_above && is_below;
}

static void look_at(struct look *look, size_t place) {
  bool inside = true;
  double metal = 0, depth = look->depths[place];
  for (size_t k = 0; k < look->buildup->layer_count; k++) {
    const struct plan_layer *layer = look->buildup->layers[k].layer;
    const struct across_place *here = &look->places[k][place];
    metal += laid_carried(layer, look->seg, here->height);
    struct range band = layer->layer->depths;
    double above = fabs(depth - band.lo), below = fabs(depth - band.hi);
    inside = inside && (above < below ? above : below) >= look->edges[k] - 1e-9;
    if (inside && depth > band.lo && depth < band.hi)
      inside = has_whole_beads(layer, here, depth);
  }
  double here = layer_thickness_true(metal, look->seg->turn, look->seg->radius);
  if (inside && here > look->inside.most) {
    look->figures.most_s = look->s;
    look->figures.most_depth = depth;
  }
  if (inside)
    tally_add(&look->inside, here);
  else if (here > 0)
    tally_add(&look->edge, here);
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

static void look_along(struct look *look, size_t places) {
  const struct contour *contour = look->buildup->overlay->contour;
  look->seg = &contour->segs[contour_seg_at(contour, look->s)];
  for (size_t k = 0; k < look->buildup->layer_count; k++) {
    struct section *section = &look->sections[k];
    section_begin(section);
    section_fill(section, &look->buildup->layers[k], look->s, (struct range){-HUGE_VAL, HUGE_VAL});
    across_heights(section->items, section->count, look->depths, places, look->places[k]);
  }
  for (size_t i = 0; i < places; i++)
    look_at(look, i);
  for (size_t k = 0; k < look->buildup->layer_count; k++)
    section_release(&look->sections[k]);
}

static struct look look_begin(struct arena *scratch, const struct buildup *buildup,
                              struct range band, size_t places) {
  size_t layers = buildup->layer_count;
  struct look look = {.buildup = buildup};
  look.sections = arena_alloc(scratch, layers, sizeof *look.sections);
  look.edges = arena_alloc(scratch, layers, sizeof *look.edges);
  look.places = arena_alloc(scratch, layers, sizeof *look.places);
  look.depths = arena_alloc(scratch, places, sizeof *look.depths);
  for (size_t k = 0; k < layers; k++) {
    look.edges[k] = edge_of(buildup->layers[k].layer);
    look.places[k] = arena_alloc(scratch, places, sizeof *look.places[k]);
  }
  for (size_t i = 0; i < places; i++)
    look.depths[i] = band.lo + (band.hi - band.lo) * ((double)i + 0.5) / (double)places;
  return look;
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
  struct range band = band_of(buildup);
  double bead = buildup->layers[0].layer->procedure->bead_width;
  double perimeter = buildup->overlay->contour->perimeter;
  double along = places_on(perimeter, bead), across = places_on(band.hi - band.lo, bead);
  struct look look = look_begin(scratch, buildup, band, (size_t)across);
  for (double i = 0; i < along; i++) {
    look.s = perimeter * (i + 0.5) / along;
    look_along(&look, (size_t)across);
  }
  look.figures.inside = tally_part(&look.inside, along * across);
  look.figures.edges = tally_part(&look.edge, along * across);
  return look.figures;
}
