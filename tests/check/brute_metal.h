/* brute_metal.h - metal from the words of the job file alone, plain and slow: a judge from outside.
 *
 * Part frame, mm.  Shares no code and no idea with src/metal: no contour is cut at another, no edge
 * sorted; docs/language.md, envelope, and docs/semantics.md, Deposit, for the clad. */
#ifndef TESTS_CHECK_BRUTE_METAL_H
#define TESTS_CHECK_BRUTE_METAL_H

#include "check/brute_slab.h"

enum { BRUTE_SLABS = 64, BRUTE_OVERLAYS = 4 };
struct brute_metal {
  size_t layers[BRUTE_OVERLAYS]; /* standing */
  bool nominal;
  struct brute_slab slabs[BRUTE_SLABS]; /* from above */
  size_t count;
};

struct brute_part { /* the part's shapes, once for all moments */
  const struct plan *plan;
  struct brute_shape volumes[BRUTE_LISTED], walls[BRUTE_OVERLAYS];
  double spacing, least_radius;
};

static inline struct brute_part *brute_part_make(const struct plan *plan, double spacing) {
  struct brute_part *part = calloc(1, sizeof *part);
  assert_non_null(part);
  *part = (struct brute_part){.plan = plan, .spacing = spacing, .least_radius = HUGE_VAL};
  const struct envelope *envelope = plan->job->envelope;
  assert_true(envelope->volume_count <= BRUTE_LISTED && plan->overlay_count <= BRUTE_OVERLAYS);
  for (size_t i = 0; i < envelope->volume_count; i++) {
    brute_shape_make(&part->volumes[i], envelope->volumes[i].shape);
    part->least_radius = fmin(part->least_radius, part->volumes[i].least_radius);
  }
  for (size_t i = 0; i < plan->overlay_count; i++)
    brute_shape_make(&part->walls[i], plan->overlays[i].overlay->wall);
  return part;
}

static inline size_t brute_layers_at(const struct plan_overlay *overlay, size_t standing,
                                     double depth) {
  for (size_t k = standing; k > 0; k--)
    if (overlay->layers[k - 1].layer->depths.lo < depth &&
        depth < overlay->layers[k - 1].layer->depths.hi)
      return k;
  return 0;
}

static inline void brute_slab_make(struct brute_slab *slab, struct brute_part *part,
                                   const struct brute_metal *metal, double depth) {
  const struct envelope *envelope = part->plan->job->envelope;
  slab->below_face = depth > 0;
  for (size_t i = 0; i < envelope->volume_count; i++) {
    if (!(envelope->volumes[i].depths.lo < depth && depth < envelope->volumes[i].depths.hi))
      continue;
    if (envelope->volumes[i].is_free)
      slab->frees[slab->free_count++] = &part->volumes[i];
    else
      slab->solids[slab->solid_count++] = &part->volumes[i];
  }
  for (size_t i = 0; i < part->plan->overlay_count; i++) {
    const struct plan_overlay *overlay = &part->plan->overlays[i];
    size_t layers = brute_layers_at(overlay, metal->layers[i], depth);
    if (layers == 0)
      continue;
    struct brute_strip *strip = &slab->strips[slab->strip_count++];
    strip->wall = &part->walls[i];
    for (size_t k = 0; k < strip->wall->count; k++) {
      const struct brute_seg *seg = &strip->wall->segs[k];
      strip->thickness[k] = brute_clad(overlay, layers, metal->nominal, seg);
      if (seg->turn > 0)
        part->least_radius = fmin(part->least_radius, seg->radius - strip->thickness[k]);
    }
  }
  brute_slab_fill(slab, part->spacing);
}

static inline int brute_rising(const void *a, const void *b) {
  const double *x = a, *y = b;
  return (*x > *y) - (*x < *y);
}

static inline struct brute_metal *brute_metal_make(struct brute_part *part, const size_t *layers,
                                                   bool nominal) {
  struct brute_metal *metal = calloc(1, sizeof *metal);
  assert_non_null(metal);
  metal->nominal = nominal;
  double depths[BRUTE_SLABS] = {0};
  size_t count = 1;
  const struct envelope *envelope = part->plan->job->envelope;
  for (size_t i = 0; i < envelope->volume_count; i++) {
    depths[count++] = envelope->volumes[i].depths.lo;
    depths[count++] = envelope->volumes[i].depths.hi;
  }
  for (size_t i = 0; i < part->plan->overlay_count; i++) {
    metal->layers[i] = layers[i];
    for (size_t k = 0; k < layers[i]; k++) {
      depths[count++] = part->plan->overlays[i].layers[k].layer->depths.lo;
      depths[count++] = part->plan->overlays[i].layers[k].layer->depths.hi;
    }
  }
  qsort(depths, count, sizeof *depths, brute_rising);
  for (size_t i = 0; i < count; i++) {
    double next = i + 1 < count ? depths[i + 1] : depths[i] + 1e6;
    if (next - depths[i] < 1e-6)
      continue;
    struct brute_slab *slab = &metal->slabs[metal->count++];
    slab->z_hi = -depths[i];
    slab->z_lo = -next;
    brute_slab_make(slab, part, metal, i + 1 < count ? (depths[i] + next) / 2 : depths[i] + 1);
  }
  return metal;
}

static inline void brute_metal_free(struct brute_metal *metal) {
  for (size_t i = 0; i < metal->count; i++) {
    free(metal->slabs[i].points);
    free(metal->slabs[i].balls);
  }
  free(metal);
}

#endif
