/* part.h - the parts of the head, as solids of which the distance to metal is known. */
#ifndef CLEAR_PART_H
#define CLEAR_PART_H

#include "borelay/clear.h"

struct part {
  enum clear_part kind;
  size_t index;
  vec3 from, to; /* axis (out, left, up); a body: heights only */
  double radius; /* taken off the axis's distance; of a body: within the distance */
  double shift;  /* the head moves along the head angle by -shift .. +shift */
  double lever;  /* farthest of the shifted axis's points from the head axis */
};

struct part part_body(const struct cell *cell, size_t index, bool shifted);
struct part part_torch(const struct cell *cell, bool shifted);
struct part part_guard(const struct cell *cell, size_t index, bool shifted);
struct part part_electrode(const struct cell *cell);

/* Distance from the part's axis (a body: from the body) to metal, least over the shifts; never
 * above the truth and at most tolerance below it. */
struct metal_hit part_distance(const struct part *part, const struct metal *metal, struct pose pose,
                               double tolerance);

#endif
