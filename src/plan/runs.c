/* The paths of a layer, broken into runs of the arc where zones ask for it.
 *
 * A run ends where a zone begins and the next one starts where it ends, at the depth that the
 * unbroken path has there; between them the path is crossed with the arc out.  A ring comes back to
 * its own start and ties in there, as far as no zone intervenes; a spiral or a stepped layer does
 * so once, if its last turn is unbroken (semantics.md, The torch over the wall). */
#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "plan/zones.h"

static double path_length(const struct plan_path *path) {
  double sum = 0;
  for (size_t i = 0; i < path->leg_count; i++)
    sum += path->legs[i].s_length;
  return sum;
}

/* -- the path between two places ----------------------------------------------------------------
 */

/* A path of one layer, as runs are cut from it. */
struct cutting {
  struct arena *arena;
  const struct contour *contour;
  const struct plan_layer *layer;
  const struct plan_path *path;
  const double *begins; /* sigma at which each leg begins */
};

static struct cutting cutting_make(struct arena *arena, const struct contour *contour,
                                   const struct plan_layer *layer, const struct plan_path *path) {
  double *begins = arena_alloc(arena, path->leg_count, sizeof *begins), sigma = 0;
  for (size_t i = 0; i < path->leg_count; i++) {
    begins[i] = sigma;
    sigma += path->legs[i].s_length;
  }
  return (struct cutting){arena, contour, layer, path, begins};
}

/* The last leg that begins at sigma or before. */
static size_t leg_at(const struct cutting *cutting, double sigma) {
  size_t lo = 0, hi = cutting->path->leg_count;
  while (hi - lo > 1) {
    size_t middle = lo + (hi - lo) / 2;
    if (cutting->begins[middle] <= sigma)
      lo = middle;
    else
      hi = middle;
  }
  return lo;
}

static double level_between(const struct cutting *cutting, double from, double to) {
  double a = cutting->path->s_start + cutting->layer->dir * from;
  double b = cutting->path->s_start + cutting->layer->dir * to;
  return contour_offset_length(cutting->contour, cutting->layer->offset, fmin(a, b), fmax(a, b));
}

/* Depth on a leg from begin to end, at sigma: even with the length of the pool's path. */
static double depth_on(const struct cutting *cutting, const struct plan_leg *leg, double begin,
                       double sigma) {
  if (leg->depth_from == leg->depth_to || sigma <= begin)
    return leg->depth_from;
  if (sigma >= begin + leg->s_length)
    return leg->depth_to;
  double share =
      level_between(cutting, begin, sigma) / level_between(cutting, begin, begin + leg->s_length);
  return leg->depth_from + share * (leg->depth_to - leg->depth_from);
}

/* The path's legs from one sigma to another, the first and last cut to it. */
static struct plan_leg *legs_between(const struct cutting *cutting, double from, double to,
                                     size_t *count) {
  const struct plan_path *path = cutting->path;
  size_t first = leg_at(cutting, from), end_leg = first;
  while (end_leg < path->leg_count && cutting->begins[end_leg] < to)
    end_leg++;
  struct plan_leg *legs = arena_alloc(cutting->arena, end_leg - first, sizeof *legs);
  *count = 0;
  for (size_t i = first; i < end_leg; i++) {
    const struct plan_leg *leg = &path->legs[i];
    double begin = cutting->begins[i], end = begin + leg->s_length;
    double a = fmax(from, begin), b = fmin(to, end);
    if (b - a > ZONE_SLIVER || (a <= begin && b >= end)) {
      struct plan_leg *cut = &legs[(*count)++];
      *cut = *leg;
      if (a > begin || b < end) {
        cut->s_length = b - a;
        cut->depth_from = depth_on(cutting, leg, begin, a);
        cut->depth_to = depth_on(cutting, leg, begin, b);
      }
    }
  }
  return legs;
}

/* -- runs ---------------------------------------------------------------------------------------
 */

static struct plan_run run_make(const struct cutting *cutting, size_t path, double from, double to,
                                double room) {
  double turns;
  struct plan_run run = {.path = path, .from = from, .to = to, .room = room};
  run.s_start =
      contour_wrap(cutting->contour, cutting->path->s_start + cutting->layer->dir * from, &turns);
  run.legs = legs_between(cutting, from, to, &run.leg_count);
  return run;
}

static void run_add(const struct plan_site *site, struct plan_layer *layer, struct plan_run run,
                    size_t *room) {
  if (layer->run_count == *room) {
    *room = 2 * *room + 8;
    layer->runs =
        arena_grow(site->arena, layer->runs, layer->run_count, *room, sizeof *layer->runs);
  }
  layer->runs[layer->run_count++] = run;
}

/* Where the arc may be on, as far as one turn behind the path's end; that turn is level. */
static struct stretches path_left(const struct plan_site *site, const struct cutting *cutting,
                                  double *looked) {
  const struct plan_path *path = cutting->path;
  struct plan_leg *legs = arena_alloc(site->arena, path->leg_count + 1, sizeof *legs);
  for (size_t i = 0; i < path->leg_count; i++)
    legs[i] = path->legs[i];
  struct plan_leg *more = &legs[path->leg_count];
  *more = legs[path->leg_count - 1];
  more->depth_from = more->depth_to;
  more->s_length = site->contour->perimeter;
  *looked = path_length(path) + more->s_length;
  return zones_leave(site, cutting->layer, path->s_start, legs, path->leg_count + 1);
}

static bool is_left_whole(const struct stretches *left, double from, double to) {
  for (size_t i = 0; i < left->count; i++)
    if (left->items[i].from <= from + ZONE_SLIVER && left->items[i].to >= to - ZONE_SLIVER)
      return true;
  return false;
}

/* Ends where the laps end, or a tie-in further on where it has one. */
static double path_end(const struct plan_site *site, const struct cutting *cutting,
                       const struct stretches *left) {
  double end = path_length(cutting->path), laps = end - cutting->path->tie_in;
  if (site->overlay->pattern == PATTERN_RINGS)
    return end;
  double turn = cutting->contour->perimeter;
  return is_left_whole(left, laps - turn, laps) ? end : laps;
}

static void path_break(const struct plan_site *site, const struct cutting *cutting,
                       struct plan_layer *layer, size_t path, size_t *room) {
  double looked, laps = path_length(cutting->path) - cutting->path->tie_in;
  struct stretches left = path_left(site, cutting, &looked);
  double end = path_end(site, cutting, &left);
  bool is_first = true;
  for (size_t i = 0; i < left.count && left.items[i].from < laps - ZONE_SLIVER; i++) {
    struct stretch on = left.items[i];
    double to = fmin(on.to, end);
    double free = on.to >= looked - ZONE_SLIVER ? (double)INFINITY : on.to - to;
    struct plan_run run = run_make(cutting, path, on.from, to, free);
    if (!is_first)
      run.crossing = legs_between(cutting, left.items[i - 1].to, on.from, &run.crossing_count);
    run_add(site, layer, run, room);
    is_first = false;
  }
}

static void tell_no_run(const struct plan_site *site, const struct plan_layer *layer) {
  struct diag *diag =
      diag_error(site->diags, DIAG_ZONES_TAKE_ALL, site->overlay->origin.head,
                 "the zones leave no place for the arc in layer %" PRId64, layer->number);
  for (size_t i = 0; i < site->overlay->zone_count; i++)
    diag_note(diag, site->overlay->zones[i].origin.head, "zone `%s`, arc %s",
              site->overlay->zones[i].name, site->overlay->zones[i].is_on ? "on" : "off");
}

void layer_runs(const struct plan_site *site, struct plan_layer *layer) {
  size_t room = 0;
  for (size_t k = 0; k < layer->path_count; k++) {
    struct cutting cutting = cutting_make(site->arena, site->contour, layer, &layer->paths[k]);
    if (site->overlay->zone_count > 0)
      path_break(site, &cutting, layer, k, &room);
    else
      run_add(site, layer, run_make(&cutting, k, 0, path_length(cutting.path), (double)INFINITY),
              &room);
  }
  if (layer->run_count == 0)
    tell_no_run(site, layer);
}

struct plan_run run_rest(struct arena *arena, const struct contour *contour,
                         const struct plan_layer *layer, const struct plan_run *run,
                         double behind) {
  struct cutting cutting = cutting_make(arena, contour, layer, &layer->paths[run->path]);
  return run_make(&cutting, run->path, run->from + behind, run->to, run->room);
}
