/* boxes.h - how far H is from the boxes that it must stay out of. */
#ifndef CHECK_BOXES_H
#define CHECK_BOXES_H

#include "check/square.h"

/* Distance of H from the nearest box, mm; inside one, less the depth: how far it is to that box's
 * nearest face.  +infinite where there are no boxes.  *nearest (may be NULL): the box. */
double boxes_distance(const struct cell *cell, struct pose h, const struct keep_out **nearest);
/* Lower bounds on it over a stretch: by the box that holds H, and a closer one. */
double boxes_bound_rough(const struct cell *cell, const struct jet_range *range);
double boxes_bound(const struct cell *cell, const struct seen_stretch *stretch);
/* The closer one while z sways. */
double boxes_bound_swung(const struct cell *cell, const struct swung *swung);

#endif
