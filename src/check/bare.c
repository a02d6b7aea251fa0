/* bare.c - where the wire comes after the travel, and what lies over that later.
 *
 * Wire that was drawn back as the last downslope began reaches the pool only when that length is
 * fed again, so metal begins wire_retract / wire_feed_speed after the wire does.  What is travelled
 * before is bare unless the arc passes there again with the wire on: in the tie-in of the same lap,
 * or in the next turn while that is still near.  Near means within a quarter of a bead's width in
 * depth, where a parabolic bead still stands 1 - (1/2)^2 = 3/4 of its height. */
#include "check/bare.h"

#include <math.h>

#include "borelay/arena.h"

static const double SHORTEST = 1e-6; /* mm: less is rounding */

/* sigma at stream time t, within travel at full current. */
static double sigma_at(const struct motion *motion, const struct phase *weld,
                       const struct run_way *way, double t) {
  double length = run_length_at(motion, weld, t);
  size_t leg = run_leg_at(motion, weld, t);
  double from = run_leg_start(motion, weld, leg), to = run_leg_start(motion, weld, leg + 1);
  double share = to > from ? fmin(fmax((length - from) / (to - from), 0), 1) : 1;
  return run_way_at_share(way, leg, share);
}

struct laid_run laid_run_make(struct arena *arena, const struct motion *motion,
                              const struct phase *weld) {
  struct run_info info = phase_run_info(motion, weld);
  const struct procedure *procedure = info.layer->procedure;
  double tick = motion->plan->job->cell->tick;
  double on = (double)weld->wire.feed0 * tick, off = (double)weld->wire.feed1 * tick;
  if (procedure->wire_feed_speed > 0)
    on += procedure->wire_retract / procedure->wire_feed_speed;
  struct laid_run laid = {.way = run_way_make(arena, info.overlay->contour, info.layer, info.run)};
  bool none = on >= off || procedure->wire_feed_speed <= 0;
  laid.from = none ? laid.way.total : sigma_at(motion, weld, &laid.way, on);
  laid.to = none ? laid.way.total : sigma_at(motion, weld, &laid.way, off);
  return laid;
}

/* -- what is still bare ----------------------------------------------------------------------- */

struct stretches { /* apart from each other */
  struct arena *arena;
  struct range *items;
  size_t count, room;
};

static void stretches_add(struct stretches *set, double lo, double hi) {
  if (hi - lo <= SHORTEST)
    return;
  if (set->count == set->room) {
    set->room = 2 * set->room + 4;
    set->items = arena_grow(set->arena, set->items, set->count, set->room, sizeof *set->items);
  }
  set->items[set->count++] = (struct range){lo, hi};
}

static void stretches_cut(struct stretches *set, double lo, double hi) {
  struct stretches left = {.arena = set->arena};
  for (size_t i = 0; i < set->count; i++) {
    struct range r = set->items[i];
    stretches_add(&left, r.lo, fmin(r.hi, fmax(lo, r.lo)));
    stretches_add(&left, fmax(r.lo, fmin(hi, r.hi)), r.hi);
  }
  *set = left;
}

/* Two legs over the same places of the contour: a bare one, and one that is laid, seen by the bare
 * run's sigma less `shift`. */
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
  for (size_t leg = run_way_leg(bare, x0, false); leg < bare->run->leg_count; leg++) {
    double a = fmax(x0, run_way_leg_begin(bare, leg)), b = fmin(x1, bare->leg_end[leg]);
    if (run_way_leg_begin(bare, leg) >= x1)
      return;
    pair->bare_leg = leg;
    if (b > a && legs_near(&bare->run->legs[leg], &pair->laid->run->legs[pair->laid_leg], near))
      cut_near(set, pair, a, b, near);
  }
}

static void cover_by(struct stretches *set, const struct run_way *bare, double lo, double hi,
                     const struct laid_run *laid, double near) {
  const struct run_way *way = &laid->way;
  double turn = bare->contour->perimeter;
  double delta = bare->layer->dir * (way->run->s_start - bare->run->s_start);
  for (size_t leg = 0; leg < way->run->leg_count; leg++) {
    double c0 = fmax(run_way_leg_begin(way, leg), laid->from) + delta;
    double c1 = fmin(way->leg_end[leg], laid->to) + delta;
    if (c1 <= c0)
      continue;
    int64_t last = (int64_t)floor((hi - c0) / turn);
    for (int64_t k = (int64_t)ceil((lo - c1) / turn); k <= last; k++) {
      double by = (double)k * turn;
      struct overlay_pair pair = {bare, way, 0, leg, delta + by};
      cover_at(set, &pair, fmax(lo, c0 + by), fmin(hi, c1 + by), near);
    }
  }
}

static void list_add(struct bare_list *list, const struct bare_length *bare) {
  if (list->count == list->room) {
    list->room = 2 * list->room + 8;
    list->items = arena_grow(list->arena, list->items, list->count, list->room, sizeof *bare);
  }
  list->items[list->count++] = *bare;
}

/* One entry a leg, since a leg is of one lap. */
static void tell(struct bare_list *list, const struct run_way *way, struct range stretch,
                 size_t overlay, size_t layer) {
  for (size_t leg = run_way_leg(way, stretch.lo, false); leg < way->run->leg_count; leg++) {
    double a = fmax(stretch.lo, run_way_leg_begin(way, leg)),
           b = fmin(stretch.hi, way->leg_end[leg]);
    if (b - a <= SHORTEST)
      return;
    double turns, s = way->run->s_start + way->layer->dir * a;
    struct bare_length bare = {overlay, layer, way->run->legs[leg].lap,
                               contour_wrap(way->contour, s, &turns),
                               run_way_length(way, leg, a, b)};
    list_add(list, &bare);
  }
}

static double level_apart(const struct laid_run *a, const struct laid_run *b) {
  return fabs(a->way.run->legs[0].depth_from - b->way.run->legs[0].depth_from);
}

/* The runs are in order of depth where they are rings: neighbours first, until too far away. */
static void cover_by_all(struct stretches *set, const struct laid_run *runs, size_t count, size_t i,
                         double lo, double hi, double near, bool rings) {
  for (size_t j = i; j < count && !(rings && level_apart(&runs[j], &runs[i]) > near); j++)
    cover_by(set, &runs[i].way, lo, hi, &runs[j], near);
  for (size_t j = i; j > 0 && !(rings && level_apart(&runs[j - 1], &runs[i]) > near); j--)
    cover_by(set, &runs[i].way, lo, hi, &runs[j - 1], near);
}

void bare_find(struct bare_list *list, const struct laid_run *runs, size_t run_count,
               size_t overlay, size_t layer, bool rings) {
  for (size_t i = 0; i < run_count; i++) {
    const struct run_way *way = &runs[i].way;
    double near = way->layer->procedure->bead_width / 4;
    double end = way->total - way->run->tie_in; /* the laps' own way; the tie-in is over them */
    double candidates[2][2] = {{0, fmin(runs[i].from, end)}, {fmax(runs[i].to, 0), end}};
    for (int c = 0; c < 2; c++) {
      double lo = candidates[c][0], hi = candidates[c][1];
      struct stretches set = {.arena = list->arena};
      stretches_add(&set, lo, hi);
      if (set.count > 0)
        cover_by_all(&set, runs, run_count, i, lo, hi, near, rings);
      for (size_t k = 0; k < set.count; k++)
        tell(list, way, set.items[k], overlay, layer);
    }
  }
}
