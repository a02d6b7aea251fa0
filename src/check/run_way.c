/* run_way.c - places on legs of the plan. */
#include "check/run_way.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

static struct run_way way_make(struct arena *arena, const struct contour *contour,
                               const struct plan_layer *layer, double s_start,
                               const struct plan_leg *legs, size_t leg_count) {
  double *leg_end = arena_alloc(arena, leg_count, sizeof *leg_end), sigma = 0;
  for (size_t i = 0; i < leg_count; i++)
    leg_end[i] = sigma += legs[i].s_length;
  return (struct run_way){contour, layer, s_start, legs, leg_count, leg_end, sigma};
}

struct run_way run_way_of_path(struct arena *arena, const struct contour *contour,
                               const struct plan_layer *layer, const struct plan_path *path) {
  return way_make(arena, contour, layer, path->s_start, path->legs, path->leg_count);
}

struct run_way run_way_of_run(struct arena *arena, const struct contour *contour,
                              const struct plan_layer *layer, const struct plan_run *run) {
  return way_make(arena, contour, layer, run->s_start, run->legs, run->leg_count);
}

double run_way_s(const struct run_way *way, double sigma) {
  return way->s_start + way->layer->dir * sigma;
}

double run_way_leg_begin(const struct run_way *way, size_t leg) {
  return leg == 0 ? 0 : way->leg_end[leg - 1];
}

size_t run_way_leg(const struct run_way *way, double sigma, bool earlier) {
  size_t lo = 0, hi = way->leg_count - 1;
  while (lo < hi) {
    size_t mid = lo + (hi - lo) / 2;
    bool before = earlier ? sigma <= way->leg_end[mid] : sigma < way->leg_end[mid];
    if (before)
      hi = mid;
    else
      lo = mid + 1;
  }
  return lo;
}

double run_way_level(const struct run_way *way, double from, double to) {
  double a = run_way_s(way, from);
  double b = run_way_s(way, to);
  return contour_offset_length(way->contour, way->layer->offset, fmin(a, b), fmax(a, b));
}

double run_way_depth(const struct run_way *way, size_t leg, double sigma) {
  const struct plan_leg *l = &way->legs[leg];
  double begin = run_way_leg_begin(way, leg);
  if (l->depth_from == l->depth_to || sigma <= begin)
    return l->depth_from;
  if (sigma >= way->leg_end[leg])
    return l->depth_to;
  double share = run_way_level(way, begin, sigma) / run_way_level(way, begin, way->leg_end[leg]);
  return l->depth_from + share * (l->depth_to - l->depth_from);
}

double run_way_length(const struct run_way *way, size_t leg, double from, double to) {
  double sink = run_way_depth(way, leg, to) - run_way_depth(way, leg, from);
  return num_hypot(run_way_level(way, from, to), sink);
}

double run_way_at_share(const struct run_way *way, size_t leg, double share) {
  double begin = run_way_leg_begin(way, leg);
  double level = share * run_way_level(way, begin, way->leg_end[leg]);
  double s = run_way_s(way, begin);
  double at = contour_advance(way->contour, way->layer->offset, s, way->layer->dir, level);
  return begin + fabs(at - s);
}

double run_way_beyond(const struct run_way *way, double level) {
  double s = run_way_s(way, way->total);
  double at = contour_advance(way->contour, way->layer->offset, s, way->layer->dir, level);
  return way->total + fabs(at - s);
}
