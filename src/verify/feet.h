/* feet.h - the nearest places of a wall to many points in a row, all on one of its edges: bit for
 * bit what wall_foot() finds for each. */
#ifndef VERIFY_FEET_H
#define VERIFY_FEET_H

#include "verify/block.h"

/* The point's place in the frame of the edge, and by how much it is sure that the foot is within
 * the edge: positive, or it is not.  feet.c's own. */
struct beside {
  double x[BLOCK_ROWS], y[BLOCK_ROWS]; /* from the arc's centre; of a line x is along it */
  double least[BLOCK_ROWS];            /* distance from the edge */
  double sure[BLOCK_ROWS];
};

struct feet {
  double s[BLOCK_ROWS];                              /* as in struct foot */
  double inside[BLOCK_ROWS];                         /* mm from the wall, positive in the bore */
  double normal_x[BLOCK_ROWS], normal_y[BLOCK_ROWS]; /* into the metal */
  struct beside beside;
};
/* How many of the points, from the first on, have their foot within the edge that is nearest to
 * the first one: known for sure, without a look at the other edges.  0: look at the first one
 * alone. */
size_t feet_find(const struct wall *wall, const double *x, const double *y, size_t count,
                 struct feet *feet);

#endif
