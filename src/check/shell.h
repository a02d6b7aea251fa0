/* shell.h - distance of H from the shell that the cell states. */
#ifndef CHECK_SHELL_H
#define CHECK_SHELL_H

#include "borelay/path.h"

/* values[0]: how far H at t is outside the outer sphere; values[1]: how far inside the hole, mm. */
void shell_values(const struct cell *cell, const struct piece *piece, double t, double values[2]);
/* Upper bounds on both over ta <= t <= tb, whose enclosures are `jet`. */
void shell_bounds(const struct cell *cell, const struct piece *piece, double ta, double tb,
                  const struct jet_range *jet, double bounds[2]);

#endif
