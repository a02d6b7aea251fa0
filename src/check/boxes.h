/* boxes.h - how far H is from the boxes that it must stay out of. */
#ifndef CHECK_BOXES_H
#define CHECK_BOXES_H

#include "borelay/path.h"

/* Distance of H from the nearest box, mm; inside one, less the depth: how far it is to that box's
 * nearest face.  +infinite where there are no boxes.  *nearest (may be NULL): the box. */
double boxes_distance(const struct cell *cell, struct pose h, const struct keep_out **nearest);
/* Lower bound on it over ta <= t <= tb, whose enclosures are `jet`. */
double boxes_bound(const struct cell *cell, const struct piece *piece, double ta, double tb,
                   const struct jet_range *jet);

#endif
