/* wall.h - the judge's own picture of a wall: lines and arcs, anticlockwise, the bore on their
 * left.
 *
 * Millimetres and radians, part frame.  Made from the resolved job alone; nothing of the compiler's
 * shapes is used here, so that one mistake cannot hide in both. */
#ifndef VERIFY_WALL_H
#define VERIFY_WALL_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "borelay/job.h"
#include "borelay/num.h"

struct arena;

struct edge {
  vec2 from, to;
  vec2 along;    /* unit vector of a line; of an arc the one at `from` */
  double length; /* on the shape itself */
  double s0;     /* where it begins along the wall */
  int bend;      /* 0: line; +1: arc whose centre lies on the left; -1: on the right */
  vec2 centre;   /* arcs only */
  double radius;
  double angle0;         /* of from, seen from the centre */
  vec2 arm_from, arm_to; /* from the centre */
  double turn;           /* that it sweeps, rad */
};

struct wall {
  struct edge *edges;
  size_t count;
  double perimeter;
  vec2 centre; /* about which angles are taken */
  double turned;
  enum shape_kind kind;
  double diameter; /* round: an angle stands for half of it times the angle */
  double slack;    /* how far the programme's wall may lie beside this one, mm: joints of an outline
                      that are tangent within 0.1 deg only (docs/language.md) */
};

/* Where the part lies in the cell: turned about Z, then shifted. */
struct lie {
  vec3 at;
  double turned;
  double cos, sin;
};
struct lie lie_make(vec3 at, double turned);
static inline vec2 lie_to_part(const struct lie *lie, vec2 cell) {
  double x = cell.x - lie->at.x, y = cell.y - lie->at.y;
  return (vec2){lie->cos * x + lie->sin * y, lie->cos * y - lie->sin * x};
}

/* NULL: no such wall comes out (touches that fit nothing, an outline without area). */
const struct wall *wall_make(struct arena *arena, const struct shape *shape, double reach,
                             const struct lie *lie);
/* A round about a centre, or a racetrack or rectangle (corner = width / 2: racetrack). */
struct wall *wall_round(struct arena *arena, vec2 centre, double diameter);
struct wall *wall_rectangle(struct arena *arena, vec2 centre, double length, double width,
                            double corner, double turned);
const struct wall *wall_outline(struct arena *arena, const struct shape *shape);
/* Puts edges into a wall: `from`, `to`, bend, centre, radius are given, the rest is worked out. */
struct wall *wall_from_edges(struct arena *arena, struct edge *edges, size_t count);

/* The place of the wall nearest to a point. */
struct foot {
  double s;      /* 0 <= s <= perimeter */
  double inside; /* mm from the wall, positive in the bore */
  vec2 normal;   /* into the metal */
  size_t edge;
};
struct foot wall_foot(const struct wall *wall, vec2 point);
/* Is the point in the bore: is its foot's `inside` positive?  The same answer without the foot. */
bool wall_holds(const struct wall *wall, vec2 point);
/* The place s, any number of turns off. */
struct spot {
  vec2 at, normal;
  size_t edge;
};
struct spot wall_spot(const struct wall *wall, double s);

/* Way of the pool that lies `offset` inside, from s = 0 to s, any number of turns. */
double wall_pool_way(const struct wall *wall, double offset, double s);
/* How long a mm of the edge is at that offset. */
double edge_ratio(const struct edge *edge, double offset);
/* Is the direction v from an arc's centre within the arc?  By cross products: no angle is needed.
 */
static inline bool arc_holds(const struct edge *edge, vec2 v) {
  if (edge->turn > NUM_TURN - 1e-9)
    return true;
  double from_a = edge->bend * vec2_cross(edge->arm_from, v),
         to_b = edge->bend * vec2_cross(v, edge->arm_to);
  if (edge->turn <= NUM_PI)
    return from_a >= 0 && to_b >= 0 && (edge->turn > 1 || vec2_dot(edge->arm_from, v) > 0);
  return from_a >= 0 || to_b >= 0;
}

/* num_hypot(), here for speed. */
static inline double wall_hypot(double x, double y) {
  return sqrt(x * x + y * y);
}

static inline double wall_apart(vec2 a, vec2 b) {
  return wall_hypot(a.x - b.x, a.y - b.y);
}

/* Least distance from the edge, mm: lines and arcs as they are, never a polygon. */
static inline double edge_distance(const struct edge *edge, vec2 point) {
  if (edge->bend == 0) {
    vec2 v = vec2_sub(point, edge->from);
    double u = vec2_dot(v, edge->along);
    if (u >= 0 && u <= edge->length)
      return fabs(vec2_cross(edge->along, v));
  } else {
    vec2 v = vec2_sub(point, edge->centre);
    if (arc_holds(edge, v))
      return fabs(wall_hypot(v.x, v.y) - edge->radius);
  }
  double from = wall_apart(point, edge->from), to = wall_apart(point, edge->to);
  return from < to ? from : to;
}
/* The part of an edge from u to v, mm along it. */
struct edge edge_part(const struct edge *edge, double u, double v);
/* Two parts of one edge, the second of which begins where the first one ends, as one. */
struct edge edge_joined(const struct edge *first, const struct edge *second);
vec2 edge_at(const struct edge *edge, double u);

/* -- neck.c ---------------------------------------------------------------------------------- */
/* The shortest chord through the bore that is normal to the wall at both ends; INFINITY: none.  An
 * offset of more than half of it meets itself. */
double wall_narrowest(const struct wall *wall);
/* The least radius of a concave arc; INFINITY: none.  An offset of as much has lost it. */
double wall_tightest(const struct wall *wall);

/* Places where a ray from the wall's centre meets the wall, in no order; at most `room` are kept,
 * all are counted. */
size_t wall_ray(const struct wall *wall, double angle, double *s, size_t room);
/* s at which a start angle lies: where the ray first runs from the bore into the metal. */
double wall_ray_start(const struct wall *wall, double angle);

#endif
