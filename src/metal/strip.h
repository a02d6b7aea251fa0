/* strip.h - all within some distance of a straight segment. */
#ifndef METAL_STRIP_H
#define METAL_STRIP_H

#include "metal/edge.h"

struct strip {
  vec2 a, b;
  double half; /* mm, how far from the segment a b */
};

/* A strip that holds count > 0 edges; thin where they follow one another along a wall. */
struct strip strip_of(const struct edge *edges, size_t count);

/* One that holds both. */
struct strip strip_join(const struct strip *a, const struct strip *b);

/* Distances from p: no point of the strip is nearer, none farther. */
double strip_nearest(const struct strip *strip, vec2 p);
double strip_farthest(const struct strip *strip, vec2 p);

#endif
