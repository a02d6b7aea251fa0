/* hit.c - what was hit, and its name. */
#include <math.h>

#include "borelay/arena.h"
#include "metal/state.h"

/* A free volume that ends at a height and holds p, tried on both sides of the face. */
static bool find_ended_volume(const struct stack *stack, vec2 p, double z, size_t *index) {
  for (size_t s = 0; s < stack->count; s++) {
    const struct slab *slab = &stack->slabs[s];
    bool ends_there = fabs(slab->z_lo - z) <= SLAB_LEAST || fabs(slab->z_hi - z) <= SLAB_LEAST;
    if (ends_there && section_find_free(slab->section, p, index))
      return true;
  }
  return false;
}

struct metal_hit slab_hit(const struct plan *plan, const struct stack *stack,
                          const struct slab *slab, struct section_hit found, vec2 p, double z,
                          double distance) {
  struct metal_hit hit = {.distance = distance, .kind = METAL_DATUM_FACE};
  if (found.edge) {
    hit.kind = found.edge->kind;
    hit.index = found.edge->index;
    return hit;
  }
  const struct section_loop *owner = section_owner(slab->section, p);
  double face_z = plan->placement.at.z;
  double face = z > slab->z_lo ? slab->z_hi : slab->z_lo;
  hit.face = z > slab->z_lo ? METAL_FLOOR : METAL_SHOULDER;
  if (owner) {
    hit.kind = owner->role == ROLE_SOLID ? METAL_VOLUME : METAL_CLAD;
    hit.index = owner->index;
  } else if (fabs(face - face_z) > SLAB_LEAST) {
    hit.kind = find_ended_volume(stack, p, face, &hit.index) ? METAL_VOLUME : METAL_PART;
  } else if (z < face_z - SLAB_LEAST) {
    hit.kind = METAL_PART; /* all of it below the face, in the metal */
  }
  return hit;
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
