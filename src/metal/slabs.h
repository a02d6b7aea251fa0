/* slabs.h - metal as a stack of slabs, each a cross-section times a range of heights. */
#ifndef METAL_SLABS_H
#define METAL_SLABS_H

#include "borelay/metal.h"
#include "metal/section.h"

struct slab {
  double z_lo, z_hi; /* cell; the lowest reaches to -INFINITY */
  struct section *section;
};

struct metal {
  const struct plan *plan;
  double face_z;      /* of the datum face */
  struct slab *slabs; /* from the lowest up, without gap; no metal above the last */
  size_t count;
};

/* Depths nearer than this count as one, mm. */
#define SLAB_LEAST 1e-7

struct metal_hit metal_no_hit(void);
/* Hit on a slab at distance, found by its section; on the face towards z when p lies within the
 * metal's cross-section. */
struct metal_hit slab_hit(const struct metal *metal, const struct slab *slab,
                          struct section_hit found, vec2 p, double z, double distance);

#endif
