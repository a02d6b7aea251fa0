/* nearest.h - where, within the plane of a section, the head lies nearest to metal. */
#ifndef DRAW_NEAREST_H
#define DRAW_NEAREST_H

#include "draw/stack.h"

struct nearest {
  double distance;  /* mm; HUGE_VAL: no metal */
  vec2 head, metal; /* (out, depth) of both ends */
  const char *part; /* of the head: a body's name, or "torch body" */
  bool is_body;
};
/* z: of H above the datum face.  Bodies, guards in their own turn of the plane, torch body. */
struct nearest nearest_find(const struct cell *cell, double z, const struct slab_part *parts,
                            size_t count);

#endif
