/* curves.h - the ways that pieces of motion take, each told once. */
#ifndef REPORT_CURVES_H
#define REPORT_CURVES_H

#include <stddef.h>
#include <stdio.h>

#include "borelay/path.h"

struct curve_set {
  char **texts;
  size_t count, room;
  size_t *slots; /* hash table of places in texts, from 1; 0: free */
  size_t slot_count;
};

/* Where the curve stands in the set, added if it is new.  Curves count as one when they differ in
 * nothing but the constant terms of their cubics, which each piece gives itself. */
size_t curve_set_index(struct curve_set *set, const struct curve *curve);
/* A JSON array of arrays: is_line, centre x y, direction x y (or radius, 0), rho, then the
 * coefficients 1..3 of turn, head and z. */
void curve_set_put(FILE *to, const struct curve_set *set);
void curve_set_release(struct curve_set *set);

#endif
