/* The least distance of two curves is taken where they cross, at an end of either, or where both
 * have one perpendicular: between lines that are not parallel there is none, between arcs it is the
 * line through both centres, between a line and an arc the one from the arc's centre. */
#include "shape/approach.h"

#include <math.h>

#include "borelay/num.h"
#include "shape/crossing.h"
#include "shape/segments.h"

static vec2 point_at(const struct contour_seg *seg, double u) {
  return seg_point(seg, u, 0).at;
}

static void approach_take(struct approach *best, double distance, double u_a, double u_b) {
  if (distance < best->distance)
    *best = (struct approach){distance, u_a, u_b};
}

/* Both places are given; the distance is worked out. */
static void places_take(struct approach *best, const struct contour_seg *a, double u_a,
                        const struct contour_seg *b, double u_b) {
  vec2 apart = vec2_sub(point_at(b, u_b), point_at(a, u_a));
  approach_take(best, num_hypot(apart.x, apart.y), u_a, u_b);
}

/* u of an arc in the direction `arm` from its centre, or -1 where it has no point there. */
static double arc_foot(const struct contour_seg *arc, vec2 arm) {
  double u = arc_position(arc, arm);
  return u <= arc->length + JOINT_SLACK ? fmin(fmax(u, 0), arc->length) : -1;
}

/* Nearest place of a segment to a point but for its ends; -1 where an end is nearest. */
static double inner_foot(const struct contour_seg *seg, vec2 point) {
  if (seg->turn != 0)
    return arc_foot(seg, vec2_sub(point, seg->centre));
  double u = vec2_dot(vec2_sub(point, seg->start), seg->tangent);
  return u >= 0 && u <= seg->length ? u : -1;
}

static void ends_take(struct approach *best, const struct contour_seg *a,
                      const struct contour_seg *b) {
  for (int i = 0; i < 4; i++) {
    double u_a = i & 1 ? a->length : 0, u_b = i & 2 ? b->length : 0;
    places_take(best, a, u_a, b, u_b);
    double foot = inner_foot(i < 2 ? b : a, i < 2 ? point_at(a, u_a) : point_at(b, u_b));
    if (foot >= 0)
      places_take(best, a, i < 2 ? u_a : foot, b, i < 2 ? foot : u_b);
  }
}

/* A line against anything. */
static void line_takes(struct approach *best, const struct contour_seg *line,
                       const struct contour_seg *other, bool line_is_a) {
  struct seg_crossing crossings[2];
  size_t count = seg_crossings(other, line->start, line->tangent, crossings);
  for (size_t i = 0; i < count; i++) {
    double u = crossings[i].range, v = crossings[i].u;
    if (u >= 0 && u <= line->length)
      approach_take(best, 0, line_is_a ? u : v, line_is_a ? v : u);
  }
  if (other->turn == 0)
    return;
  double u = inner_foot(line, other->centre);
  if (u < 0)
    return;
  vec2 normal = {-line->tangent.y, line->tangent.x};
  for (int side = -1; side <= 1; side += 2) {
    double v = arc_foot(other, vec2_scale(normal, side));
    if (v < 0)
      continue;
    if (line_is_a)
      places_take(best, line, u, other, v);
    else
      places_take(best, other, v, line, u);
  }
}

/* Where two circles cross, seen from the first centre along and beside the line of centres. */
static void arcs_cross(struct approach *best, const struct contour_seg *a,
                       const struct contour_seg *b, vec2 between, double apart) {
  double along = (apart * apart + a->radius * a->radius - b->radius * b->radius) / (2 * apart);
  double square = a->radius * a->radius - along * along;
  for (int side = -1; side <= 1 && square >= 0; side += 2) {
    double beside = side * sqrt(square);
    vec2 arm = {along * between.x - beside * between.y, along * between.y + beside * between.x};
    double u_a = arc_foot(a, arm);
    double u_b = arc_foot(b, vec2_sub(arm, vec2_scale(between, apart)));
    if (u_a >= 0 && u_b >= 0)
      approach_take(best, 0, u_a, u_b);
  }
}

static void arcs_take(struct approach *best, const struct contour_seg *a,
                      const struct contour_seg *b) {
  vec2 between = vec2_sub(b->centre, a->centre);
  double apart = num_hypot(between.x, between.y);
  if (apart <= 0)
    return; /* one centre: the gap is the same all along, and ends have told it */
  between = vec2_scale(between, 1 / apart);
  arcs_cross(best, a, b, between, apart);
  for (int i = 0; i < 4; i++) {
    double u_a = arc_foot(a, vec2_scale(between, i & 1 ? 1 : -1));
    double u_b = arc_foot(b, vec2_scale(between, i & 2 ? 1 : -1));
    if (u_a >= 0 && u_b >= 0)
      places_take(best, a, u_a, b, u_b);
  }
}

struct approach seg_approach(const struct contour_seg *a, const struct contour_seg *b) {
  struct approach best = {(double)INFINITY, 0, 0};
  ends_take(&best, a, b);
  if (a->turn == 0)
    line_takes(&best, a, b, true);
  else if (b->turn == 0)
    line_takes(&best, b, a, false);
  else
    arcs_take(&best, a, b);
  return best;
}
