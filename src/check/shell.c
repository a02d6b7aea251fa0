/* shell.c - distance r of H from the shell's centre, by its square. */
#include "check/shell.h"

#include <math.h>

#include "check/square.h"

static double square_distance(const struct cell *cell, const struct piece *piece, double t) {
  struct pose h = piece_at(piece, t);
  double x = h.x - cell->range_from.x, y = h.y - cell->range_from.y, z = h.z - cell->range_from.z;
  return x * x + y * y + z * z;
}

void shell_values(const struct cell *cell, const struct piece *piece, double t, double values[2]) {
  double r = sqrt(square_distance(cell, piece, t));
  values[0] = r - cell->range_radius.hi;
  values[1] = cell->range_radius.lo - r;
}

void shell_bounds(const struct cell *cell, const struct piece *piece, double ta, double tb,
                  const struct jet_range *jet, double bounds[2]) {
  const double centre[3] = {cell->range_from.x, cell->range_from.y, cell->range_from.z};
  struct range away[3], speed[3];
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    struct range place = jet->d[axis][0];
    away[axis] = (struct range){place.lo - centre[axis], place.hi - centre[axis]};
    speed[axis] = jet->d[axis][1];
  }
  const double known[3] = {square_distance(cell, piece, ta),
                           square_distance(cell, piece, ta + (tb - ta) / 2),
                           square_distance(cell, piece, tb)};
  struct range square = square_range(away, speed, known, tb - ta);
  bounds[0] = sqrt(square.hi) - cell->range_radius.hi;
  bounds[1] = cell->range_radius.lo - sqrt(square.lo);
}
