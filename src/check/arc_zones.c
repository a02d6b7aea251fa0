/* arc_zones.c - the least allowance along the real motion.
 *
 * The pool lies below the tip, so on a segment of the contour its place s is a cubic in q as the
 * tip's way is, and its depth is one as z is.  Over a stretch of q both have exact ranges, and the
 * allowance over that box is bounded (allowance.h): search.c does the rest.
 *
 * The allowance changes by no more than the place moves.  So a way whose places are all nearer to
 * one looked at before than that has to spare over the worst so far holds nothing worse: one look
 * settles many pieces. */
#include "check/arc_zones.h"

#include <math.h>

#include "borelay/arena.h"

/* At a joint the pool may be ahead of its nominal place by what rounding costs: 1 % of half a
 * millimetre (docs/motion.md, section 3). */
static const double ZONE_LIMIT = 0.005; /* mm */
/* How sharply the worst place is found: mm, and a share of what there is to spare. */
static const double FOUND = 1e-6, SPARE_SHARE = 0.02;

struct zone_judge zone_judge_begin(const struct scene *scene) {
  const struct plan *plan = scene->motion->plan;
  struct zone_judge judge = {.scene = scene};
  judge.allowances = arena_alloc(scene->arena, plan->overlay_count, sizeof *judge.allowances);
  for (size_t i = 0; i < plan->overlay_count; i++) {
    judge.allowances[i] = allowance_make(scene->arena, plan, &plan->overlays[i]);
    judge.any |= judge.allowances[i] != NULL;
  }
  search_begin(&judge.search, 1);
  return judge;
}

struct pool_track { /* of one way */
  const struct allowance *allowance;
  const struct piece *piece;
  double qa, qb;
  struct cubic s, z;
  double zero; /* depth = zero - z */
};

static double q_at(const struct pool_track *track, double t) {
  double q = cubic_at(track->piece->q, t - track->piece->t0);
  return fmin(fmax(q, track->qa), track->qb);
}

static void values(const void *context, double t, double *out) {
  const struct pool_track *track = context;
  double q = q_at(track, t);
  *out =
      -allowance_at(track->allowance, cubic_at(track->s, q), track->zero - cubic_at(track->z, q));
}

static struct wall_box box_over(const struct pool_track *track, double qa, double qb) {
  struct wall_box box;
  struct range z;
  cubic_range(track->s, qa, qb, &box.s.lo, &box.s.hi);
  cubic_range(track->z, qa, qb, &z.lo, &z.hi);
  box.depth = (struct range){track->zero - z.hi, track->zero - z.lo};
  return box;
}

static void bounds(const void *context, double ta, double tb, double *out) {
  const struct pool_track *track = context;
  struct wall_box box = box_over(track, q_at(track, ta), q_at(track, tb));
  *out = -allowance_over(track->allowance, box).lo;
}

/* Of all places of the box. */
static double farthest(const struct wall_box *box, const struct zone_look *from) {
  double along = fmax(fabs(box->s.lo - from->s), fabs(box->s.hi - from->s));
  double down = fmax(fabs(box->depth.lo - from->depth), fabs(box->depth.hi - from->depth));
  return num_hypot(along, down);
}

static const double SURE = 1e-7; /* mm: far above rounding */

/* No place of the box has less to spare than the worst so far. */
static bool is_settled(const struct zone_judge *judge, const struct allowance *allowance,
                       const struct wall_box *box) {
  const struct zone_look *near = &judge->near;
  return near->allowance == allowance &&
         near->at - farthest(box, near) >= SURE - judge->search.best[0].value;
}

static void look(struct zone_judge *judge, const struct pool_track *track, double q) {
  double s = cubic_at(track->s, q), depth = track->zero - cubic_at(track->z, q);
  judge->near =
      (struct zone_look){track->allowance, s, depth, allowance_at(track->allowance, s, depth)};
}

static const struct allowance *allowance_of(const struct zone_judge *judge,
                                            const struct phase *phase) {
  return judge->allowances[phase->overlay - 1];
}

static double zero_of(const struct zone_judge *judge) {
  const struct plan *plan = judge->scene->motion->plan;
  return plan->placement.at.z + plan->job->cell->drop;
}

static double time_at(const struct piece *piece, double q) {
  return piece->t0 + cubic_solve_rising(piece->q, 0, piece->t1 - piece->t0, q);
}

static void track_judge(struct zone_judge *judge, const struct phase *phase,
                        const struct pool_track *track) {
  struct wall_box box = box_over(track, track->qa, track->qb);
  if (is_settled(judge, track->allowance, &box))
    return;
  look(judge, track, track->qa);
  if (is_settled(judge, track->allowance, &box))
    return;
  struct subject subject = {values, bounds, track, phase};
  double before = judge->search.best[0].value;
  double from = time_at(track->piece, track->qa), to = time_at(track->piece, track->qb);
  double spare = fmax(-fmax(before, -judge->near.at), 0);
  judge->search.tolerance[0] = FOUND + (isinf(spare) ? 0 : SPARE_SHARE * spare);
  search_stretch(&judge->search, &subject, from, to);
  if (judge->search.best[0].value > before) {
    double q = q_at(track, judge->search.best[0].t);
    judge->s = cubic_at(track->s, q);
    judge->depth = track->zero - cubic_at(track->z, q);
  }
}

void zone_way(struct zone_judge *judge, const struct phase *phase, const struct piece *piece,
              const struct tip_way *way, const struct contour_seg *seg, double offset) {
  struct pool_track track = {.allowance = allowance_of(judge, phase),
                             .piece = piece,
                             .qa = way->qa,
                             .qb = way->qb,
                             .s = tip_way_place(way, &piece->curve, seg, offset),
                             .z = piece->curve.z,
                             .zero = zero_of(judge)};
  if (track.allowance)
    track_judge(judge, phase, &track);
}

/* s: of the centre line, in q of its curve.  By halves, down to a single sway. */
static void sways_judge(struct zone_judge *judge, const struct phase *phase,
                        const struct swings *swings, struct cubic s) {
  const struct piece *centre = &swings->centre;
  struct pool_track track = {.allowance = allowance_of(judge, phase),
                             .piece = centre,
                             .qa = centre->q.c0,
                             .qb = cubic_at(centre->q, centre->t1 - centre->t0),
                             .s = s,
                             .z = centre->curve.z,
                             .zero = zero_of(judge)};
  struct wall_box box = box_over(&track, track.qa, track.qb);
  box.depth.lo -= swings->amplitude;
  box.depth.hi += swings->amplitude;
  if (is_settled(judge, track.allowance, &box))
    return;
  look(judge, &track, track.qa + (track.qb - track.qa) / 2);
  if (is_settled(judge, track.allowance, &box))
    return;
  if (swings->count > 2) {
    for (int half = 0; half < 2; half++) {
      struct swings halved = swings_halved(swings, half);
      sways_judge(judge, phase, &halved, s);
    }
    return;
  }
  struct piece pieces[SWAY_PIECES];
  size_t count = swings_sway(swings, 0, pieces);
  for (size_t i = 0; i < count; i++) {
    double from = centre->q.c0 + (pieces[i].t0 - centre->t0) * centre->q.c1;
    track.piece = &pieces[i];
    track.qa = 0;
    track.qb = pieces[i].curve.length;
    track.s = cubic_shift(s, from);
    track.z = pieces[i].curve.z;
    track_judge(judge, phase, &track);
  }
}

void zone_swings(struct zone_judge *judge, const struct phase *phase, const struct swings *swings,
                 const struct tip_way *way, const struct contour_seg *seg, double offset) {
  if (allowance_of(judge, phase))
    sways_judge(judge, phase, swings, tip_way_place(way, &swings->centre.curve, seg, offset));
}

static const double TOLD = 5e-4; /* mm: less shows as nothing */

static const char *words(const struct zone_judge *judge, const struct zone *zone, double s,
                         double beyond) {
  struct arena *arena = judge->scene->arena;
  const char *at = arena_format(arena, "s = %.3f mm, depth %.3f mm", s, judge->depth);
  if (beyond < -TOLD)
    return arena_format(arena, "arc on some %.2g mm from the edge of zone `%s`, %s", -beyond,
                        zone->name, at);
  if (beyond < TOLD)
    return arena_format(arena, "arc on up to the edge of zone `%s`, %s", zone->name, at);
  const char *where = zone->is_on ? "outside every zone with the arc on, nearest to" : "inside";
  return arena_format(arena, "arc on %.3f mm %s zone `%s` with its margin, %s", beyond, where,
                      zone->name, at);
}

struct check_result zone_judge_end(const struct zone_judge *judge) {
  struct check_result result = finding_not_asked("arc-zones", "mm");
  const struct peak *peak = &judge->search.best[0];
  double worst = fmax(peak->value, 0);
  bool passed = worst <= ZONE_LIMIT;
  if (!judge->any)
    return result;
  if (peak->phase) {
    const struct plan_overlay *overlay = phase_overlay(judge->scene->motion, peak->phase);
    const struct allowance *allowance = judge->allowances[peak->phase->overlay - 1];
    const struct zone *zone = allowance_zone(allowance, judge->s, judge->depth);
    double turns, s = contour_wrap(overlay->contour, judge->s, &turns);
    const char *what =
        finding_is_told(judge->scene, passed) ? words(judge, zone, s, peak->value) : NULL;
    result = finding_at(judge->scene, "arc-zones", peak, passed, what);
    result.unit = "mm";
    result.at = zone->origin.head;
  }
  result.judged = true;
  result.worst = worst;
  result.limit = ZONE_LIMIT;
  result.passed = passed;
  return result;
}
