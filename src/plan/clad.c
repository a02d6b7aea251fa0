/* How thick the clad stands: on one segment of the wall, and least over the overlay's band. */
#include "plan/plan_parts.h"

#include <math.h>
#include <string.h>

#include "borelay/deposit.h"

double plan_clad_true(const struct plan_overlay *overlay, size_t layers,
                      const struct contour_seg *seg) {
  double sum = 0.0;
  for (size_t k = 0; k < layers; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    sum += layer_thickness_true(fmax(layer->thickness, layer->thicknesses.hi), seg->turn,
                                seg->radius - seg->turn * layer->offset);
  }
  return sum;
}

double plan_clad_nominal(const struct plan_overlay *overlay, size_t layers) {
  double sum = 0.0;
  for (size_t k = 0; k < layers; k++)
    sum += overlay->layers[k].thickness;
  return sum;
}

/* -- over the band ------------------------------------------------------------------ */

static bool is_same_place(span a, span b) {
  return a.file == b.file && a.begin == b.begin && a.end == b.end;
}

static bool layer_has_own_depths(const struct overlay *overlay, const struct layer *layer) {
  if (is_same_place(layer->origin.head, overlay->origin.head))
    return false;
  for (size_t k = 0; k < layer->origin.place_count; k++)
    if (strcmp(layer->origin.places[k].key, "depths") == 0)
      return true;
  return false;
}

struct range overlay_band(const struct overlay *overlay) {
  struct range all = overlay->layers[0].depths;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct layer *layer = &overlay->layers[k];
    if (!layer_has_own_depths(overlay, layer))
      return layer->depths;
    all.lo = fmin(all.lo, layer->depths.lo);
    all.hi = fmax(all.hi, layer->depths.hi);
  }
  return all;
}

/* Sums of the least figures at one depth.  A layer stands the thicker the more the wall bends about
 * it, and an offset keeps the order of the bends: one segment is the least in every layer, so that
 * the sum of the least figures is the least of the sums. */
static void least_at_depth(struct plan_overlay *overlay, double depth) {
  double sum_true = 0.0, sum_flat = 0.0, ridge = 0.0;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    if (depth < layer->layer->depths.lo || depth > layer->layer->depths.hi)
      continue;
    sum_true += layer->wall_true;
    sum_flat += layer->wall_flat;
    ridge += layer->ridge;
  }
  overlay->thickness_true = fmin(overlay->thickness_true, sum_true);
  overlay->thickness_flat = fmin(overlay->thickness_flat, sum_flat);
  overlay->ridge = fmax(overlay->ridge, ridge);
}

double overlay_next_edge(const struct plan_overlay *overlay, double depth, double deepest) {
  double next = deepest;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    struct range band = overlay->layers[k].layer->depths;
    if (band.lo > depth)
      next = fmin(next, band.lo);
    if (band.hi > depth)
      next = fmin(next, band.hi);
  }
  return next;
}

void overlay_thickness(struct plan_overlay *overlay) {
  struct range band = overlay_band(overlay->overlay);
  overlay->thickness_true = overlay->thickness_flat = HUGE_VAL;
  overlay->ridge = 0.0;
  for (double edge = band.lo; edge < band.hi;) {
    double next = overlay_next_edge(overlay, edge, band.hi);
    if (next - edge > CLAD_SAME_EDGE)
      least_at_depth(overlay, edge + (next - edge) / 2);
    edge = next;
  }
}
