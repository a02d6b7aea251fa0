/* uneven.h - pieces on which turn, head and z are cubics in time, but arcs are not gone round at an
 * even rate: the run-up and run-down on an arc, rounded joints. */
#ifndef PATH_UNEVEN_H
#define PATH_UNEVEN_H

#include "path/even.h"

/* timed_make() made `timed`, and the piece is guided by an arc or carried by a head that turns. */
void uneven_stretch(const struct piece *piece, const struct timed *timed, double ta, double tb,
                    struct jet_stretch *stretch);

#endif
