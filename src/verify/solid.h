/* solid.h - the metal: envelope and clad as slabs, each with one cross-section, and distances to
 * it.
 *
 * Part frame.  A distance is exact or less than the true one, never more: where volumes overlap the
 * boundary that is kept may hold up to 0.002 mm of edge that is none (solid.c). */
#ifndef VERIFY_SOLID_H
#define VERIFY_SOLID_H

#include "verify/lay.h"

/* A volume in a slab. */
struct cut {
  const struct wall *wall;
  bool is_free;
  bool is_round; /* the wall is one whole arc, the bore within */
  bool is_rim;   /* and all of it is the metal's boundary; then it is not among the slab's edges */
};

struct slab {
  double bottom, top; /* z; bottom -INFINITY for the lowest */
  struct edge *edges; /* a part of each is the metal's boundary in this slab */
  size_t edge_count;
  bool has_border;  /* edges or rims */
  struct cut *cuts; /* in the order of the job */
  size_t cut_count;
  bool is_below_datum; /* what no free volume takes is metal */
};

struct clad;

struct solid {
  const struct job *job;
  const struct lay_stack *stack;
  struct slab *slabs; /* rising, each on the one before */
  size_t slab_count;
  struct arena *arena;
  struct clad **clads; /* made when first asked for: of the layers of one overlay up to this one of
                          the stack, at true and at nominal thickness */
};
struct solid *solid_make(struct arena *arena, const struct job *job, const struct lay_stack *stack);
/* Heights rising, each told once; how many are left. */
size_t solid_sort_heights(double *z, size_t count);

/* Which clad stands: the first `layers` of the stack; true or nominal thickness. */
struct standing {
  size_t layers;
  bool is_nominal;
};
/* Distance from an upright segment (x, y, z from .. to) thickened by `radius`, to the metal; 0 or
 * less where they meet. */
double solid_distance(const struct solid *solid, struct standing standing, vec2 at, double z_from,
                      double z_to, double radius);

#endif
