/* lay_even.c - lay_pool_way() and lay_depth() for many places at a time: the same operations, with
 * what does not change from place to place worked out once. */
#include "verify/lay_even.h"

#include <math.h>

#include "borelay/lanes.h"

/* mm that a place has to lie behind an edge's beginning, so that the edges before count whole. */
static const double BEHIND = 1e-6;

static void set_way(struct lay_even *even, const struct lay *lay, size_t path, double sigma) {
  const struct wall *wall = lay->wall;
  double s = lay_s(lay, path, sigma);
  even->dir = lay->dir;
  even->start = lay_path_start(lay, path);
  even->perimeter = wall->perimeter;
  even->turns = floor(s / wall->perimeter);
  even->way_start = wall_pool_way(wall, lay->offset, even->start);
  double rest = s - even->turns * wall->perimeter, whole = 0, part = 0;
  even->rest = (struct range){INFINITY, -INFINITY};
  for (size_t i = 0; i < wall->count; i++) {
    const struct edge *edge = &wall->edges[i];
    double ratio = edge_ratio(edge, lay->offset);
    double end = i + 1 < wall->count ? wall->edges[i + 1].s0 : (double)INFINITY;
    whole += edge->length * ratio;
    if (rest > edge->s0 && rest <= end) {
      even->way_before = part;
      even->edge_s0 = edge->s0;
      even->edge_length = edge->length;
      even->edge_ratio = ratio;
      even->rest = (struct range){i > 0 ? edge->s0 + BEHIND : 0, end};
    }
    part += edge->length * ratio;
  }
  even->way_turns = even->turns * whole;
}

static void set_sinking(struct lay_even *even, const struct lay *lay, double lap, double from,
                        double to) {
  even->a = lay_pool_way(lay, 0, from);
  even->b = lay_pool_way(lay, 0, to);
  even->sink = lay_sink(lay, lap);
  even->slope = even->sink / (even->b - even->a);
}

static double clamp(double value, double lo, double hi) {
  return value < lo ? lo : value > hi ? hi : value;
}

static void set_spiral(struct lay_even *even, const struct lay *lay, double sigma) {
  double turn = lay->wall->perimeter, end = (double)lay->laps * turn;
  if (lay->laps == 1)
    return;
  even->unit = turn;
  even->nth = floor(sigma / turn);
  double nth = clamp(even->nth, 0, (double)lay->laps);
  even->base = lay_lap_depth(lay, nth - 1);
  if (nth >= 1 && sigma < end) {
    set_sinking(even, lay, nth - 1, nth * turn, (nth + 1) * turn);
    even->sigma.hi = end;
  } else if (nth >= 1) {
    even->sigma.lo = end;
  }
  even->knee[0] = turn;
  even->knee[1] = end;
  even->knee_slope = fabs(lay->sink) / turn;
  if (!lay->is_over)
    return;
  even->knee[2] = 2 * turn;
  even->knee[3] = end - turn;
  even->knee_slope /= 2;
}

static void set_stepped(struct lay_even *even, const struct lay *lay, double sigma) {
  if (lay->laps == 1)
    return;
  even->unit = lay->unit;
  even->nth = floor(sigma / lay->unit);
  double nth = clamp(even->nth, 0, (double)lay->laps - 1);
  double from = nth * lay->unit + lay->unit - lay->step, to = (nth + 1) * lay->unit;
  even->base = lay_lap_depth(lay, nth);
  bool has_step = nth < (double)lay->laps - 1;
  even->is_step = has_step && sigma >= from;
  if (even->is_step) {
    set_sinking(even, lay, nth, from, to);
    even->sigma.lo = from;
  } else if (has_step) {
    even->sigma.hi = from;
  }
  if (has_step) {
    even->knee[0] = from;
    even->knee[1] = to;
  }
  if (nth > 0)
    even->knee[2] = nth * lay->unit;
  even->knee_slope = fabs(lay->sink) / lay->step;
}

struct lay_even lay_even_at(const struct lay *lay, size_t path, double sigma) {
  struct lay_even even = {.base = lay->first,
                          .b = 1,
                          .unit = INFINITY,
                          .sigma = {-INFINITY, INFINITY},
                          .knee = {INFINITY, INFINITY, INFINITY, INFINITY}};
  set_way(&even, lay, path, sigma);
  switch (lay->overlay->pattern) {
  case PATTERN_SPIRAL:
    set_spiral(&even, lay, sigma);
    break;
  case PATTERN_STEPPED:
    set_stepped(&even, lay, sigma);
    break;
  case PATTERN_RINGS:
    even.base = lay_lap_depth(lay, (double)path);
    break;
  }
  return even;
}

/* -- many places ------------------------------------------------------------------------------ */

static inline double lesser(double a, double b) {
  return a < b ? a : b;
}

/* 1 where value lies in lo (included) .. hi, else 0. */
static inline double is_in(double value, double lo, double hi) {
  double from = value >= lo ? 1.0 : 0.0;
  return value < hi ? from : 0.0;
}

LANES_VOID(ways_at,
           (const struct lay_even *restrict even, const double *restrict sigma, size_t count,
            double *restrict way, double *restrict within),
           (even, sigma, count, way, within)) {
  struct lay_even e = *even;
  double next_turn = e.turns + 1, next_lap = e.nth + 1, shift = e.turns * e.perimeter;
  for (size_t i = 0; i < count; i++) {
    double s = e.start + e.dir * sigma[i], rest = s - shift;
    double inside = rest - e.edge_s0;
    double part = e.way_before + lesser(inside, e.edge_length) * e.edge_ratio;
    double is_turn = is_in(s / e.perimeter, e.turns, next_turn);
    double is_lap = is_in(sigma[i] / e.unit, e.nth, next_lap);
    double is_edge = rest <= e.rest.hi ? is_in(rest, e.rest.lo, (double)INFINITY) : 0.0;
    double is_form = is_in(sigma[i], e.sigma.lo, e.sigma.hi);
    way[i] = e.dir * (e.way_turns + part - e.way_start);
    within[i] = is_turn * is_lap * is_edge * is_form * (inside > 0 ? 1.0 : 0.0);
  }
}

size_t lay_even_ways(const struct lay_even *even, const double *sigma, size_t count, double *way,
                     double *scratch) {
  size_t within = 0;
  ways_at(even, sigma, count, way, scratch);
  while (within < count && scratch[within] > 0)
    within++;
  return within;
}

LANES_VOID(depths_at,
           (const struct lay_even *restrict even, const double *restrict sigma,
            const double *restrict way, size_t count, double *restrict depth,
            double *restrict knee),
           (even, sigma, way, count, depth, knee)) {
  struct lay_even e = *even;
  double span_way = e.b - e.a;
  for (size_t i = 0; i < count; i++) {
    double share = (way[i] - e.a) / span_way;
    share = share < 0 ? 0 : share > 1 ? 1 : share;
    depth[i] = e.base + e.sink * share;
    double first = lesser(fabs(sigma[i] - e.knee[0]), fabs(sigma[i] - e.knee[1]));
    double second = lesser(fabs(sigma[i] - e.knee[2]), fabs(sigma[i] - e.knee[3]));
    knee[i] = lesser(first, second);
  }
}

void lay_even_depths(const struct lay_even *even, const double *sigma, const double *way,
                     size_t count, double *depth, double *knee) {
  depths_at(even, sigma, way, count, depth, knee);
}
