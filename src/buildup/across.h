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

#endif
