/* metal.c - distances from points and upright solids, and what was hit.
 *
 * Metal is the union of its slabs, each a product of a plane region and an interval; an upright
 * solid is such a product too.  The distance of two products is the hypotenuse of the distances of
 * their factors, so the least of those over the slabs is exact. */
#include "borelay/metal.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "metal/slabs.h"

struct metal_hit metal_no_hit(void) {
  return (struct metal_hit){.distance = HUGE_VAL, .kind = METAL_DATUM_FACE};
}

/* A free volume that ends at a height and holds p, tried on both sides of the face. */
static bool find_ended_volume(const struct metal *metal, vec2 p, double z, size_t *index) {
  const struct envelope *envelope = metal->plan->job->envelope;
  for (size_t s = 0; s < metal->count; s++) {
    const struct slab *slab = &metal->slabs[s];
    if (fabs(slab->z_lo - z) > SLAB_LEAST && fabs(slab->z_hi - z) > SLAB_LEAST)
      continue;
    for (size_t i = 0; i < envelope->volume_count; i++) {
      const struct loop *loop = section_find_loop(slab->section, ROLE_FREE, i);
      if (loop && loop_holds(loop, p)) {
        *index = i;
        return true;
      }
    }
  }
  return false;
}

struct metal_hit slab_hit(const struct metal *metal, const struct slab *slab,
                          struct section_hit found, vec2 p, double z, double distance) {
  struct metal_hit hit = {.distance = distance, .kind = METAL_DATUM_FACE};
  if (found.edge) {
    hit.kind = (enum metal_kind)found.edge->kind;
    hit.index = found.edge->index;
    return hit;
  }
  const struct section_loop *owner = section_owner(slab->section, p);
  double face = z > slab->z_lo ? slab->z_hi : slab->z_lo;
  hit.face = z > slab->z_lo ? METAL_FLOOR : METAL_SHOULDER;
  if (owner) {
    hit.kind = owner->role == ROLE_SOLID ? METAL_VOLUME : METAL_CLAD;
    hit.index = owner->index;
  } else if (fabs(face - metal->face_z) > SLAB_LEAST) {
    hit.kind = find_ended_volume(metal, p, face, &hit.index) ? METAL_VOLUME : METAL_PART;
  }
  return hit;
}

/* -- upright solids ------------------------------------------------------------- */

struct upright {
  vec2 a, b;
  double radius, z_lo, z_hi;
};

struct nearest {
  double distance;
  const struct slab *slab;
  struct section_hit found;
};

static double height_gap(const struct slab *slab, double z_lo, double z_hi) {
  if (slab->z_lo > z_hi)
    return slab->z_lo - z_hi;
  return z_lo > slab->z_hi ? z_lo - slab->z_hi : 0;
}

static void try_slab(const struct slab *slab, const struct upright *solid, double gap,
                     struct nearest *nearest) {
  double level = nearest->slab ? sqrt(nearest->distance * nearest->distance - gap * gap) : HUGE_VAL;
  struct section_hit found =
      section_distance(slab->section, solid->a, solid->b, level + solid->radius);
  if (isinf(found.distance))
    return;
  double free = found.distance > solid->radius ? found.distance - solid->radius : 0;
  double distance = gap > 0 ? num_hypot(free, gap) : free;
  if (distance < nearest->distance)
    *nearest = (struct nearest){distance, slab, found};
}

struct metal_hit metal_distance_upright(const struct metal *metal, vec2 a, vec2 b, double radius,
                                        double z_lo, double z_hi) {
  struct upright solid = {a, b, radius, z_lo, z_hi};
  struct nearest nearest = {.distance = HUGE_VAL};
  size_t first = 0, last = metal->count; /* slabs beside the solid: first .. last-1 */
  while (first < metal->count && metal->slabs[first].z_hi < z_lo)
    first++;
  while (last > first && metal->slabs[last - 1].z_lo > z_hi)
    last--;
  for (size_t i = first; i < last && nearest.distance > 0; i++)
    try_slab(&metal->slabs[i], &solid, 0, &nearest);
  for (size_t i = last; i < metal->count; i++) {
    double gap = height_gap(&metal->slabs[i], z_lo, z_hi);
    if (gap >= nearest.distance)
      break;
    try_slab(&metal->slabs[i], &solid, gap, &nearest);
  }
  for (size_t i = first; i > 0; i--) {
    double gap = height_gap(&metal->slabs[i - 1], z_lo, z_hi);
    if (gap >= nearest.distance)
      break;
    try_slab(&metal->slabs[i - 1], &solid, gap, &nearest);
  }
  if (!nearest.slab)
    return metal_no_hit();
  double z = z_lo > nearest.slab->z_hi ? z_lo : z_hi;
  vec2 p = a;
  if (nearest.found.edge && nearest.found.distance <= radius &&
      height_gap(nearest.slab, z_lo, z_hi) > 0) { /* it reaches past the edge, over a level face */
    p = section_beside(nearest.slab->section, nearest.found.edge, a);
    nearest.found.edge = NULL;
  }
  return slab_hit(metal, nearest.slab, nearest.found, p, z, nearest.distance);
}

bool metal_stays_off(const struct metal *metal, const struct metal_region *region, double radius,
                     double z_lo, double z_hi, double distance) {
  for (size_t i = 0; i < metal->count; i++) {
    double gap = height_gap(&metal->slabs[i], z_lo, z_hi);
    if (gap >= distance)
      continue;
    double level = gap > 0 ? sqrt((distance - gap) * (distance + gap)) : distance;
    if (!section_stays_off(metal->slabs[i].section, region, level + radius))
      return false;
  }
  return true;
}

struct metal_hit metal_distance_point(const struct metal *metal, vec3 point) {
  vec2 p = {point.x, point.y};
  return metal_distance_upright(metal, p, p, 0, point.z, point.z);
}

bool metal_contains(const struct metal *metal, vec3 point) {
  for (size_t i = 0; i < metal->count; i++)
    if (point.z <= metal->slabs[i].z_hi)
      return section_holds(metal->slabs[i].section, (vec2){point.x, point.y});
  return false;
}

const char *metal_hit_name(struct arena *arena, const struct metal *metal, struct metal_hit hit) {
  const struct plan *plan = metal->plan;
  switch (hit.kind) {
  case METAL_VOLUME: {
    static const char *const faces[] = {"wall", "floor", "shoulder"};
    const struct volume *volume = &plan->job->envelope->volumes[hit.index];
    if (volume->is_free)
      return arena_format(arena, "the %s of free %s", faces[hit.face], volume->shape->name);
    return arena_format(arena, "solid %s", volume->shape->name);
  }
  case METAL_CLAD:
    return arena_format(arena, "the clad of %s", plan->overlays[hit.index].overlay->name);
  case METAL_DATUM_FACE:
    return "the datum face";
  case METAL_PART:
    break;
  }
  return "the metal of the part";
}
