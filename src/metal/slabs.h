/* slabs.h - metal as stacks of slabs, each a cross-section times a range of heights. */
#ifndef METAL_SLABS_H
#define METAL_SLABS_H

#include "metal/section.h"
#include "metal/sites.h"

/* Depths nearer than this count as one, mm. */
#define SLAB_LEAST 1e-7

struct slab {
  double z_lo, z_hi; /* cell; the lowest reaches to -INFINITY */
  struct section *section;
};

struct stack {
  struct slab *slabs; /* from the lowest up, without gap; no metal above the last */
  size_t count;
  size_t upper; /* from this one on they lie above the datum face */
};

/* What a stack is made of; layers: how many stand, for each overlay of the plan. */
struct stack_of {
  const struct plan *plan;
  const struct outlines *outlines;
  const struct site *site;
  const size_t *layers;
  bool nominal;
  /* Each NULL, or a stack of the site whose sections may serve: what stood there until now, or
   * stands in another metal of the same `nominal`. */
  const struct stack *known[2];
};
struct stack slabs_stack(struct arena *arena, const struct stack_of *of);

/* How far the slab's heights are from z_lo .. z_hi. */
double slab_gap(const struct slab *slab, double z_lo, double z_hi);
/* The hit on a slab at distance, found by its section; on the face towards z when p lies within the
 * metal's cross-section. */
struct metal_hit slab_hit(const struct plan *plan, const struct stack *stack,
                          const struct slab *slab, struct section_hit found, vec2 p, double z,
                          double distance);

/* The first of the slabs from `from` on whose top is not below z; the stack's count: none. */
size_t slabs_up_to(const struct stack *stack, size_t from, double z);

#endif
