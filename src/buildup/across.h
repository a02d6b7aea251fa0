/* across.h - beads side by side at one place of the lap: how high the metal stands at a depth. */
#ifndef BUILDUP_ACROSS_H
#define BUILDUP_ACROSS_H

#include <stddef.h>

struct bead {
  double centre; /* depth, mm */
  double width;  /* mm, > 0 */
  double area;   /* mm2, >= 0 */
};

/* In order of their centres.  Area per width at `depth`, mm, >= 0; its integral over depth is the
 * sum of the areas.  Only beads nearer than across_reach() have to be among them. */
double across_height(const struct bead *beads, size_t count, double depth);
double across_reach(double width);

/* The same at rising depths of beads of one width, and the beads near each. */
struct across_place {
  const struct bead *beads;
  size_t count, behind; /* behind: how many are not deeper */
  double height;
};
void across_heights(const struct bead *beads, size_t count, const double *depths, size_t places,
                    struct across_place *found);

#endif
