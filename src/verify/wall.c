/* wall.c - places along lines and arcs, and the nearest of them. */
#include "verify/wall.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

struct lie lie_make(vec3 at, double turned) {
  struct sincos sc = num_sincos(turned);
  return (struct lie){at, turned, sc.cos, sc.sin};
}

static double angle_of(vec2 v) {
  return num_atan2(v.y, v.x);
}

/* 0 <= result < whole */
static double wrap(double value, double whole) {
  double rest = value - whole * floor(value / whole);
  return rest < whole ? rest : 0;
}

/* How far an arc goes, in its own sense, from its beginning to the direction v. */
static double swept(const struct edge *edge, vec2 v) {
  return wrap(edge->bend * (angle_of(v) - edge->angle0), NUM_TURN);
}

static void settle_arms(struct edge *edge) {
  edge->arm_from = vec2_sub(edge->from, edge->centre);
  edge->arm_to = vec2_sub(edge->to, edge->centre);
  edge->turn = edge->bend == 0 ? 0 : edge->length / edge->radius;
}

static void finish_edge(struct edge *edge) {
  if (edge->bend == 0) {
    vec2 way = vec2_sub(edge->to, edge->from);
    edge->length = wall_hypot(way.x, way.y);
    edge->along = vec2_scale(way, 1 / edge->length);
    return;
  }
  vec2 out = vec2_sub(edge->from, edge->centre), end = vec2_sub(edge->to, edge->centre);
  edge->angle0 = angle_of(out);
  double sweep = swept(edge, end);
  vec2 apart = vec2_sub(edge->to, edge->from);
  if (sweep < 1e-9 && wall_hypot(apart.x, apart.y) < 1e-9)
    sweep = NUM_TURN; /* a whole round */
  edge->length = edge->radius * sweep;
  edge->along = vec2_scale((vec2){-out.y, out.x}, edge->bend / edge->radius);
  settle_arms(edge);
}

struct wall *wall_from_edges(struct arena *arena, struct edge *edges, size_t count) {
  struct wall *wall = arena_alloc(arena, 1, sizeof *wall);
  wall->edges = edges;
  wall->count = count;
  for (size_t i = 0; i < count; i++) {
    finish_edge(&edges[i]);
    edges[i].s0 = wall->perimeter;
    wall->perimeter += edges[i].length;
  }
  return wall;
}

vec2 edge_at(const struct edge *edge, double u) {
  if (edge->bend == 0)
    return vec2_add(edge->from, vec2_scale(edge->along, u));
  struct sincos sc = num_sincos(edge->angle0 + edge->bend * u / edge->radius);
  return (vec2){edge->centre.x + edge->radius * sc.cos, edge->centre.y + edge->radius * sc.sin};
}

static vec2 edge_normal(const struct edge *edge, vec2 at) {
  if (edge->bend == 0)
    return (vec2){edge->along.y, -edge->along.x};
  return vec2_scale(vec2_sub(at, edge->centre), edge->bend / edge->radius);
}

struct edge edge_part(const struct edge *edge, double u, double v) {
  struct edge part = *edge;
  part.from = edge_at(edge, u);
  part.to = edge_at(edge, v);
  part.length = v - u;
  part.s0 = edge->s0 + u;
  if (edge->bend != 0)
    part.angle0 = edge->angle0 + edge->bend * u / edge->radius;
  settle_arms(&part);
  return part;
}

struct edge edge_joined(const struct edge *first, const struct edge *second) {
  struct edge whole = *first;
  whole.to = second->to;
  whole.length = first->length + second->length;
  settle_arms(&whole);
  return whole;
}

static double place_on(const struct edge *edge, vec2 point) {
  double u;
  if (edge->bend == 0) {
    u = vec2_dot(vec2_sub(point, edge->from), edge->along);
  } else {
    vec2 v = vec2_sub(point, edge->centre);
    if (!arc_holds(edge, v))
      return wall_apart(point, edge->from) < wall_apart(point, edge->to) ? 0 : edge->length;
    u = edge->radius * swept(edge, v);
  }
  return u < 0 ? 0 : u > edge->length ? edge->length : u;
}

/* The nearest edge, the first one where two are as near, and its distance. */
static const struct edge *nearest_edge(const struct wall *wall, vec2 point, double *least) {
  const struct edge *nearest = wall->edges;
  *least = INFINITY;
  for (size_t i = 0; i < wall->count; i++) {
    double d = edge_distance(&wall->edges[i], point);
    if (d < *least) {
      *least = d;
      nearest = &wall->edges[i];
    }
  }
  return nearest;
}

struct foot wall_foot(const struct wall *wall, vec2 point) {
  double least;
  const struct edge *edge = nearest_edge(wall, point, &least);
  struct foot foot = {.edge = (size_t)(edge - wall->edges)};
  double u = place_on(edge, point);
  vec2 at = edge_at(edge, u);
  foot.s = edge->s0 + u;
  foot.normal = edge_normal(edge, at);
  foot.inside = vec2_dot(vec2_sub(at, point), foot.normal) >= 0 ? least : -least;
  return foot;
}

/* How far the point is on the bore's side of the edge, where its foot lies well within the edge;
 * 0: it does not, or the point is too near to tell. */
static double side_of_edge(const struct edge *edge, vec2 point) {
  static const double WELL = 1e-6; /* mm, or mm^2 for cross products of arms: far above roundings */
  double side;
  if (edge->bend == 0) {
    vec2 v = vec2_sub(point, edge->from);
    double u = vec2_dot(v, edge->along);
    if (u < WELL || u > edge->length - WELL)
      return 0;
    side = vec2_cross(edge->along, v);
  } else {
    vec2 v = vec2_sub(point, edge->centre);
    double from_a = edge->bend * vec2_cross(edge->arm_from, v),
           to_b = edge->bend * vec2_cross(v, edge->arm_to);
    bool is_whole = edge->turn > NUM_TURN - 1e-9;
    if (!is_whole && (!arc_holds(edge, v) || fabs(from_a) < WELL || fabs(to_b) < WELL))
      return 0;
    side = edge->bend * (edge->radius - wall_hypot(v.x, v.y));
  }
  return fabs(side) > WELL ? side : 0;
}

bool wall_holds(const struct wall *wall, vec2 point) {
  double least;
  const struct edge *edge = nearest_edge(wall, point, &least);
  double side = side_of_edge(edge, point);
  return side != 0 ? side > 0 : wall_foot(wall, point).inside > 0;
}

static size_t edge_of(const struct wall *wall, double s) {
  size_t i = 0;
  while (i + 1 < wall->count && s >= wall->edges[i + 1].s0)
    i++;
  return i;
}

struct spot wall_spot(const struct wall *wall, double s) {
  double at = wrap(s, wall->perimeter);
  size_t i = edge_of(wall, at);
  vec2 point = edge_at(&wall->edges[i], at - wall->edges[i].s0);
  return (struct spot){point, edge_normal(&wall->edges[i], point), i};
}

double edge_ratio(const struct edge *edge, double offset) {
  return edge->bend == 0 ? 1 : (edge->radius - edge->bend * offset) / edge->radius;
}

double wall_pool_way(const struct wall *wall, double offset, double s) {
  double turns = floor(s / wall->perimeter), rest = s - turns * wall->perimeter;
  double whole = 0, part = 0;
  for (size_t i = 0; i < wall->count; i++) {
    const struct edge *edge = &wall->edges[i];
    double ratio = edge_ratio(edge, offset), inside = rest - edge->s0;
    whole += edge->length * ratio;
    if (inside > 0)
      part += fmin(inside, edge->length) * ratio;
  }
  return turns * whole + part;
}

/* -- rays from the centre --------------------------------------------------------------------- */

static void keep(double s, double *all, size_t room, size_t *count) {
  if (*count < room)
    all[*count] = s;
  ++*count;
}

static void ray_line(const struct edge *edge, vec2 centre, vec2 ray, double *s, size_t room,
                     size_t *count) {
  vec2 to = vec2_sub(edge->from, centre);
  double across = vec2_cross(ray, edge->along);
  if (across == 0)
    return;
  double u = -vec2_cross(ray, to) / across;
  vec2 at = vec2_add(to, vec2_scale(edge->along, u));
  if (u >= 0 && u < edge->length && vec2_dot(at, ray) > 0)
    keep(edge->s0 + u, s, room, count);
}

static void ray_arc(const struct edge *edge, vec2 centre, vec2 ray, double *s, size_t room,
                    size_t *count) {
  vec2 to = vec2_sub(edge->centre, centre);
  double half = vec2_dot(to, ray), off = vec2_cross(to, ray);
  double square = edge->radius * edge->radius - off * off;
  if (square < 0)
    return;
  for (int side = -1; side <= 1; side += 2) {
    double way = half + side * sqrt(square);
    vec2 v = vec2_sub(vec2_scale(ray, way), to);
    double u = edge->radius * swept(edge, v);
    if (way > 0 && u < edge->length)
      keep(edge->s0 + u, s, room, count);
  }
}

size_t wall_ray(const struct wall *wall, double angle, double *s, size_t room) {
  struct sincos sc = num_sincos(angle);
  vec2 ray = {sc.cos, sc.sin};
  size_t count = 0;
  for (size_t i = 0; i < wall->count; i++) {
    const struct edge *edge = &wall->edges[i];
    if (edge->bend == 0)
      ray_line(edge, wall->centre, ray, s, room, &count);
    else
      ray_arc(edge, wall->centre, ray, s, room, &count);
  }
  return count;
}

double wall_ray_start(const struct wall *wall, double angle) {
  double s[64], best = 0, nearest = INFINITY;
  struct sincos sc = num_sincos(angle);
  size_t count = wall_ray(wall, angle, s, 64);
  for (size_t i = 0; i < count && i < 64; i++) {
    struct spot spot = wall_spot(wall, s[i]);
    double far = wall_apart(spot.at, wall->centre);
    if (far < nearest && spot.normal.x * sc.cos + spot.normal.y * sc.sin > 0) {
      nearest = far;
      best = s[i];
    }
  }
  return best;
}
