/* slabs.c - depths at which the metal changes, and the loops that hold between them. */
#include "metal/slabs.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"

struct depths {
  double *at;
  size_t count;
};

static int by_size(const void *a, const void *b) {
  const double *x = a, *y = b;
  return *x < *y ? -1 : *x > *y;
}

static void add_range(struct depths *depths, struct range range) {
  depths->at[depths->count++] = range.lo;
  depths->at[depths->count++] = range.hi;
}

/* The topmost standing layer whose band holds a depth, counted from 1; 0: none. */
static size_t layers_at(const struct plan_overlay *overlay, size_t standing, double depth) {
  for (size_t k = standing; k > 0; k--) {
    struct range band = overlay->layers[k - 1].layer->depths;
    if (band.lo <= depth && depth <= band.hi)
      return k;
  }
  return 0;
}

/* All depths of the envelope and the clad, and the datum face; rising, each once. */
static struct depths depths_find(struct arena *arena, const struct plan *plan,
                                 struct clad_state clad) {
  const struct envelope *envelope = plan->job->envelope;
  size_t room = 1 + 2 * envelope->volume_count;
  for (size_t i = 0; clad.layers && i < plan->overlay_count; i++)
    room += 2 * clad.layers[i];
  struct depths depths = {arena_alloc(arena, room, sizeof *depths.at), 0};
  depths.at[depths.count++] = 0;
  for (size_t i = 0; i < envelope->volume_count; i++)
    add_range(&depths, envelope->volumes[i].depths);
  for (size_t i = 0; clad.layers && i < plan->overlay_count; i++)
    for (size_t k = 0; k < clad.layers[i]; k++)
      add_range(&depths, plan->overlays[i].layers[k].layer->depths);
  qsort(depths.at, depths.count, sizeof *depths.at, by_size);
  size_t kept = 0;
  for (size_t i = 0; i < depths.count; i++)
    if (kept == 0 || depths.at[i] - depths.at[kept - 1] > SLAB_LEAST)
      depths.at[kept++] = depths.at[i];
  depths.count = kept;
  return depths;
}

static struct section_loop clad_face(struct arena *arena, const struct plan_overlay *overlay,
                                     size_t layers, bool nominal, size_t index) {
  const struct contour *contour = overlay->contour;
  double *thickness = arena_alloc(arena, contour->count, sizeof *thickness);
  for (size_t i = 0; i < contour->count; i++)
    thickness[i] = nominal ? plan_clad_nominal(overlay, layers)
                           : plan_clad_true(overlay, layers, &contour->segs[i]);
  return (struct section_loop){loop_make(arena, contour, thickness), ROLE_CLAD_FACE, index};
}

/* The cross-section at a depth within a slab. */
static struct section *section_at(struct arena *arena, const struct plan *plan,
                                  struct clad_state clad, double depth) {
  const struct envelope *envelope = plan->job->envelope;
  size_t count = 0, room = envelope->volume_count + 2 * plan->overlay_count;
  struct section_loop *loops = arena_alloc(arena, room + 1, sizeof *loops);
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    if (volume->depths.lo < depth && depth < volume->depths.hi)
      loops[count++] = (struct section_loop){loop_make(arena, plan->volume_contours[i], NULL),
                                             volume->is_free ? ROLE_FREE : ROLE_SOLID, i};
  }
  for (size_t i = 0; clad.layers && i < plan->overlay_count; i++) {
    const struct plan_overlay *overlay = &plan->overlays[i];
    size_t layers = layers_at(overlay, clad.layers[i], depth);
    if (layers == 0)
      continue;
    loops[count++] =
        (struct section_loop){loop_make(arena, overlay->contour, NULL), ROLE_CLAD_WALL, i};
    loops[count++] = clad_face(arena, overlay, layers, clad.nominal, i);
  }
  return section_make(arena, loops, count, depth > 0);
}

const struct metal *metal_make(struct arena *arena, const struct plan *plan,
                               struct clad_state clad) {
  struct depths depths = depths_find(arena, plan, clad);
  struct metal *metal = arena_alloc(arena, 1, sizeof *metal);
  metal->plan = plan;
  metal->face_z = plan->placement.at.z;
  metal->slabs = arena_alloc(arena, depths.count, sizeof *metal->slabs);
  double below = -HUGE_VAL, deepest = depths.at[depths.count - 1];
  for (size_t i = depths.count; i > 0; i--) {
    double depth = depths.at[i - 1], middle = depth + 1;
    if (depth < deepest)
      middle = 0.5 * (depth + depths.at[i]);
    struct slab *slab = &metal->slabs[metal->count++];
    *slab = (struct slab){below, metal->face_z - depth, section_at(arena, plan, clad, middle)};
    below = slab->z_hi;
  }
  return metal;
}
