/* section.h - the cross-section of the metal within one slab.
 *
 * metal = (background or in a solid, and in no free) or in a strip of clad. */
#ifndef METAL_SECTION_H
#define METAL_SECTION_H

#include "borelay/metal.h"
#include "metal/loop.h"

enum loop_role {
  ROLE_FREE,
  ROLE_SOLID,
  ROLE_CLAD_WALL, /* the next one in the list is its ROLE_CLAD_FACE */
  ROLE_CLAD_FACE
};

struct section_loop {
  struct loop loop;
  enum loop_role role;
  size_t index;  /* of the volume or overlay */
  size_t layers; /* of a clad's face: how many stand there; else 0 */
};

/* Contours nearer than this run together, mm; a thousand times the rounding of coordinates of some
 * metres. */
#define SECTION_TOGETHER 1e-8

/* What is metal, from which loops hold a point. */
bool section_is_metal(const struct section_loop *loops, size_t count, bool background,
                      const bool *inside);

struct section;

/* loops: count of them, copied.  background: metal where no loop says otherwise. */
struct section *section_make(struct arena *arena, const struct section_loop *loops, size_t count,
                             bool background);
/* Whether it would come out of the same loops, told by their roles, indices and layers. */
bool section_is_of(const struct section *section, const struct section_loop *loops, size_t count,
                   bool background);
bool section_holds(const struct section *section, vec2 p);
/* Whether there is any metal at all. */
bool section_has_metal(const struct section *section);
/* The first free volume that holds p, if any does. */
bool section_find_free(const struct section *section, vec2 p, size_t *index);
/* First solid, or clad, that holds p; NULL when only the background does. */
const struct section_loop *section_owner(const struct section *section, vec2 p);

/* A point in the metal beside an edge of the boundary, next to the place of it that is nearest to
 * p: what owns it owns the metal along the whole edge. */
vec2 section_beside(const struct section *section, const struct edge *edge, vec2 p);

struct section_hit {
  double distance;         /* 0 in metal; INFINITY: nothing nearer than the cap */
  const struct edge *edge; /* the nearest; NULL when p lies in metal */
};
/* Distance of the straight segment p q to the metal where below cap. */
struct section_hit section_distance(const struct section *section, vec2 p, vec2 q, double cap);

/* The boundary's edge nearest to p where nearer than `within`; NULL: none. */
const struct edge *section_edge_beside(const struct section *section, vec2 p, double within);

/* Whether all within `reach` of the segment p q lies in one disc without metal that is known. */
bool section_is_open(const struct section *section, vec2 p, vec2 q, double reach);

/* What some part of the metal has been found to stay off one region by; all zero to begin with. */
enum { KNOWN_OFF_MOST = 4 };
struct known_off {
  struct known_one {
    const void *what;
    double distance;
  } of[KNOWN_OFF_MOST];
  size_t next;
};
/* Whether the region is in no metal and at least `distance` off its boundary, where that is plain.
 * Slabs share what they are made of: what is known of the same region is not asked again. */
bool section_stays_off(const struct section *section, const struct metal_region *region,
                       double distance, struct known_off *known);

#endif
