/* apart.h - the largest distance between two ways of the tip. */
#ifndef COMPARE_APART_H
#define COMPARE_APART_H

#include "compare/tip_course.h"

/* No place of either way is farther than `distance` + APART_SURE from the other way, and the place
 * told is at least `distance` - APART_SURE away from it. */
struct apart {
  bool is_there; /* both ways hold something */
  double distance;
  int side;                  /* of which way that place is: 0 or 1 */
  vec3 at;                   /* part frame */
  double t;                  /* s, of its stream */
  const struct phase *phase; /* of its motion */
};
#define APART_SURE 0.01 /* mm */

struct apart apart_find(struct arena *arena, const struct tip_course *first,
                        const struct tip_course *second);

#endif
