/* figures.h - the figures of a point that programs get, under the same names in CSV and JSON. */
#ifndef GRID_FIGURES_H
#define GRID_FIGURES_H

#include "borelay/grid.h"

struct figure {
  const char *name;
  double value; /* NAN: not known */
  bool is_count;
};
enum { FIGURE_COUNT = 15 };
void figures_of(const struct grid_point *point, struct figure figures[FIGURE_COUNT]);

#endif
