/* The largest distance of any place of one way to the other way, and the other way round: proved by
 * bounds, not by samples.
 *
 * The distance to one straight line is a convex function of the place, so along a line of the first
 * way it is largest at one of the ends: the distance of both ends to any one line of the second way
 * bounds that of all places between from above, and so does the distance of the middle plus half
 * the length.  Where neither is below the largest distance found so far plus a small slack, the
 * line is halved.  A line runs within TIP_CHORD of its curve, and at the same share of the time, so
 * what is found for the lines holds for the curves within 2 TIP_CHORD. */
#include "compare/apart.h"

#include <math.h>

#include "borelay/arena.h"
#include "compare/near.h"

static const double SLACK = APART_SURE - 2 * TIP_CHORD - 0.001; /* the last: doubles, generously */

struct search {
  const struct tip_course *way; /* whose places are looked at */
  const struct near_tree *other;
  const struct tip_line *other_lines;
  struct apart *best;
};

static double length_of(const struct tip_line *line) {
  double x = line->to.x - line->from.x, y = line->to.y - line->from.y,
         z = line->to.z - line->from.z;
  return sqrt(x * x + y * y + z * z);
}

/* An upper bound on the distance from the line to the other way; *near: a guess, bettered. */
static double bound(const struct search *search, const struct tip_line *line, size_t *guess) {
  vec3 middle = tip_line_at(line, 0.5);
  struct near near = near_find(search->other, middle, *guess);
  *guess = near.line;
  if (near.distance > search->best->distance) {
    search->best->distance = near.distance;
    search->best->at = middle;
    search->best->t = line->ta + (line->tb - line->ta) / 2;
    search->best->phase = line->phase;
    search->best->is_there = true;
  }
  const struct tip_line *one = &search->other_lines[near.line];
  double by_ends = fmax(line_distance(one, line->from), line_distance(one, line->to));
  return fmin(near.distance + length_of(line) / 2, by_ends);
}

static void refine(const struct search *search, const struct tip_line *line, size_t guess) {
  if (bound(search, line, &guess) <= search->best->distance + SLACK)
    return;
  vec3 middle = tip_line_at(line, 0.5);
  double t = line->ta + (line->tb - line->ta) / 2;
  struct tip_line first = {line->from, middle, line->ta, t, line->phase};
  struct tip_line second = {middle, line->to, t, line->tb, line->phase};
  refine(search, &first, guess);
  refine(search, &second, guess);
}

/* Every line once, for a largest distance that is nearly right; then those that could hold more. */
static void look(struct arena *arena, const struct search *search) {
  const struct tip_course *way = search->way;
  double *bounds = arena_alloc(arena, way->count, sizeof *bounds);
  size_t *guesses = arena_alloc(arena, way->count, sizeof *guesses);
  size_t guess = 0;
  for (size_t i = 0; i < way->count; i++) {
    bounds[i] = bound(search, &way->lines[i], &guess);
    guesses[i] = guess;
  }
  for (size_t i = 0; i < way->count; i++)
    if (bounds[i] > search->best->distance + SLACK)
      refine(search, &way->lines[i], guesses[i]);
}

struct apart apart_find(struct arena *arena, const struct tip_course *first,
                        const struct tip_course *second) {
  const struct tip_course *ways[2] = {first, second};
  struct apart found[2] = {{.distance = -1, .side = 0}, {.distance = -1, .side = 1}};
  if (first->count == 0 || second->count == 0)
    return (struct apart){.is_there = false};
  for (int side = 0; side < 2; side++) {
    const struct tip_course *other = ways[1 - side];
    struct search search = {ways[side], near_tree_make(arena, other), other->lines, &found[side]};
    look(arena, &search);
  }
  return found[1].distance > found[0].distance ? found[1] : found[0];
}
