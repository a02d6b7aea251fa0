/* neck.c - how narrow the bore is.
 *
 * A ball that touches the wall from the bore, and is moved along it, first meets the wall elsewhere
 * with the radius of the tightest concave arc, or with half of the shortest chord that is normal to
 * the wall at both its ends (the reach: H. Federer, Curvature measures, 1959; that it is one of
 * these two: E. Aamari et al., Estimating the reach of a manifold, 2019; both from memory).  Chords
 * are found pair by pair of edges; where lines meet under an angle below that of a joint
 * (docs/language.md) they count as parallel. */
#include <math.h>

#include "verify/wall.h"

static const double PARALLEL = 0.0035; /* sine of two joints' angle */
static const double BESIDE = 1e-6;     /* mm that a chord's end may lie beside its edge */

/* Into the bore at a place of the edge. */
static vec2 inward(const struct edge *edge, vec2 at) {
  if (edge->bend == 0)
    return (vec2){-edge->along.y, edge->along.x};
  return vec2_scale(vec2_sub(edge->centre, at), edge->bend / edge->radius);
}

/* A chord counts where both its ends lie on their edges and look at one another through the bore.
 */
static double chord(const struct edge *a, vec2 at_a, const struct edge *b, vec2 at_b) {
  vec2 way = vec2_sub(at_b, at_a);
  bool is_there = edge_distance(a, at_a) <= BESIDE && edge_distance(b, at_b) <= BESIDE;
  bool is_inside = vec2_dot(way, inward(a, at_a)) > 0 && vec2_dot(way, inward(b, at_b)) < 0;
  return is_there && is_inside ? wall_apart(at_a, at_b) : (double)INFINITY;
}

static vec2 foot_on(const struct edge *line, vec2 point) {
  double u = vec2_dot(vec2_sub(point, line->from), line->along);
  return vec2_add(line->from, vec2_scale(line->along, u));
}

/* From an end of one line at right angles to the other. */
static double between_lines(const struct edge *a, const struct edge *b) {
  double least = INFINITY;
  if (vec2_dot(a->along, b->along) > 0 || fabs(vec2_cross(a->along, b->along)) > PARALLEL)
    return least;
  for (int end = 0; end < 2; end++) {
    vec2 of_a = end ? a->to : a->from, of_b = end ? b->to : b->from;
    least = fmin(least, chord(a, of_a, b, foot_on(b, of_a)));
    least = fmin(least, chord(a, foot_on(a, of_b), b, of_b));
  }
  return least;
}

/* Where a straight through the arc's centre meets its circle. */
static vec2 on_circle(const struct edge *arc, vec2 toward, int side) {
  return vec2_add(arc->centre, vec2_scale(toward, side * arc->radius));
}

static double line_to_arc(const struct edge *line, const struct edge *arc) {
  double least = INFINITY;
  vec2 foot = foot_on(line, arc->centre), normal = inward(line, foot);
  for (int side = -1; side <= 1; side += 2)
    least = fmin(least, chord(line, foot, arc, on_circle(arc, normal, side)));
  return least;
}

static double between_arcs(const struct edge *a, const struct edge *b) {
  vec2 apart = vec2_sub(b->centre, a->centre);
  double length = wall_hypot(apart.x, apart.y), least = INFINITY;
  if (length < BESIDE) /* about one centre: no narrower than the bends themselves */
    return least;
  vec2 toward = vec2_scale(apart, 1 / length);
  for (int side_a = -1; side_a <= 1; side_a += 2)
    for (int side_b = -1; side_b <= 1; side_b += 2)
      least = fmin(least, chord(a, on_circle(a, toward, side_a), b, on_circle(b, toward, side_b)));
  return least;
}

double wall_narrowest(const struct wall *wall) {
  double least = INFINITY;
  for (size_t i = 0; i < wall->count; i++)
    for (size_t k = i + 1; k < wall->count; k++) {
      const struct edge *a = &wall->edges[i], *b = &wall->edges[k];
      bool is_line = a->bend == 0, other_is = b->bend == 0;
      least = fmin(least, is_line && other_is ? between_lines(a, b)
                          : is_line           ? line_to_arc(a, b)
                          : other_is          ? line_to_arc(b, a)
                                              : between_arcs(a, b));
    }
  return least;
}

double wall_tightest(const struct wall *wall) {
  double least = INFINITY;
  for (size_t i = 0; i < wall->count; i++)
    if (wall->edges[i].bend > 0)
      least = fmin(least, wall->edges[i].radius);
  return least;
}
