/* shell.h - distance of H from the shell that the cell states. */
#ifndef CHECK_SHELL_H
#define CHECK_SHELL_H

#include "check/square.h"

/* values[0]: how far H is outside the outer sphere; values[1]: how far inside the hole, mm. */
void shell_values(const struct cell *cell, struct pose h, double values[2]);
/* Upper bounds on both over a stretch: by the box that holds H, and closer ones. */
void shell_bounds_rough(const struct cell *cell, const struct jet_range *range, double bounds[2]);
void shell_bounds(const struct cell *cell, const struct seen_stretch *stretch, double bounds[2]);

/* The same while z sways. */
void shell_bounds_swung(const struct cell *cell, const struct swung *swung, double bounds[2]);

#endif
