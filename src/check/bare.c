/* bare.c - what no run lays, what lies over that from another time, and why the rest is bare.
 *
 * What is not laid is bare unless the arc passes there again with the wire on: in the tie-in of the
 * same lap, or in the next turn while that is still near.  Near means within a quarter of a bead's
 * width in depth, where a parabolic bead still stands 1 - (1/2)^2 = 3/4 of its height. */
#include "check/bare.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "borelay/stretches.h"

static const double SHORTEST = 3e-6; /* mm: less is rounding, in a run's ends and its legs' */

/* -- what lies over it ------------------------------------------------------------------------- */

/* Two legs over the same places of the contour: a bare one, and one that is laid, seen by the bare
 * path's sigma less `shift`. */
struct overlay_pair {
  const struct run_way *bare, *laid;
  size_t bare_leg, laid_leg;
  double shift;
};

static double apart(const struct overlay_pair *pair, double sigma) {
  return fabs(run_way_depth(pair->bare, pair->bare_leg, sigma) -
              run_way_depth(pair->laid, pair->laid_leg, sigma - pair->shift));
}

/* Cuts out what the laid leg is near to.  A bare leg that is level and a laid one that slopes one
 * way come apart one way: with one end near the border is found by halving. */
static void cut_near(struct stretches *set, const struct overlay_pair *pair, double x0, double x1,
                     double near) {
  bool near0 = apart(pair, x0) <= near, near1 = apart(pair, x1) <= near;
  if (near0 && near1) {
    stretches_cut(set, x0, x1);
    return;
  }
  if (near0 == near1)
    return;
  double in = near0 ? x0 : x1, out = near0 ? x1 : x0;
  for (int i = 0; i < 60; i++) {
    double mid = in + (out - in) / 2;
    if (apart(pair, mid) <= near)
      in = mid;
    else
      out = mid;
  }
  stretches_cut(set, fmin(in, near0 ? x0 : x1), fmax(in, near0 ? x0 : x1));
}

static bool legs_near(const struct plan_leg *a, const struct plan_leg *b, double near) {
  double above = fmin(a->depth_from, a->depth_to) - fmax(b->depth_from, b->depth_to);
  double below = fmin(b->depth_from, b->depth_to) - fmax(a->depth_from, a->depth_to);
  return fmax(above, below) <= near;
}

/* The laid leg, seen at `shift`, over the bare candidate lo .. hi. */
static void cover_at(struct stretches *set, struct overlay_pair *pair, double x0, double x1,
                     double near) {
  const struct run_way *bare = pair->bare;
  for (size_t leg = run_way_leg(bare, x0, false); leg < bare->leg_count; leg++) {
    double a = fmax(x0, run_way_leg_begin(bare, leg)), b = fmin(x1, bare->leg_end[leg]);
    if (run_way_leg_begin(bare, leg) >= x1)
      return;
    pair->bare_leg = leg;
    if (b > a && legs_near(&bare->legs[leg], &pair->laid->legs[pair->laid_leg], near))
      cut_near(set, pair, a, b, near);
  }
}

static void cover_by(struct stretches *set, const struct run_way *bare, struct stretch gap,
                     const struct run_way *way, const struct laid_run *laid, double near) {
  double turn = bare->contour->perimeter;
  double delta = bare->layer->dir * (way->s_start - bare->s_start);
  for (size_t leg = run_way_leg(way, laid->wire_from, false); leg < way->leg_count; leg++) {
    double c0 = fmax(run_way_leg_begin(way, leg), laid->wire_from) + delta;
    double c1 = fmin(way->leg_end[leg], laid->wire_to) + delta;
    if (c1 <= c0)
      return;
    int64_t last = (int64_t)floor((gap.to - c0) / turn);
    for (int64_t k = (int64_t)ceil((gap.from - c1) / turn); k <= last; k++) {
      double by = (double)k * turn;
      struct overlay_pair pair = {bare, way, 0, leg, delta + by};
      cover_at(set, &pair, fmax(gap.from, c0 + by), fmin(gap.to, c1 + by), near);
    }
  }
}

/* Is all that the run lays farther in depth than `near` from the range? */
static bool is_far(const struct laid_run *run, struct range depths, double near) {
  return fmin(run->depth_from, run->depth_to) > depths.hi + near ||
         fmax(run->depth_from, run->depth_to) < depths.lo - near;
}

/* What of the gap nothing laid is near to.  Depth goes one way from run to run of a layer, so that
 * from the gap on either way no more comes near after the first that is too far. */
static struct stretches gap_uncovered(const struct bare_list *list, const struct bare_layer *layer,
                                      size_t path, struct stretch gap) {
  const struct run_way *bare = &layer->paths[path].way;
  double near = bead_width_laid(bare->layer->procedure) / 4;
  double from = run_way_depth(bare, run_way_leg(bare, gap.from, false), gap.from);
  double to = run_way_depth(bare, run_way_leg(bare, gap.to, true), gap.to);
  struct range depths = {fmin(from, to), fmax(from, to)};
  struct stretches set = {.arena = list->arena};
  stretches_add(&set, gap.from, gap.to);
  size_t here = layer->paths[path].run_from;
  while (here < layer->paths[path].run_to && layer->runs[here].out < gap.from)
    here++;
  for (size_t j = here; j < layer->run_count && !is_far(&layer->runs[j], depths, near); j++)
    cover_by(&set, bare, gap, &layer->paths[layer->runs[j].path].way, &layer->runs[j], near);
  for (size_t j = here; j > 0 && !is_far(&layer->runs[j - 1], depths, near); j--)
    cover_by(&set, bare, gap, &layer->paths[layer->runs[j - 1].path].way, &layer->runs[j - 1],
             near);
  return stretches_sift(&set, SHORTEST);
}

/* -- why it is bare ---------------------------------------------------------------------------- */

static void list_add(struct bare_list *list, const struct bare_length *bare) {
  if (list->count == list->room) {
    list->room = 2 * list->room + 8;
    list->items = arena_grow(list->arena, list->items, list->count, list->room, sizeof *bare);
  }
  list->items[list->count++] = *bare;
}

struct teller {
  struct bare_list *list;
  const struct bare_layer *layer;
  const struct bare_path *path;
  const struct run_way *way; /* its */
  size_t leg;
};

/* Within one leg, hence of one lap. */
static void tell(const struct teller *teller, double from, double to, enum bare_kind kind) {
  if (to - from <= SHORTEST)
    return;
  const struct run_way *way = teller->way;
  double turns, s = contour_wrap(way->contour, run_way_s(way, from), &turns);
  struct bare_length bare = {kind,
                             teller->layer->overlay,
                             teller->layer->layer,
                             way->legs[teller->leg].lap,
                             s,
                             run_way_length(way, teller->leg, from, to)};
  list_add(teller->list, &bare);
}

static const double SHUT_SURE = 1e-8; /* mm: what is no longer and not proved counts as open */

/* Adds what is proved to lie where the arc may not be on. */
static void add_shut(struct stretches *shut, const struct teller *teller, double from, double to) {
  const struct run_way *way = teller->way;
  double s0 = run_way_s(way, from), s1 = run_way_s(way, to);
  double d0 = run_way_depth(way, teller->leg, from), d1 = run_way_depth(way, teller->leg, to);
  struct wall_box box = {{fmin(s0, s1), fmax(s0, s1)}, {fmin(d0, d1), fmax(d0, d1)}};
  struct range allowance = allowance_over(teller->layer->allowance, box);
  if (allowance.hi <= ALLOWANCE_NONE) {
    stretches_add(shut, from, to);
    return;
  }
  if (allowance.lo > ALLOWANCE_NONE || to - from <= SHUT_SURE)
    return;
  double middle = from + (to - from) / 2;
  add_shut(shut, teller, from, middle);
  add_shut(shut, teller, middle, to);
}

/* Where no run has its arc on. */
static void tell_without_arc(const struct teller *teller, double from, double to) {
  struct stretches shut = {.arena = teller->list->arena};
  if (teller->layer->allowance)
    add_shut(&shut, teller, from, to);
  for (size_t i = 0; i < shut.count; i++) {
    tell(teller, from, shut.items[i].from, BARE_WIRE);
    tell(teller, shut.items[i].from, shut.items[i].to, BARE_ZONE);
    from = shut.items[i].to;
  }
  tell(teller, from, to, BARE_WIRE);
}

static enum bare_kind kind_within(const struct laid_run *run, double from) {
  return run->is_at_edge && run->wire_from < run->wire_to && from >= run->wire_to - SHORTEST
             ? BARE_DOWNSLOPE
             : BARE_WIRE;
}

static void tell_in_leg(const struct teller *teller, double from, double to) {
  for (size_t i = teller->path->run_from; i < teller->path->run_to && from < to; i++) {
    const struct laid_run *run = &teller->layer->runs[i];
    if (run->out <= from)
      continue;
    if (run->from >= to)
      break;
    if (run->from > from)
      tell_without_arc(teller, from, run->from);
    from = fmax(from, run->from);
    tell(teller, from, fmin(to, run->out), kind_within(run, from));
    from = run->out;
  }
  if (from < to)
    tell_without_arc(teller, from, to);
}

static void tell_stretch(struct teller *teller, struct stretch stretch) {
  const struct run_way *way = teller->way;
  for (size_t leg = run_way_leg(way, stretch.from, false); leg < way->leg_count; leg++) {
    double from = fmax(stretch.from, run_way_leg_begin(way, leg));
    double to = fmin(stretch.to, way->leg_end[leg]);
    if (to <= from)
      return;
    teller->leg = leg;
    tell_in_leg(teller, from, to);
  }
}

/* -- all --------------------------------------------------------------------------------------- */

/* The laps' own way without what the path's runs lay on it; the tie-in lies over it. */
static struct stretches path_gaps(const struct bare_list *list, const struct bare_layer *layer,
                                  const struct bare_path *path) {
  struct stretches laid = {.arena = list->arena};
  for (size_t i = path->run_from; i < path->run_to; i++)
    stretches_add(&laid, layer->runs[i].wire_from, layer->runs[i].wire_to);
  struct stretches gaps = stretches_rest(&laid, 0, path->way.total - path->tie_in);
  return stretches_sift(&gaps, SHORTEST);
}

void bare_find(struct bare_list *list, const struct bare_layer *layer) {
  for (size_t i = 0; i < layer->path_count; i++) {
    const struct bare_path *path = &layer->paths[i];
    struct teller teller = {list, layer, path, &path->way, 0};
    struct stretches gaps = path_gaps(list, layer, path);
    for (size_t k = 0; k < gaps.count; k++) {
      struct stretches left = gap_uncovered(list, layer, i, gaps.items[k]);
      for (size_t n = 0; n < left.count; n++)
        tell_stretch(&teller, left.items[n]);
    }
  }
}
