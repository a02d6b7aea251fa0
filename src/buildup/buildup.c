/* buildup.c - the metal of every layer on the wall of one overlay.
 *
 * What a run lays is volume over lengths of the layer's own wall.  All of it is carried to the
 * shape itself, where an arc of radius R is longer by R / (R - turn d) than under the offset d, and
 * stands there as high as the exact area between two circles says: so the layers together, between
 * the wall and the height that is told, have exactly the volume of the metal (docs/buildup.md,
 * section 4). */
#include "borelay/buildup.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "buildup/laid.h"

/* -- making ------------------------------------------------------------------------------------ */

static void pour_add(struct arena *arena, struct poured *poured, struct pour pour) {
  if (poured->count == poured->room) {
    poured->room = 2 * poured->room + 8;
    poured->pours =
        arena_grow(arena, poured->pours, poured->count, poured->room, sizeof *poured->pours);
  }
  poured->pours[poured->count++] = pour;
}

/* Phases come overlay by overlay; after the last one there is none (0). */
static size_t first_phase(const struct motion *motion, int32_t overlay) {
  size_t lo = 0, hi = motion->phase_count;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    int32_t at = motion->phases[middle].overlay;
    if (at != 0 && at < overlay)
      lo = middle + 1;
    else
      hi = middle;
  }
  return lo;
}

const struct buildup *buildup_make(struct arena *arena, const struct motion *motion,
                                   size_t overlay) {
  struct buildup *made = arena_alloc(arena, 1, sizeof *made);
  made->overlay = &motion->plan->overlays[overlay];
  made->layer_count = made->overlay->layer_count;
  made->layers = arena_alloc(arena, made->layer_count, sizeof *made->layers);
  for (size_t k = 0; k < made->layer_count; k++)
    made->layers[k].layer = &made->overlay->layers[k];
  for (size_t i = first_phase(motion, (int32_t)overlay + 1); i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->overlay != (int32_t)overlay + 1)
      break;
    if (phase->kind == PHASE_WELD)
      pour_add(arena, &made->layers[phase->plan_layer - made->overlay->layers],
               pour_make(arena, motion, phase));
  }
  return made;
}

size_t buildup_layer_count(const struct buildup *buildup) {
  return buildup->layer_count;
}

/* -- one layer --------------------------------------------------------------------------------- */

double buildup_flat(const struct buildup *buildup, size_t layer, double s, double depth) {
  const struct poured *poured = &buildup->layers[layer];
  double reach = across_reach(bead_width_laid(poured->layer->procedure));
  struct section section;
  section_begin(&section);
  section_fill(&section, poured, s, (struct range){depth - reach, depth + reach});
  double height = across_height(section.items, section.count, depth);
  section_release(&section);
  return height;
}

double buildup_line(const struct buildup *buildup, size_t layer, double s) {
  struct section section;
  section_begin(&section);
  section_fill(&section, &buildup->layers[layer], s, (struct range){-HUGE_VAL, HUGE_VAL});
  double sum = 0;
  for (size_t i = 0; i < section.count; i++)
    sum += section.items[i].area;
  section_release(&section);
  return sum;
}

double buildup_volume(const struct buildup *buildup, size_t layer) {
  double sum = 0;
  for (size_t i = 0; i < buildup->layers[layer].count; i++)
    sum += buildup->layers[layer].pours[i].volume;
  return sum;
}

double buildup_wire(const struct buildup *buildup, size_t layer) {
  double sum = 0;
  for (size_t i = 0; i < buildup->layers[layer].count; i++)
    sum += buildup->layers[layer].pours[i].wire;
  return sum;
}

/* -- all layers -------------------------------------------------------------------------------- */

double laid_carried(const struct plan_layer *layer, const struct contour_seg *seg, double flat) {
  return seg->turn == 0 ? flat : flat * (1 - seg->turn * layer->offset / seg->radius);
}

double buildup_thickness(const struct buildup *buildup, size_t layers, double s, double depth) {
  const struct contour *contour = buildup->overlay->contour;
  double turns, at = contour_wrap(contour, s, &turns), metal = 0;
  const struct contour_seg *seg = &contour->segs[contour_seg_at(contour, at)];
  for (size_t k = 0; k < layers; k++)
    metal += laid_carried(buildup->layers[k].layer, seg, buildup_flat(buildup, k, at, depth));
  return layer_thickness_true(metal, seg->turn, seg->radius);
}

struct buildup_ring buildup_ring(const struct buildup *buildup, size_t layers, double depth,
                                 size_t places) {
  double step = buildup->overlay->contour->perimeter / (double)places;
  struct buildup_ring ring = {(double)INFINITY, 0, 0};
  for (size_t i = 0; i < places; i++) {
    double here = buildup_thickness(buildup, layers, ((double)i + 0.5) * step, depth);
    ring.least = fmin(ring.least, here);
    ring.most = fmax(ring.most, here);
    ring.mean += here / (double)places;
  }
  return ring;
}
