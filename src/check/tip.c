/* tip.c - every piece with the arc on is laid against the contour offset by the layer's offset and
 * the arc length (locus.c), and its height against the depths of the plan.
 *
 * Height: where the piece's z is linear in the pool's path so is the plan's depth, and both ends
 * decide.  Where a slope is eased it must stay within the depths of the legs that meet there. Where
 * the tip sways, what the sway asks for (sway.c) is taken off first: what is left is the lap's
 * centre line, which is judged like any, and along which the pool has its forward speed.  Zones are
 * judged where the tip really is. */
#include "check/tip.h"

#include <math.h>

#include "check/locus.h"

static const double TIP_LIMIT = 0.001, SURE = 1e-7, JOINT_NEAR = 0.05; /* mm */

struct tip_judge tip_begin(const struct scene *scene) {
  return (struct tip_judge){.scene = scene,
                            .off = {.value = -1},
                            .tilt = {.value = -1},
                            .pool = pool_begin(scene),
                            .zones = zone_judge_begin(scene)};
}

struct track { /* one piece and what it should follow */
  const struct phase *phase;
  const struct piece *piece; /* of the lap's centre line, where the tip sways about it */
  const struct piece *real;
  const struct contour *contour;
  double qa, qb;
  double reach, offset, tilt_limit;
  double rise; /* distance in height, mm */
};

static double time_at(const struct piece *piece, double q) {
  return piece->t0 + cubic_solve_rising(piece->q, 0, piece->t1 - piece->t0, q);
}

/* q at which |p| is largest: an end, or where p' = 0. */
static double largest_at(struct cubic p, double qa, double qb) {
  double best = fabs(cubic_at(p, qa)) >= fabs(cubic_at(p, qb)) ? qa : qb;
  double a = 3 * p.c3, b = p.c2, c = p.c1, root = b * b - a * c; /* a q^2 + 2 b q + c = 0 */
  if (root < 0)
    return best;
  double far = b >= 0 ? -b - sqrt(root) : -b + sqrt(root);
  double at[2] = {a != 0 ? far / a : qa, far != 0 ? c / far : qa};
  for (int i = 0; i < 2; i++)
    if (at[i] > qa && at[i] < qb && fabs(cubic_at(p, at[i])) > fabs(cubic_at(p, best)))
      best = at[i];
  return best;
}

/* What is no number is more than any. */
static bool is_more(double value, const struct peak *peak) {
  return !(value <= peak->value);
}

static void raise(struct peak *peak, double value, const struct track *track, double q) {
  if (is_more(value, peak))
    *peak = (struct peak){isnan(value) ? HUGE_VAL : value, time_at(track->piece, q), track->phase};
}

/* The segment that a way follows: the last one or a neighbour of it where that is surely right,
 * else the nearest of all. */
static size_t seg_of(const struct tip_judge *judge, const struct track *track,
                     const struct tip_way *way, double *distance) {
  size_t count = track->contour->count, last = judge->near_seg < count ? judge->near_seg : 0;
  size_t likely[3] = {last, (last + 1) % count, (last + count - 1) % count};
  for (int i = 0; i < 3; i++) {
    *distance = tip_way_distance(way, &track->contour->segs[likely[i]], track->offset);
    if (*distance <= SURE)
      return likely[i];
  }
  size_t best = 0;
  *distance = HUGE_VAL;
  for (size_t i = 0; i < count; i++) {
    double d = tip_way_distance(way, &track->contour->segs[i], track->offset);
    if (d < *distance) {
      *distance = d;
      best = i;
    }
  }
  return best;
}

static void judge_tilt(struct tip_judge *judge, const struct track *track,
                       const struct tip_way *way, const struct contour_seg *seg) {
  struct cubic tilt = tip_way_tilt(way, &track->piece->curve, seg);
  double q = largest_at(tilt, way->qa, way->qb);
  double share = fabs(cubic_at(tilt, q)) / track->tilt_limit;
  if (is_more(share, &judge->tilt))
    judge->tilt_limit = track->tilt_limit;
  raise(&judge->tilt, share, track, q);
}

static void take_way(struct tip_judge *judge, const struct track *track, const struct tip_way *way,
                     size_t seg, double distance) {
  raise(&judge->off, num_hypot(distance, track->rise), track, way->qa);
  if (isinf(distance)) /* no segment of its kind: the angle has nothing to be measured from */
    return;
  judge->near_seg = seg;
  judge_tilt(judge, track, way, &track->contour->segs[seg]);
  pool_way(&judge->pool, track->phase, track->piece, way, &track->contour->segs[seg]);
}

static void judge_way(struct tip_judge *judge, const struct track *track, double qa, double qb) {
  const struct curve *curve = &track->piece->curve;
  struct tip_way way = tip_way_make(curve, track->reach, qa, qb);
  double distance, cut;
  size_t seg = seg_of(judge, track, &way, &distance);
  if (distance > SURE &&
      tip_way_cut(&way, curve, track->contour, track->offset, JOINT_NEAR, &cut)) {
    judge_way(judge, track, qa, cut);
    judge_way(judge, track, cut, qb);
    return;
  }
  take_way(judge, track, &way, seg, distance);
  if (!isinf(distance))
    zone_way(&judge->zones, track->phase, track->real, &way, &track->contour->segs[seg],
             track->offset);
}

/* -- height ----------------------------------------------------------------------------------- */

static const double BORDER = 1e-9; /* mm: from so far before a leg on it is that leg */

/* Legs follow one another, and so do the places asked for. */
static struct plan_place place_reached(struct tip_judge *judge, const struct phase *phase,
                                       const struct plan_run *run, double t) {
  const struct motion *motion = judge->scene->motion;
  struct plan_place *reached = &judge->reached;
  if (reached->phase == phase && reached->t == t)
    return *reached;
  double length = run_length_at(motion, phase, t);
  size_t i =
      reached->phase == phase && reached->t < t ? reached->leg : run_leg_at(motion, phase, t);
  while (i + 1 < run->leg_count && run_leg_start(motion, phase, i + 1) <= length + BORDER)
    i++;
  const struct plan_leg *leg = &run->legs[i];
  double from = run_leg_start(motion, phase, i), to = run_leg_start(motion, phase, i + 1);
  double share = to > from ? num_lesser(num_larger((length - from) / (to - from), 0), 1) : 1;
  double depth = leg->depth_from + share * (leg->depth_to - leg->depth_from);
  return *reached = (struct plan_place){phase, t, depth, i};
}

/* Depths between which a piece must stay that is eased from one leg to another. */
static struct range depths_near(const struct plan_run *run, size_t first, size_t last) {
  first -= first > 0;
  last += last + 1 < run->leg_count;
  struct range depths = {HUGE_VAL, -HUGE_VAL};
  for (size_t i = first; i <= last; i++) {
    const struct plan_leg *leg = &run->legs[i];
    depths.lo = num_lesser(depths.lo, num_lesser(leg->depth_from, leg->depth_to));
    depths.hi = num_larger(depths.hi, num_larger(leg->depth_from, leg->depth_to));
  }
  return depths;
}

static double rise_of(struct tip_judge *judge, const struct phase *phase, const struct piece *piece,
                      double qa, double qb) {
  const struct plan *plan = judge->scene->motion->plan;
  const struct plan_run *run = &phase->plan_layer->runs[phase->run];
  const struct cubic z = piece->curve.z;
  double zero = plan->placement.at.z + plan->job->cell->drop; /* depth = zero - z */
  double from = zero - cubic_at(z, qa), to = zero - cubic_at(z, qb);
  bool travels = phase->kind == PHASE_WELD || phase->kind == PHASE_DOWNSLOPE;
  if (!travels)
    return num_larger(fabs(from - run->legs[0].depth_from), fabs(to - from));
  struct plan_place first = place_reached(judge, phase, run, piece->t0);
  struct plan_place last = place_reached(judge, phase, run, piece->t1);
  if (cubic_is_linear(z))
    return num_larger(fabs(from - first.depth), fabs(to - last.depth));
  struct range allowed = depths_near(run, first.leg, last.leg), taken;
  cubic_range(z, qa, qb, &taken.lo, &taken.hi);
  return num_larger(num_larger(allowed.lo - (zero - taken.hi), zero - taken.lo - allowed.hi), 0);
}

static struct track track_of(const struct tip_judge *judge, const struct phase *phase,
                             const struct piece *piece, const struct piece *centre) {
  const struct motion *motion = judge->scene->motion;
  const struct procedure *procedure = phase->plan_layer->procedure;
  return (struct track){.phase = phase,
                        .piece = centre,
                        .real = piece,
                        .contour = phase_overlay(motion, phase)->contour,
                        .qa = cubic_at(piece->q, 0),
                        .qb = cubic_at(piece->q, piece->t1 - piece->t0),
                        .reach = motion->plan->job->cell->reach,
                        .offset = phase->plan_layer->offset + procedure->arc_length,
                        .tilt_limit = procedure->angle_tolerance};
}

/* One stretch; centre is the piece without the sway. */
static void judge_stretch(struct tip_judge *judge, const struct phase *phase,
                          const struct piece *piece, const struct piece *centre) {
  struct track track = track_of(judge, phase, piece, centre);
  track.rise = rise_of(judge, phase, centre, track.qa, track.qb);
  judge_way(judge, &track, track.qa, track.qb);
}

/* -- sway ---------------------------------------------------------------------------------------
 */

static const double ROUNDED = 1e-9; /* mm of the pool's path: no stretch is shorter */
/* What is left of nothing when one cubic is taken off another that begins 1e-10 mm beside it. */
static const double SHARE_LEFT = 1e-7, BESIDE = 1e-8;

static struct cubic sum(struct cubic z, struct cubic deeper, double length) {
  struct cubic p = {z.c0 + deeper.c0, z.c1 + deeper.c1, z.c2 + deeper.c2, z.c3 + deeper.c3};
  bool is_even = fabs(p.c2) <= SHARE_LEFT * fabs(deeper.c2) + BESIDE * fabs(deeper.c3) &&
                 fabs(p.c3) <= SHARE_LEFT * fabs(deeper.c3);
  if (is_even || length < 10 * ROUNDED)
    p.c2 = p.c3 = 0;
  return p;
}

static struct piece piece_between(const struct piece *piece, double t0, double t1) {
  struct piece part = *piece;
  part.q = cubic_shift(piece->q, t0 - piece->t0);
  part.t0 = t0;
  part.t1 = t1;
  return part;
}

static void asked_take(struct tip_judge *judge, const struct phase *phase) {
  if (judge->asked.phase != phase)
    judge->asked = sway_asked_make(judge->scene->motion, phase);
}

/* Stretch by stretch on which the sway asked for is one cubic; as a rule the piece is one. */
static void judge_swaying(struct tip_judge *judge, const struct phase *phase,
                          const struct piece *piece) {
  asked_take(judge, phase);
  double begin = cubic_at(piece->q, 0), end = cubic_at(piece->q, piece->t1 - piece->t0);
  /* q of the piece's curve and the pool's path */
  double ahead = run_length_at(judge->scene->motion, phase, piece->t0) - begin;
  double from = begin;
  do {
    struct sway_stretch stretch = sway_asked_at(&judge->asked, from + ahead);
    double to = stretch.to - ahead < end - ROUNDED ? stretch.to - ahead : end;
    double t0 = from > begin ? time_at(piece, from) : piece->t0;
    double t1 = to < end ? time_at(piece, to) : piece->t1;
    struct piece part = piece_between(piece, t0, t1), centre = part;
    centre.curve.z = sum(piece->curve.z, cubic_shift(stretch.deeper, -from), to - from);
    judge_stretch(judge, phase, &part, &centre);
    from = to;
  } while (from < end);
}

void tip_piece(struct tip_judge *judge, const struct phase *phase, const struct piece *piece) {
  bool travels = phase->kind == PHASE_WELD || phase->kind == PHASE_DOWNSLOPE;
  if (!phase->arc)
    return;
  if (travels && phase->plan_layer->procedure->oscillation.width > 0)
    judge_swaying(judge, phase, piece);
  else
    judge_stretch(judge, phase, piece, piece);
}

static void pieces_of_swings(struct tip_judge *judge, const struct phase *phase,
                             const struct swings *swings) {
  struct piece pieces[HALF_PIECES];
  for (int64_t i = 0; i < swings->count; i++) {
    size_t count = swings_pieces(swings, i, pieces);
    for (size_t k = 0; k < count; k++)
      judge_swaying(judge, phase, &pieces[k]);
  }
}

/* The centre line is judged like that of a lap without sway, once for all of them. */
void tip_swings(struct tip_judge *judge, const struct phase *phase, const struct swings *swings) {
  const struct piece *centre = &swings->centre;
  if (!phase->arc)
    return;
  struct track track = track_of(judge, phase, centre, centre);
  struct tip_way way = tip_way_make(&centre->curve, track.reach, track.qa, track.qb);
  double ahead = run_length_at(judge->scene->motion, phase, centre->t0) - track.qa, distance;
  size_t seg = seg_of(judge, &track, &way, &distance);
  asked_take(judge, phase);
  double off = sway_asked_off(&judge->asked, swings, ahead);
  if (!(distance <= SURE) || isinf(off)) {
    pieces_of_swings(judge, phase, swings);
    return;
  }
  track.rise = rise_of(judge, phase, centre, track.qa, track.qb) + off;
  take_way(judge, &track, &way, seg, distance);
  zone_swings(&judge->zones, phase, swings, &way, &track.contour->segs[seg], track.offset);
}

void tip_end(struct tip_judge *judge, struct check_result results[4]) {
  results[0] = finding_not_asked("tip-path", "mm");
  results[1] = finding_not_asked("torch-angle", "deg");
  if (judge->off.phase) {
    bool passed = judge->off.value <= TIP_LIMIT;
    results[0] = finding_at(judge->scene, "tip-path", &judge->off, passed, NULL);
    results[0].worst = judge->off.value;
    results[0].limit = TIP_LIMIT;
    results[0].unit = "mm";
  }
  if (judge->tilt.phase) {
    bool passed = judge->tilt.value <= 1 + CHECK_SLACK;
    results[1] = finding_at(judge->scene, "torch-angle", &judge->tilt, passed, NULL);
    results[1].worst = judge->tilt.value * judge->tilt_limit / DEGREE;
    results[1].limit = judge->tilt_limit / DEGREE;
    results[1].unit = "deg";
  }
  results[2] = pool_end(&judge->pool);
  results[3] = zone_judge_end(&judge->zones);
}
