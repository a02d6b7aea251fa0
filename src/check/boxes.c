/* boxes.c - distance of H from boxes, at an instant and over a stretch.
 *
 * With g_i = max(lo_i - h_i, h_i - hi_i), how far H is outside the box's slab on axis i, the
 * distance is S(g): the root of the sum of squares of what is positive, or the largest g where
 * nothing is.  S never falls as a g grows.  Two lower bounds, both in docs/checks.md:
 *   - S of the least g of each axis: exact for motion level along a face, or square to it;
 *   - by the square: outside, dist^2 = sum of c_i^2, c_i = h_i less its nearest place in [lo, hi]:
 *     (c_i^2)' = 2 c_i h_i'.  Its excess falls with the square of the stretch, at an edge or a
 * corner too, where the first one's falls only with the stretch. */
#include "check/boxes.h"

#include <math.h>

struct sides {
  double lo[3], hi[3];
};

static struct sides sides_of(const struct keep_out *box) {
  return (struct sides){{box->lo.x, box->lo.y, box->lo.z}, {box->hi.x, box->hi.y, box->hi.z}};
}

/* What is left of h beyond the nearest place in [lo, hi]. */
static double beyond(double lo, double hi, double h) {
  return h < lo ? h - lo : h > hi ? h - hi : 0;
}

static double distance_from(const double outside[3]) {
  double square = 0, most = -HUGE_VAL;
  for (int i = 0; i < 3; i++) {
    square += outside[i] > 0 ? outside[i] * outside[i] : 0;
    most = most > outside[i] ? most : outside[i];
  }
  return most > 0 ? sqrt(square) : most;
}

static double box_distance(const struct keep_out *box, struct pose at) {
  struct sides sides = sides_of(box);
  const double h[3] = {at.x, at.y, at.z};
  double outside[3];
  for (int i = 0; i < 3; i++)
    outside[i] = fmax(sides.lo[i] - h[i], h[i] - sides.hi[i]);
  return distance_from(outside);
}

static double square_distance(const void *context, struct pose at) {
  const struct sides *sides = context;
  const double h[3] = {at.x, at.y, at.z};
  double square = 0;
  for (int i = 0; i < 3; i++) {
    double c = beyond(sides->lo[i], sides->hi[i], h[i]);
    square += c * c;
  }
  return square;
}

/* The least of max(lo - h, h - hi) over a range of h: at the end nearer to the slab's middle, or
 * there. */
static double outside_least(double lo, double hi, struct range h) {
  double middle = lo + (hi - lo) / 2;
  double nearest = middle < h.lo ? h.lo : middle > h.hi ? h.hi : middle;
  return lo - nearest > nearest - hi ? lo - nearest : nearest - hi;
}

static double box_bound_rough(const struct sides *sides, const struct jet_range *range) {
  double outside[3];
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++)
    outside[axis] = outside_least(sides->lo[axis], sides->hi[axis], range->d[axis][0]);
  return distance_from(outside);
}

static double box_bound_by_square(const struct sides *sides, const struct seen_stretch *stretch) {
  struct range away[3];
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    struct range h = stretch->jets->all.d[axis][0];
    double lo = sides->lo[axis], hi = sides->hi[axis];
    away[axis] = (struct range){beyond(lo, hi, h.lo), beyond(lo, hi, h.hi)};
  }
  return sqrt(square_range(stretch, away, square_distance, sides).lo);
}

static double box_bound(const struct keep_out *box, const struct seen_stretch *stretch) {
  struct sides sides = sides_of(box);
  double bound = box_bound_rough(&sides, &stretch->jets->all);
  if (bound <= 0) /* perhaps inside, where the square says nothing */
    return bound;
  return fmax(bound, box_bound_by_square(&sides, stretch));
}

double boxes_distance(const struct cell *cell, struct pose h, const struct keep_out **nearest) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < cell->keep_out_count; i++) {
    double distance = box_distance(&cell->keep_outs[i], h);
    if (!(distance < least))
      continue;
    least = distance;
    if (nearest)
      *nearest = &cell->keep_outs[i];
  }
  return least;
}

double boxes_bound_rough(const struct cell *cell, const struct jet_range *range) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < cell->keep_out_count; i++) {
    struct sides sides = sides_of(&cell->keep_outs[i]);
    least = fmin(least, box_bound_rough(&sides, range));
  }
  return least;
}

double boxes_bound(const struct cell *cell, const struct seen_stretch *stretch) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < cell->keep_out_count; i++)
    least = fmin(least, box_bound(&cell->keep_outs[i], stretch));
  return least;
}

/* How far z lies outside the box's slab falls toward its middle, and the distance with that. */
double boxes_bound_swung(const struct cell *cell, const struct swung *swung) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < cell->keep_out_count; i++) {
    const struct keep_out *box = &cell->keep_outs[i];
    struct jet_stretch jets = swung_nearest(swung, box->lo.z + (box->hi.z - box->lo.z) / 2);
    struct seen_stretch stretch = {0, swung->duration, &jets};
    least = fmin(least, box_bound(box, &stretch));
  }
  return least;
}
