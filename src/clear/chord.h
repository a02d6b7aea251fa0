/* chord.h - what the controller's straight runs from row to row may take off a distance. */
#ifndef CLEAR_CHORD_H
#define CLEAR_CHORD_H

#include "borelay/path.h"

/* Upper bound (mm) on how far a point carried at most `lever` from the head axis may lie, on any
 * chord of a tick's length that begins or ends within pieces[at], from some place that the motion
 * itself brings it to within the same tick.  pieces: count consecutive ones. */
double chord_cost(const struct piece *pieces, size_t count, size_t at, double tick, double lever);

#endif
