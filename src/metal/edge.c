/* edge.c - distances to lines and to arcs within a quadrant.
 *
 * The least distance between a segment and an arc is taken at an end of either, where they meet, or
 * where the perpendicular from the arc's centre onto the segment leaves the circle. */
#include "metal/edge.h"

#include <math.h>

#include "borelay/num.h"

struct edge edge_line(vec2 a, vec2 b) {
  return (struct edge){.a = a, .b = b, .box = box_of(a, b)};
}

struct edge edge_arc(vec2 a, vec2 b, vec2 centre, double radius, int turn) {
  struct edge edge = {.a = a, .b = b, .centre = centre, .radius = radius, .turn = turn};
  edge.right_half = a.x + b.x >= 2 * centre.x;
  edge.box = box_of(a, b);
  return edge;
}

vec2 edge_middle(const struct edge *edge) {
  vec2 middle = vec2_scale(vec2_add(edge->a, edge->b), 0.5);
  if (edge->radius == 0)
    return middle;
  vec2 out = vec2_sub(middle, edge->centre);
  return vec2_add(edge->centre, vec2_scale(out, edge->radius / num_hypot(out.x, out.y)));
}

vec2 edge_direction(const struct edge *edge, vec2 at) {
  if (edge->radius == 0)
    return vec2_sub(edge->b, edge->a);
  vec2 out = vec2_sub(at, edge->centre);
  return (vec2){-edge->turn * out.y, edge->turn * out.x};
}

bool edge_faces(const struct edge *edge, vec2 p) {
  vec2 out = vec2_sub(p, edge->centre);
  return edge->turn * vec2_cross(vec2_sub(edge->a, edge->centre), out) >= 0 &&
         edge->turn * vec2_cross(out, vec2_sub(edge->b, edge->centre)) >= 0;
}

static double point_point(vec2 p, vec2 q) {
  return num_hypot(p.x - q.x, p.y - q.y);
}

static double point_line(vec2 p, vec2 a, vec2 b) {
  vec2 along = vec2_sub(b, a), to = vec2_sub(p, a);
  double length2 = vec2_dot(along, along), t = vec2_dot(to, along);
  if (!(t > 0))
    return point_point(p, a);
  if (t >= length2)
    return point_point(p, b);
  return fabs(vec2_cross(along, to)) / sqrt(length2);
}

static double point_arc(vec2 p, const struct edge *arc) {
  if (edge_faces(arc, p))
    return fabs(point_point(p, arc->centre) - arc->radius);
  double a = point_point(p, arc->a), b = point_point(p, arc->b);
  return a < b ? a : b;
}

double edge_distance_point(const struct edge *edge, vec2 p) {
  return edge->radius == 0 ? point_line(p, edge->a, edge->b) : point_arc(p, edge);
}

vec2 edge_nearest(const struct edge *edge, vec2 p) {
  vec2 along = vec2_sub(edge->b, edge->a), out = vec2_sub(p, edge->centre);
  double t = vec2_dot(vec2_sub(p, edge->a), along) / vec2_dot(along, along);
  double far = num_hypot(out.x, out.y);
  if (edge->radius == 0 && t > 0 && t < 1)
    return vec2_add(edge->a, vec2_scale(along, t));
  if (edge->radius != 0 && far > 0 && edge_faces(edge, p))
    return vec2_add(edge->centre, vec2_scale(out, edge->radius / far));
  return point_point(p, edge->a) < point_point(p, edge->b) ? edge->a : edge->b;
}

/* By their boxes, and of an arc where the box lies within its circle or beyond it. */
bool edge_is_off_box(const struct edge *edge, struct box box, double reach) {
  if (box_gap2(edge->box, box) > reach * reach)
    return true;
  if (edge->radius == 0)
    return false;
  double inner = edge->radius - 2 * reach, outer = edge->radius + 2 * reach; /* and rounding */
  double x = edge->centre.x - box.lo.x, y = edge->centre.y - box.lo.y;
  double other_x = box.hi.x - edge->centre.x, other_y = box.hi.y - edge->centre.y;
  x = x > other_x ? x : other_x;
  y = y > other_y ? y : other_y;
  return (inner > 0 && x * x + y * y < inner * inner) ||
         box_gap2((struct box){edge->centre, edge->centre}, box) > outer * outer;
}

/* Opposite sides of each other's line; touching ends are left to the ends' own distances. */
static bool lines_cross(vec2 a, vec2 b, vec2 p, vec2 q) {
  vec2 ab = vec2_sub(b, a), pq = vec2_sub(q, p);
  double p_side = vec2_cross(ab, vec2_sub(p, a)), q_side = vec2_cross(ab, vec2_sub(q, a));
  double a_side = vec2_cross(pq, vec2_sub(a, p)), b_side = vec2_cross(pq, vec2_sub(b, p));
  return ((p_side < 0) != (q_side < 0)) && ((a_side < 0) != (b_side < 0));
}

/* Where the segment crosses the arc, or leaves it nearest in the middle. */
static double segment_arc_inner(const struct edge *arc, vec2 p, vec2 q) {
  vec2 along = vec2_sub(q, p), to = vec2_sub(arc->centre, p);
  double length2 = vec2_dot(along, along);
  if (!(length2 > 0))
    return HUGE_VAL;
  double t = vec2_dot(to, along) / length2;
  vec2 foot = vec2_add(p, vec2_scale(along, t));
  double apart = fabs(vec2_cross(along, to)) / sqrt(length2);
  if (apart >= arc->radius)
    return t >= 0 && t <= 1 && edge_faces(arc, foot) ? apart - arc->radius : HUGE_VAL;
  double half = sqrt((arc->radius - apart) * (arc->radius + apart) / length2);
  for (int side = -1; side <= 1; side += 2) {
    double s = t + side * half;
    if (s >= 0 && s <= 1 && edge_faces(arc, vec2_add(p, vec2_scale(along, s))))
      return 0;
  }
  return HUGE_VAL;
}

double edge_distance_segment(const struct edge *edge, vec2 p, vec2 q) {
  if (p.x == q.x && p.y == q.y)
    return edge_distance_point(edge, p);
  double inner = HUGE_VAL;
  if (edge->radius != 0)
    inner = segment_arc_inner(edge, p, q);
  else if (lines_cross(edge->a, edge->b, p, q))
    inner = 0;
  double ends[4] = {edge_distance_point(edge, p), edge_distance_point(edge, q),
                    point_line(edge->a, p, q), point_line(edge->b, p, q)};
  for (int i = 0; i < 4; i++)
    if (ends[i] < inner)
      inner = ends[i];
  return inner;
}
