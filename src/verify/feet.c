/* feet.c - the other edges are looked at for the first point only.  A distance changes by no more
 * than the point moves: while the nearest edge stays nearer than the next one was, less the way
 * from the first point, it is the nearest one still.  Beside joints that is soon used up. */
#include "verify/feet.h"

#include <math.h>

#include "borelay/lanes.h"
#include "borelay/num.h"

static const double SURE = 1e-9; /* mm: far more than roundings of a distance */

/* Where the nearest edge may hide another: from the first point, and what is left there. */
struct scope {
  vec2 from;
  double room; /* distance of the next edge */
};

static inline double lesser(double a, double b) {
  return a < b ? a : b;
}

LANES_VOID(beside_line,
           (const struct edge *edge, struct scope scope, const double *restrict px,
            const double *restrict py, size_t count, struct beside *restrict beside),
           (edge, scope, px, py, count, beside)) {
  vec2 from = edge->from, along = edge->along;
  double length = edge->length;
  for (size_t i = 0; i < count; i++) {
    double x = px[i] - from.x, y = py[i] - from.y;
    double u = x * along.x + y * along.y;
    double least = fabs(along.x * y - along.y * x);
    double ox = px[i] - scope.from.x, oy = py[i] - scope.from.y;
    double left = scope.room - sqrt(ox * ox + oy * oy) - SURE - least;
    double sure = lesser(left, lesser(u, length - u));
    beside->x[i] = u;
    beside->least[i] = least;
    beside->sure[i] = sure;
  }
}

/* As the arc is held by wall.c, but for directions along its very ends. */
LANES_VOID(beside_arc,
           (const struct edge *edge, struct scope scope, const double *restrict px,
            const double *restrict py, size_t count, struct beside *restrict beside),
           (edge, scope, px, py, count, beside)) {
  vec2 centre = edge->centre, a = vec2_sub(edge->from, centre), b = vec2_sub(edge->to, centre);
  double radius = edge->radius, bend = (double)edge->bend, turn = edge->length / radius;
  double whole = turn > NUM_TURN - 1e-9 ? 1.0 : 0.0, few = turn <= NUM_PI ? 1.0 : 0.0;
  double tight = turn <= 1 ? 0.0 : 1e30;
  for (size_t i = 0; i < count; i++) {
    double x = px[i] - centre.x, y = py[i] - centre.y;
    double from_a = bend * (a.x * y - a.y * x), to_b = bend * (x * b.y - y * b.x);
    double less = from_a < to_b ? from_a : to_b, more = from_a < to_b ? to_b : from_a;
    double ahead = a.x * x + a.y * y + tight;
    double held = lesser(few * less + (1.0 - few) * more, ahead) + whole * 1e30;
    double least = fabs(sqrt(x * x + y * y) - radius);
    double ox = px[i] - scope.from.x, oy = py[i] - scope.from.y;
    double left = scope.room - sqrt(ox * ox + oy * oy) - SURE - least;
    double sure = lesser(left, held);
    beside->x[i] = x;
    beside->y[i] = y;
    beside->least[i] = least;
    beside->sure[i] = sure;
  }
}

LANES_VOID(line_feet,
           (const struct edge *edge, const double *restrict px, const double *restrict py,
            size_t count, const struct beside *restrict beside, struct feet *restrict feet),
           (edge, px, py, count, beside, feet)) {
  vec2 from = edge->from, along = edge->along, normal = {along.y, -along.x};
  double s0 = edge->s0;
  for (size_t i = 0; i < count; i++) {
    double u = beside->x[i], least = beside->least[i];
    double x = from.x + along.x * u - px[i], y = from.y + along.y * u - py[i];
    double out = x * normal.x + y * normal.y;
    feet->s[i] = s0 + u;
    feet->normal_x[i] = normal.x;
    feet->normal_y[i] = normal.y;
    feet->inside[i] = out >= 0 ? least : -least;
  }
}

/* u along the arc, and the angle of its place; within: positive where u is within the arc. */
LANES_VOID(arc_places,
           (const struct edge *edge, const double *restrict angle, size_t count, double *restrict u,
            double *restrict place, double *restrict within),
           (edge, angle, count, u, place, within)) {
  double angle0 = edge->angle0, bend = (double)edge->bend, radius = edge->radius,
         length = edge->length;
  for (size_t i = 0; i < count; i++) {
    double raw = bend * (angle[i] - angle0);
    double rest = raw - NUM_TURN * floor(raw / NUM_TURN);
    double at = radius * rest;
    within[i] = lesser(at, length - at);
    u[i] = at;
    place[i] = angle0 + bend * at / radius;
  }
}

LANES_VOID(arc_feet,
           (const struct edge *edge, const double *restrict px, const double *restrict py,
            size_t count, const struct beside *restrict beside, const double *restrict sine,
            const double *restrict cosine, struct feet *restrict feet),
           (edge, px, py, count, beside, sine, cosine, feet)) {
  vec2 centre = edge->centre;
  double radius = edge->radius, s0 = edge->s0, scale = (double)edge->bend / radius;
  for (size_t i = 0; i < count; i++) {
    double x = centre.x + radius * cosine[i], y = centre.y + radius * sine[i];
    double nx = (x - centre.x) * scale, ny = (y - centre.y) * scale, least = beside->least[i];
    double out = (x - px[i]) * nx + (y - py[i]) * ny;
    feet->s[i] = s0 + feet->s[i];
    feet->normal_x[i] = nx;
    feet->normal_y[i] = ny;
    feet->inside[i] = out >= 0 ? least : -least;
  }
}

static size_t count_positive(const double *values, size_t count) {
  size_t positive = 0;
  while (positive < count && values[positive] > 0)
    positive++;
  return positive;
}

/* The nearest edge, as wall_foot() chooses it, and the distance of the next one. */
static const struct edge *nearest_edge(const struct wall *wall, vec2 point, double *next) {
  double least = INFINITY;
  size_t nearest = 0;
  *next = INFINITY;
  for (size_t i = 0; i < wall->count; i++) {
    double d = edge_distance(&wall->edges[i], point);
    if (d < least) {
      *next = least;
      least = d;
      nearest = i;
    } else if (d < *next) {
      *next = d;
    }
  }
  return &wall->edges[nearest];
}

/* feet->s first is the place on the arc. */
static size_t on_arc(const struct edge *edge, const double *x, const double *y, size_t count,
                     struct feet *feet) {
  double angle[BLOCK_ROWS], place[BLOCK_ROWS], within[BLOCK_ROWS];
  double sine[BLOCK_ROWS], cosine[BLOCK_ROWS];
  num_atan2_all(feet->beside.y, feet->beside.x, angle, count);
  arc_places(edge, angle, count, feet->s, place, within);
  count = count_positive(within, count);
  num_sincos_all(place, sine, cosine, count);
  arc_feet(edge, x, y, count, &feet->beside, sine, cosine, feet);
  return count;
}

size_t feet_find(const struct wall *wall, const double *x, const double *y, size_t count,
                 struct feet *feet) {
  struct scope scope = {.from = {x[0], y[0]}};
  const struct edge *edge = nearest_edge(wall, scope.from, &scope.room);
  if (edge->bend != 0) {
    beside_arc(edge, scope, x, y, count, &feet->beside);
    count = count_positive(feet->beside.sure, count);
    return count > 0 ? on_arc(edge, x, y, count, feet) : 0;
  }
  beside_line(edge, scope, x, y, count, &feet->beside);
  count = count_positive(feet->beside.sure, count);
  line_feet(edge, x, y, count, &feet->beside, feet);
  return count;
}
