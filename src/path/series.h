/* series.h - a quantity with its derivatives 1 .. 4 by time, as numbers and as ranges.
 *
 * The fourth derivative serves the bounds only: a third derivative (jerk) known at one instant and
 * a range of the fourth over a stretch enclose the jerk to second order in the stretch. */
#ifndef PATH_SERIES_H
#define PATH_SERIES_H

#include "borelay/job.h"

enum { SERIES_COUNT = 5 };

struct series {
  double d[SERIES_COUNT];
};
struct range_series {
  struct range d[SERIES_COUNT];
};

/* All axes of one piece at t, the derivatives 0 .. 4. */
struct axes_series {
  struct series axis[AXIS_COUNT];
};
struct piece;
struct axes_series piece_series(const struct piece *piece, double t);

#endif
