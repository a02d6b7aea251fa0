/* Where a stretch of wall comes within the radius of a cross bore.
 *
 * F(x) = distance^2 from the axis - radius^2.  Its second derivative is at most
 *     M = 2 (1 + sink^2) + 2 D / R,      D the distance, R the bend's radius (no such term on a
 * line), on either side of the plane through the ray's end, where F' has no jump.  So over a
 * stretch of half length h about its middle m |F(m)| > |F'(m)| h + M h^2/2    leaves no root,
 *     |F'(m)| > M h                   leaves one at most, which the signs at the ends tell;
 * otherwise the stretch is halved.  What is left at 1e-10 mm is a touch, without breadth.  Roots
 * are then found by bisection to the last bit: nothing is sampled (docs/plan.md).
 *
 * A lap may run along the edge itself: a straight side beside the axis, a round wall behind the
 * ray's end.  A stretch on which nothing is farther from the edge than ALONG_EDGE,
 *     |F(m)| + |F'(m)| h + M h^2/2 <= 2 radius ALONG_EDGE,
 * is not halved further; on the very edge is outside.
 *
 * A tip that sways by A to either side is near the axis where any place of its sway is: w, the
 * distance in depth, then counts less A and no less than 0.  F' still has no jump, and its slope
 * stays within M.  Where all of the sway has to be near, both its ends have to. */
#include <math.h>

#include "borelay/num.h"
#include "plan/zones.h"

static const double SHORTEST = 1e-10;  /* mm */
static const double ALONG_EDGE = 1e-7; /* mm */
static const double VERY_EDGE = 1e-9;  /* mm: rounding */

struct bore_search {
  const struct contour *contour;
  const struct bore_axis *axis;
  const struct wall_piece *piece;
  struct stretches inside;
};

struct nearness {
  double value, slope; /* F, F' */
  double distance;     /* from the axis */
};

/* What is left of the distance in depth to a tip that sways. */
static double less_sway(double w, double sway) {
  return w > sway ? w - sway : w < -sway ? w + sway : 0;
}

static struct nearness nearness_at(const struct bore_search *search, double x) {
  const struct wall_piece *piece = search->piece;
  const struct bore_axis *axis = search->axis;
  double s = piece->seg->s0 + piece->into + piece->dir * x;
  struct contour_point at = contour_at(search->contour, s, 0);
  vec2 way = {-piece->dir * at.normal.y, piece->dir * at.normal.x}; /* direction of travel */
  vec2 arm = vec2_sub(at.at, axis->from);
  double u = vec2_dot(arm, axis->toward), v = vec2_cross(axis->toward, arm);
  double w = piece->depth + piece->sink * x - axis->depth;
  w = less_sway(w, axis->sway);
  double u_way = vec2_dot(way, axis->toward), v_way = vec2_cross(axis->toward, way);
  double square = v * v + w * w, slope = 2 * (v * v_way + w * piece->sink);
  if (u < 0) { /* behind the ray's end, which is then the nearest place of it */
    square += u * u;
    slope += 2 * u * u_way;
  }
  return (struct nearness){square - axis->radius * axis->radius, slope, sqrt(square)};
}

/* x between a and b at which F changes its sign. */
static double crossing_find(const struct bore_search *search, double a, double b) {
  bool inside_a = nearness_at(search, a).value < 0;
  for (;;) {
    double m = a + (b - a) / 2;
    if (m <= a || m >= b)
      return m;
    if ((nearness_at(search, m).value < 0) == inside_a)
      a = m;
    else
      b = m;
  }
}

static void monotone_settle(struct bore_search *search, double a, double b) {
  bool inside_a = nearness_at(search, a).value < 0, inside_b = nearness_at(search, b).value < 0;
  if (inside_a && inside_b)
    stretches_add(&search->inside, a, b);
  else if (inside_a)
    stretches_add(&search->inside, a, crossing_find(search, a, b));
  else if (inside_b)
    stretches_add(&search->inside, crossing_find(search, a, b), b);
}

static void bore_search_stretch(struct bore_search *search, double a, double b) {
  const struct wall_piece *piece = search->piece;
  double m = a + (b - a) / 2, h = (b - a) / 2, rate = 1 + piece->sink * piece->sink;
  struct nearness at = nearness_at(search, m);
  double bend = piece->seg->turn == 0 ? 0 : 1 / piece->seg->radius;
  double curve = 2 * rate + 2 * (at.distance + h * sqrt(rate)) * bend;
  double change = fabs(at.slope) * h + curve * h * h / 2, across = 2 * search->axis->radius;
  if (fabs(at.value) > change || h < SHORTEST) {
    if (at.value < 0)
      stretches_add(&search->inside, a, b);
  } else if (fabs(at.slope) > curve * h) {
    monotone_settle(search, a, b);
  } else if (fabs(at.value) + change <= across * ALONG_EDGE) {
    if (at.value < -across * VERY_EDGE)
      stretches_add(&search->inside, a, b);
  } else {
    bore_search_stretch(search, a, m);
    bore_search_stretch(search, m, b);
  }
}

struct stretches bore_cut(const struct plan_site *site, const struct bore_axis *axis,
                          const struct wall_piece *piece) {
  if (axis->sway < 0) { /* both ends */
    struct bore_axis deep = *axis, shallow = *axis;
    deep.sway = shallow.sway = 0;
    deep.depth += axis->sway;
    shallow.depth -= axis->sway;
    struct stretches a = bore_cut(site, &deep, piece), b = bore_cut(site, &shallow, piece);
    return stretches_meet(&a, &b);
  }
  struct bore_search search = {site->contour, axis, piece, {.arena = site->arena}};
  if (axis->radius > 0)
    bore_search_stretch(&search, 0, piece->length);
  return search.inside;
}
