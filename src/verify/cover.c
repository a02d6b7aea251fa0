/* cover.c - places along the laps' centre lines on which no bead lies, and whether one is asked for
 * there: docs/semantics.md, coverage. */
#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "verify/judge.h"

static const double BARE_LEAST = 0.01; /* mm: twice what a rounding may shift the pool */
static const double SAME_DEPTH = 1e-6;

void cover_open(struct judge *judge, const struct lay *lay) {
  size_t paths = lay_path_count(lay);
  bool resumes = judge->mode == BORELAY_RESUME && !judge->lay;
  judge->cover = (struct cover){.from_sigma = resumes ? -1 : 0};
  judge->cover.beads = arena_alloc(judge->arena, paths, sizeof *judge->cover.beads);
  for (size_t i = 0; i < paths; i++)
    judge->cover.beads[i].arena = judge->arena;
}

/* A tie-in behind the start lies on what was there; where the wire comes later than that, all of
 * the way that the pool can have gone before it does: a tick later at most than the procedure says.
 */
double cover_taken_up(const struct judge *judge, size_t path, double sigma) {
  enum { HALVINGS = 60 };
  const struct lay *lay = judge->lay;
  const struct procedure *p = lay->procedure;
  double late = p->wire_start_delay + judge->tick - p->travel_start_delay;
  double way = late * lay->asked.most.of[ASKED_SPEED];
  double tie_end = sigma + lay->tie, turn = lay->wall->perimeter;
  double begin = lay_pool_way(lay, path, sigma), lo = tie_end, hi = tie_end;
  while (hi < lay_path_length(lay, path) && lay_pool_way(lay, path, hi) - begin < way)
    hi += turn;
  for (int i = 0; i < HALVINGS && hi > lo; i++) {
    double middle = lo + (hi - lo) / 2;
    if (lay_pool_way(lay, path, middle) - begin < way)
      lo = middle;
    else
      hi = middle;
  }
  return hi;
}

/* Depth changes with the way along a path by no more than this. */
static double steepest(const struct lay *lay) {
  return fabs(lay->sink) / fmin(lay->step, lay->wall->perimeter);
}

/* A path seen from another: the same place of the wall has `shift` more sigma there. */
struct over {
  const struct lay *lay;
  size_t path, laid; /* the bare one, and the one with beads */
  double shift;
};

static double apart_at(const struct over *over, double sigma) {
  return fabs(lay_depth(over->lay, over->laid, sigma + over->shift).depth -
              lay_depth(over->lay, over->path, sigma).depth);
}

/* A bead that lies over from .. to covers what of that it is no farther from than a quarter of its
 * width.  Found by halves. */
static void cut_near(const struct over *over, struct stretches *bare, double from, double to) {
  double middle = (from + to) / 2, most = over->lay->width / 4 + SAME_DEPTH;
  double apart = apart_at(over, middle), way = (to - from) * steepest(over->lay);
  if (apart - way > most)
    return;
  if (apart + way > most && to - from > BARE_LEAST / 4) {
    cut_near(over, bare, from, middle);
    cut_near(over, bare, middle, to);
  } else if (apart <= most) {
    stretches_cut(bare, from, to);
  }
}

static void cut_over(const struct judge *judge, const struct over *over, struct stretches *bare) {
  const struct stretches *beads = &judge->cover.beads[over->laid];
  struct stretches all =
      stretches_rest(&(struct stretches){.arena = judge->arena}, -INFINITY, INFINITY);
  all = stretches_meet(bare, &all);
  for (size_t i = 0; i < all.count; i++)
    for (size_t k = 0; k < beads->count; k++) {
      double from = fmax(beads->items[k].from - over->shift, all.items[i].from);
      double to = fmin(beads->items[k].to - over->shift, all.items[i].to);
      if (from < to)
        cut_near(over, bare, from, to);
    }
}

/* So many turns on or back a bead of the path may still lie near. */
static double turns_near(const struct lay *lay) {
  double sink = fabs(lay->sink) * lay->wall->perimeter / fmax(lay->unit, lay->wall->perimeter);
  double most = (double)lay->laps + 1;
  return sink > 0 ? fmin(ceil(lay->width / 4 / sink) + 2, most) : most;
}

/* Beads of the path itself, a turn and more on or back, and of rings beside it. */
static void cut_neighbours(const struct judge *judge, struct stretches *bare, size_t path) {
  const struct lay *lay = judge->lay;
  double turn = lay->wall->perimeter, turns = turns_near(lay);
  for (double n = -turns; n <= turns && bare->count > 0; n++)
    if (n != 0)
      cut_over(judge, &(struct over){lay, path, path, n * turn}, bare);
  if (judge->cover.beads[path].count == 0) /* a ring left out is missing, however near others are */
    return;
  for (size_t laid = 0; laid < lay_path_count(lay) && bare->count > 0; laid++) {
    double apart = fabs(lay_lap_depth(lay, (double)laid) - lay_lap_depth(lay, (double)path));
    if (laid == path || apart > lay->width / 4 + SAME_DEPTH)
      continue;
    double ahead = lay->dir * (lay_path_start(lay, path) - lay_path_start(lay, laid));
    double first = ahead - turn * (floor(ahead / turn) + 1); /* -turn <= first < 0 */
    for (double n = 0; n <= 3; n++)
      cut_over(judge, &(struct over){lay, path, laid, first + n * turn}, bare);
  }
}

/* Before a zone's edge the wire is out while the current falls. */
static void cut_downslopes(const struct judge *judge, struct stretches *bare, size_t path) {
  const struct procedure *p = judge->lay->procedure;
  double half_sway = p->oscillation.width / 2;
  double most = judge->lay->asked.most.of[ASKED_SPEED] * (p->downslope + judge->tick) + BARE_LEAST;
  for (size_t i = 0; i < judge->cover.end_count; i++) {
    const struct run_end *end = &judge->cover.ends[i];
    double depth = lay_depth(judge->lay, end->path, end->arc).depth;
    double s = lay_s(judge->lay, end->path, end->arc);
    bool is_edge =
        judge->room && arc_room_about(judge->room, s, depth, half_sway, NULL) < BARE_LEAST;
    if (end->path == path && is_edge && end->arc > end->wire &&
        lay_pool_way(judge->lay, path, end->arc) - lay_pool_way(judge->lay, path, end->wire) <=
            most)
      stretches_cut(bare, end->wire, end->arc);
  }
}

/* mm of a .. b on which the arc may be on. */
static double allowed_length(const struct judge *judge, size_t path, double a, double b) {
  const struct lay *lay = judge->lay;
  double middle = (a + b) / 2, half = (b - a) / 2;
  struct lay_depth depth = lay_depth(lay, path, middle);
  double room = arc_room_about(judge->room, lay_s(lay, path, middle), depth.depth,
                               lay->procedure->oscillation.width / 2, NULL);
  double way = half * num_hypot(1, steepest(lay));
  if (room + way <= BARE_LEAST / 2)
    return 0;
  if (room - way > 0)
    return b - a;
  if (b - a < BARE_LEAST)
    return room > BARE_LEAST ? b - a : 0;
  return allowed_length(judge, path, a, middle) + allowed_length(judge, path, middle, b);
}

bool cover_is_open(const struct judge *judge, size_t path, double from, double to) {
  return allowed_length(judge, path, from, to) >= to - from - BARE_LEAST;
}

static void judge_path(struct judge *judge, size_t path, double from, double *worst) {
  const struct lay *lay = judge->lay;
  struct stretches bare =
      stretches_rest(&judge->cover.beads[path], from, lay_path_length(lay, path));
  cut_neighbours(judge, &bare, path);
  cut_downslopes(judge, &bare, path);
  for (size_t i = 0; i < bare.count; i++) {
    double a = bare.items[i].from, b = bare.items[i].to;
    double missing = allowed_length(judge, path, a, b);
    *worst = fmax(*worst, missing);
    if (missing > BARE_LEAST)
      finding_fault(judge->findings, CHECK_COVERAGE, FINDING_NO_ROW,
                    "overlay %u, layer %u: lap %" PRId64
                    " is missing, or a part of it: %.3f mm without a bead",
                    lay->overlay_number, lay->layer_number, lay_lap(lay, path, (a + b) / 2),
                    missing);
  }
}

/* Of a layer that is taken up again what lies before is there. */
static void lay_before(const struct judge *judge) {
  const struct cover *cover = &judge->cover;
  for (size_t path = 0; path < cover->from_path; path++)
    stretches_add(&cover->beads[path], 0, lay_path_length(judge->lay, path));
  if (cover->asked_from > 0)
    stretches_add(&cover->beads[cover->from_path], 0, cover->asked_from);
}

void cover_close(struct judge *judge) {
  double worst = 0;
  struct cover *cover = &judge->cover;
  lay_before(judge);
  for (size_t path = cover->from_path; path < lay_path_count(judge->lay); path++)
    judge_path(judge, path, path == cover->from_path ? fmax(cover->asked_from, 0) : 0, &worst);
  finding_most(judge->findings, CHECK_COVERAGE, FINDING_NO_ROW, worst, 0, BARE_LEAST);
}
