/* shell.c - distance r of H from the shell's centre, by its square. */
#include "check/shell.h"

#include <math.h>

static double square_distance(const void *context, struct pose h) {
  const struct cell *cell = context;
  double x = h.x - cell->range_from.x, y = h.y - cell->range_from.y, z = h.z - cell->range_from.z;
  return x * x + y * y + z * z;
}

static const double NO_HOLE = -1e9; /* mm: room without end */

/* How far inside the hole.  A shell from 0 mm on is a ball: no chord can leave it inward. */
static double in_hole(const struct cell *cell, double r) {
  return cell->range_radius.lo > 0 ? cell->range_radius.lo - r : NO_HOLE;
}

void shell_values(const struct cell *cell, struct pose h, double values[2]) {
  double r = sqrt(square_distance(cell, h));
  values[0] = r - cell->range_radius.hi;
  values[1] = in_hole(cell, r);
}

static void away_from(const struct cell *cell, const struct jet_range *range,
                      struct range away[3]) {
  const double centre[3] = {cell->range_from.x, cell->range_from.y, cell->range_from.z};
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    struct range place = range->d[axis][0];
    away[axis] = (struct range){place.lo - centre[axis], place.hi - centre[axis]};
  }
}

void shell_bounds_rough(const struct cell *cell, const struct jet_range *range, double bounds[2]) {
  struct range away[3], square = {0, 0};
  away_from(cell, range, away);
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    double lo = away[axis].lo * away[axis].lo, hi = away[axis].hi * away[axis].hi;
    bool passes = away[axis].lo <= 0 && away[axis].hi >= 0;
    square.lo += passes ? 0 : lo < hi ? lo : hi;
    square.hi += lo > hi ? lo : hi;
  }
  bounds[0] = sqrt(square.hi) - cell->range_radius.hi;
  bounds[1] = in_hole(cell, sqrt(square.lo));
}

void shell_bounds(const struct cell *cell, const struct seen_stretch *stretch, double bounds[2]) {
  struct range away[3];
  away_from(cell, &stretch->jets->all, away);
  struct range square = square_range(stretch, away, square_distance, cell);
  bounds[0] = sqrt(square.hi) - cell->range_radius.hi;
  bounds[1] = in_hole(cell, sqrt(square.lo));
}

/* r rises with the distance of z from the centre's: it is largest at an end of what z passes, least
 * where z comes nearest. */
void shell_bounds_swung(const struct cell *cell, const struct swung *swung, double bounds[2]) {
  double up[2], down[2], near[2];
  struct jet_stretch jets = swung_carried(swung, swung->amplitude);
  struct seen_stretch stretch = {0, swung->duration, &jets};
  shell_bounds(cell, &stretch, up);
  jets = swung_carried(swung, -swung->amplitude);
  shell_bounds(cell, &stretch, down);
  jets = swung_nearest(swung, cell->range_from.z);
  shell_bounds(cell, &stretch, near);
  bounds[0] = fmax(up[0], down[0]);
  bounds[1] = near[1];
}
