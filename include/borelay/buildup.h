/* buildup.h - the metal that the motion leaves on the wall, place by place, by mass balance.
 *
 * Wire melts where the pool is while it feeds, so that all of the wire is on the wall and nothing
 * else is: slower pool in run-ups, steps, tie-ins, standing starts, wire that was drawn back and is
 * made good, downslopes without wire come out by themselves.  Model and proofs: docs/buildup.md.
 *
 * Places are s of the overlay's contour (mm, any number of turns off) and a depth (mm).  Areas mm2,
 * volumes mm3, thicknesses mm along the wall's normal.  Layers count from 0; "after n layers" are
 * layers 0 .. n - 1.  Of a rehearsal nothing lies there; of a weld that is taken up again only what
 * is laid from there on. */
#ifndef BORELAY_BUILDUP_H
#define BORELAY_BUILDUP_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/motion.h"

struct arena;
struct buildup;

/* What one overlay (of the plan, from 0) gets.  Never NULL; it may be asked by several threads at
 * once. */
const struct buildup *buildup_make(struct arena *arena, const struct motion *motion,
                                   size_t overlay);
size_t buildup_layer_count(const struct buildup *buildup);

/* True thickness after `layers` layers, normal to the wall. Cost: that of the beads near the depth.
 * Where the metal would fill a concave arc to its centre: its radius. */
double buildup_thickness(const struct buildup *buildup, size_t layers, double s, double depth);
/* Metal of one layer per area of the wall that it is laid on (the contour moved inward by the
 * layer's offset): its thickness as if the wall were flat. */
double buildup_flat(const struct buildup *buildup, size_t layer, double s, double depth);
/* Metal of one layer at s per length of its own wall, over all depths: the sum of the areas of the
 * beads there, and the integral of buildup_flat() over depth. */
double buildup_line(const struct buildup *buildup, size_t layer, double s);
/* Metal of one layer: the integral of buildup_line() along its own wall, in closed form. */
double buildup_volume(const struct buildup *buildup, size_t layer);
/* Wire of one layer, mm3: fed, less what was drawn back. */
double buildup_wire(const struct buildup *buildup, size_t layer);

/* Of the true thickness after all layers, over the band of the overlay, looked at in places evenly
 * spread a quarter of a bead apart, at most 400 by 400 (the least that counts is proved elsewhere:
 * plan_remaining_get()).  Inside: what counts for a requirement (docs/buildup.md, section 5), with
 * beads of at least the layers' least area on both sides within the pitch in every layer that lies
 * at that depth; in a band hardly wider than a bead there is none.  Edges: all else that has metal,
 * flanks and ends of beads.  Bare places are in neither. */
struct buildup_part {
  double share; /* of all places; 0: none, and the rest means nothing */
  double least, mean, most;
};
struct buildup_figures {
  struct buildup_part inside, edges;
  double most_s, most_depth; /* of the most inside */
};
struct buildup_figures buildup_figures_find(struct arena *scratch, const struct buildup *buildup);
/* Of one overlay of the plan; nothing unless the whole is welded.  For outputs: no check needs it,
 * so it is found only where it is told. */
struct buildup_figures buildup_figures_of(const struct motion *motion, size_t overlay);

/* Round the wall at one depth: least, mean over the shape's length and most of the true thickness,
 * looked at in `places` evenly spread places (for drawings: what lies between them is not bounded).
 */
struct buildup_ring {
  double least, mean, most;
};
struct buildup_ring buildup_ring(const struct buildup *buildup, size_t layers, double depth,
                                 size_t places);

#endif
