/* clear.h - least distance between the moving head and metal, proved over continuous motion.
 *
 * The distance D(t) from a moving body to any fixed set obeys D'' <= speed^2 / D + accel, so
 * between two instants it cannot fall below the chord by more than that times dt^2 / 8; and it
 * cannot fall faster than speed.  Both bounds are used (docs/clearance.md). */
#ifndef BORELAY_CLEAR_H
#define BORELAY_CLEAR_H

#include "borelay/metal.h"
#include "borelay/motion.h"

enum clear_part { CLEAR_BODY, CLEAR_TORCH, CLEAR_GUARD, CLEAR_ELECTRODE };

struct clear_result {
  double distance; /* least distance found, less what the controller's chords between rows may
                      cost; within 0.01 mm of the truth and never above it; may be < 0 only in that
                      margin; INFINITY when nothing was judged */
  double t;        /* s, where */
  struct pose pose;
  enum clear_part part;
  size_t part_index; /* of the body or guard */
  struct metal_hit metal;
};

struct clear_parts {
  bool bodies, torch, electrode; /* torch: torch body and guards */
  bool shifted;                  /* for every shift within the cell's correction (never the electrode) */
};

/* Judges one piece and lowers *worst where it finds less.  margin_of: results are compared as distance
 * minus the wanted clearance of their part only by the caller; this works on plain distance of the parts
 * asked for.  floor: stop refining below this distance (pass -INFINITY for the true minimum). */
void clear_piece(const struct cell *cell, const struct metal *metal, const struct piece *piece,
                 struct clear_parts parts, struct clear_result *worst);

#endif
