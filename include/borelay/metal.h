/* metal.h - what is metal around the head: the envelope and the clad laid so far.
 *
 * Cell frame.  Metal is cut into slabs of constant cross-section by every depth at which a
 * volume begins or ends (and the datum face); in each slab the boundary of the metal is a set
 * of lines and arcs, found by cutting all contours at their meetings and keeping the pieces that
 * have metal on exactly one side. */
#ifndef BORELAY_METAL_H
#define BORELAY_METAL_H

#include "borelay/plan.h"

struct arena;
struct metal;

/* Which clad stands: for overlay i of the plan, layers 0 .. layers[i]-1. */
struct clad_state {
  const size_t *layers; /* plan->overlay_count figures */
  bool nominal;         /* at nominal thickness (for the electrode), else true */
};
const struct metal *metal_make(struct arena *arena, const struct plan *plan, struct clad_state clad);

/* Names for messages: which volume (index into the envelope), or which overlay's clad, or the
 * datum face, lies nearest. */
enum metal_kind { METAL_VOLUME, METAL_CLAD, METAL_DATUM_FACE };
struct metal_hit {
  double distance; /* mm, >= 0; 0 inside metal; INFINITY when there is no metal */
  enum metal_kind kind;
  size_t index;
};
bool metal_contains(const struct metal *metal, vec3 point);
struct metal_hit metal_distance_point(const struct metal *metal, vec3 point);
/* Distance from a segment (a line in space) to metal: exact within tolerance, never above the truth. */
struct metal_hit metal_distance_segment(const struct metal *metal, vec3 a, vec3 b, double tolerance);
/* Distance from an upright solid: the points (x, y, z) with (x, y) on the segment a b and
 * z_lo <= z <= z_hi.  Exact. */
struct metal_hit metal_distance_upright(const struct metal *metal, vec2 a, vec2 b, double z_lo,
                                        double z_hi);

#endif
