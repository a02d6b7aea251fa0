/* near.h - how far parts of a standing head are from metal. */
#ifndef VERIFY_NEAR_H
#define VERIFY_NEAR_H

#include "borelay/num.h"
#include "verify/solid.h"

#define NEAR_FINEST 0.0005 /* mm: nothing is looked at closer */

enum group_id { GROUP_BODIES, GROUP_TORCH, GROUP_ELECTRODE, GROUP_COUNT };

struct look {
  const struct cell *cell;
  const struct solid *solid;
  struct standing standing; /* what counts as metal */
  enum group_id id;
  double limit; /* what is asked for, mm: more room than needed to tell is not told exactly */
  double shift; /* mm to either side along the torch */
  vec2 h;       /* part frame */
  double z;
  struct sincos torch;
};

/* Least distance of the group for every shift, never above the truth unless it is below -1 mm: then
 * only that it is is sure. */
double look_distance(const struct look *look);

#endif
