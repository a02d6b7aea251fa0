/* sweep.h - a stretch of motion settled at one go. */
#ifndef CLEAR_SWEEP_H
#define CLEAR_SWEEP_H

#include "clear/part.h"

/* True only if the part's axis (a body: the body), at every shift, stays at least `distance` (> 0)
 * off metal over ta <= t <= tb of the piece.  False also where that takes a closer look. */
bool sweep_stays_off(const struct part *part, const struct metal *metal, const struct piece *piece,
                     double ta, double tb, double distance);

#endif
