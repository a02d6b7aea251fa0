/* band.c - edges and neighbours.
 *
 * Judged on the unbroken paths: what zones take out of them is the affair of bare.c.
 * The first turn must run level half a bead inside one edge, the last one half a bead inside the
 * other, and one turn on the path must be no farther away than the pitch asked for.  At one place
 * of the contour both turns' depths are linear in the length of the pool's path from one leg border
 * to the next, and so is their difference: looking where either has a border is looking everywhere.
 * Laps over valleys are held against the laps below as both paths have them, not against a pitch.
 */
#include "check/band.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "check/run_way.h"

static void gap_raise(struct band_gap *gap, double missing, const char *what) {
  if (missing > gap->missing)
    *gap = (struct band_gap){missing, what};
}

/* Largest distance in depth between `depth` and the way over from .. to. */
static double leaves_level(const struct run_way *way, double from, double to, double depth) {
  if (from < -1e-9 || to > way->total + 1e-9)
    return HUGE_VAL;
  size_t first = run_way_leg(way, from, false), last = run_way_leg(way, to, true);
  double off = 0;
  for (size_t i = first; i <= last; i++) {
    double a = fmax(from, run_way_leg_begin(way, i)), b = fmin(to, way->leg_end[i]);
    off = fmax(off, fabs(run_way_depth(way, i, a) - depth));
    off = fmax(off, fabs(run_way_depth(way, i, b) - depth));
  }
  return off;
}

static double depth_at(const struct run_way *way, double sigma) {
  return run_way_depth(way, run_way_leg(way, sigma, false), sigma);
}

/* One turn on, the path is this much too far away. */
static void neighbours(struct band_gap *gap, const struct run_way *way, double wanted) {
  double perimeter = way->contour->perimeter, most = 0;
  for (size_t i = 0; i < way->leg_count; i++) {
    double at = way->leg_end[i];
    if (at + perimeter <= way->total)
      most = fmax(most, fabs(depth_at(way, at + perimeter) - depth_at(way, at)));
    if (at >= perimeter)
      most = fmax(most, fabs(depth_at(way, at) - depth_at(way, at - perimeter)));
  }
  gap_raise(gap, most - wanted, "between neighbouring laps");
}

static const char *const FIRST = "the first lap does not run level half a bead inside its edge";
static const char *const LAST = "the last lap does not run level half a bead inside its edge";

static void edges(struct band_gap *gap, const struct plan_layer *layer) {
  struct range band = layer->layer->depths;
  double half = bead_width_laid(layer->procedure) / 2;
  double shallow = fmin(layer->first_depth, layer->last_depth);
  double deep = fmax(layer->first_depth, layer->last_depth);
  gap_raise(gap, shallow - half - band.lo, "at the shallower edge of the band");
  gap_raise(gap, band.hi - half - deep, "at the deeper edge of the band");
}

static void one_path(struct arena *arena, struct band_gap *gap, const struct plan_overlay *overlay,
                     const struct plan_layer *layer) {
  const struct plan_path *path = &layer->paths[0];
  struct run_way way = run_way_of_path(arena, overlay->contour, layer, path);
  double turn = overlay->contour->perimeter, end = way.total - path->tie_in;
  gap_raise(gap, leaves_level(&way, 0, turn, layer->first_depth), FIRST);
  gap_raise(gap, leaves_level(&way, end - turn, end, layer->last_depth), LAST);
  neighbours(gap, &way, layer->wanted_pitch);
}

static void rings(struct arena *arena, struct band_gap *gap, const struct plan_overlay *overlay,
                  const struct plan_layer *layer) {
  double last = layer->first_depth, turn = overlay->contour->perimeter;
  for (size_t i = 0; i < layer->path_count; i++) {
    struct run_way way = run_way_of_path(arena, overlay->contour, layer, &layer->paths[i]);
    double depth = way.legs[0].depth_from;
    gap_raise(gap, leaves_level(&way, 0, turn, depth), "a ring is not level or not closed");
    if (i == 0)
      gap_raise(gap, fabs(depth - layer->first_depth), FIRST);
    else
      gap_raise(gap, fabs(depth - last) - layer->wanted_pitch, "between neighbouring rings");
    last = depth;
  }
  gap_raise(gap, fabs(last - layer->last_depth), LAST);
}

/* -- over the valleys ------------------------------------------------------------------------- */

/* Centre lines of a layer's laps from its paths alone: where the level and the sinking legs end. */
static double *laps_of_paths(struct arena *arena, const struct plan_layer *layer, size_t *count) {
  size_t room = 0, n = 0;
  for (size_t i = 0; i < layer->path_count; i++)
    room += layer->paths[i].leg_count;
  double *depths = arena_alloc(arena, room, sizeof *depths);
  for (size_t i = 0; i < layer->path_count; i++)
    for (size_t k = 0; k < layer->paths[i].leg_count; k++) {
      double depth = layer->paths[i].legs[k].depth_to;
      if (n == 0 || fabs(depth - depths[n - 1]) > 0)
        depths[n++] = depth;
    }
  *count = n;
  return depths;
}

static int depth_compare(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

/* How much farther from `depth` the nearest of the laps below lies on one side than on the other;
 * there: in order of depth. */
static double beside(const double *there, size_t count, double depth) {
  size_t lo = 0, hi = count; /* the first that is no shallower lies in lo .. hi */
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    if (there[middle] < depth)
      lo = middle + 1;
    else
      hi = middle;
  }
  bool is_on_one = lo < count && there[lo] == depth;
  double deeper = lo < count ? there[lo] - depth : HUGE_VAL;
  double shallower = is_on_one ? 0 : lo > 0 ? depth - there[lo - 1] : HUGE_VAL;
  return fabs(deeper - shallower);
}

/* Of each lap but the outer two, how much farther one of the laps beside it below is than the
 * other. */
static void valleys(struct arena *arena, struct band_gap *gap, const struct plan_layer *layer) {
  const struct plan_layer *below = layer - 1;
  size_t count, under;
  const double *here = laps_of_paths(arena, layer, &count);
  double *there = laps_of_paths(arena, below, &under);
  size_t wanted = under > 1 ? under + 1 : 1; /* one lap has no valley */
  if (count != wanted)
    gap_raise(gap, HUGE_VAL, "in laps over the valleys of the layer below");
  qsort(there, under, sizeof *there, depth_compare);
  for (size_t i = 1; count == wanted && i + 1 < count; i++)
    gap_raise(gap, beside(there, under, here[i]) / 2, "between a lap and the valley below");
}

struct band_gap band_gap_find(struct arena *arena, const struct plan_overlay *overlay,
                              const struct plan_layer *layer) {
  struct band_gap gap = {0, ""};
  edges(&gap, layer);
  if (overlay->overlay->pattern == PATTERN_RINGS)
    rings(arena, &gap, overlay, layer);
  else
    one_path(arena, &gap, overlay, layer);
  if (overlay->overlay->over_valleys && layer->number % 2 == 0)
    valleys(arena, &gap, layer);
  return gap;
}
