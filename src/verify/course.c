/* course.c - while the arc is on: where the tip is on its locus, how the torch stands, what the
 * zones say, and which places get a bead.
 *
 * The wall's nearest place to the tip gives s; since s goes on from row to row, sigma is known to
 * the turn.  Where a row tells another lap than sigma does, the row is believed and the fault is
 * told, so that one missing lap is one fault and not all that follows. */
#include <inttypes.h>
#include <math.h>

#include "borelay/num.h"
#include "verify/judge.h"

/* -- where on the path ------------------------------------------------------------------------ */

static void place_run(struct judge *judge, const struct borelay_row *row, const struct foot *foot,
                      double depth) {
  struct run *run = &judge->run;
  run->is_placed = true;
  run->sigma = turns_place(judge->lay, run->path, row->lap, foot->s, depth, judge->gone);
  run->sigma_from = run->sigma;
  run->s = foot->s;
  run->depth = depth;
  run->may_shift = judge->cover.from_sigma < 0 && judge->lay->overlay->pattern == PATTERN_STEPPED;
  if (judge->cover.from_sigma < 0) { /* the first run of a resumed stream */
    judge->cover.from_sigma = run->sigma;
    judge->cover.asked_from = cover_taken_up(judge, run->path, run->sigma);
    judge->cover.from_path = run->path;
  } else {
    course_begin(judge, (int64_t)row->index);
  }
}

static double way_of(const struct judge *judge, double s) {
  double whole = judge->lay->wall->perimeter, way = judge->lay->dir * (s - judge->run.s);
  return way - whole * floor(way / whole + 0.5);
}

void course_end_bead(struct judge *judge) {
  struct run *run = &judge->run;
  if (run->bead_to > run->bead_from)
    stretches_add(&judge->cover.beads[run->path], run->bead_from, run->bead_to);
  run->bead_from = run->bead_to = 0;
}

/* Stretches follow on one another row by row: they are kept as one until it breaks. */
static void lay_bead(struct judge *judge, double from, double to) {
  struct run *run = &judge->run;
  if (from != run->bead_to) {
    course_end_bead(judge);
    run->bead_from = from;
  }
  run->bead_to = to;
}

/* -- how far off it the tip may be ------------------------------------------------------------ */

/* The slope begins and ends eased: within h of a knee the depth leaves the two straight legs by at
 * most the bump  slope (h - |x|)^3 / (6 h^2)  of docs/motion.md, section 2, x from the knee.  At
 * speed v that asks v^2 slope/h of the axis in acceleration and v^3 slope/h^2 in jerk, so h is no
 * less than these; four times that is taken for what other motion leaves of both.  A rehearsal has
 * speeds of its own: half of a step's own length there, down its slope. */
struct ease course_ease(const struct judge *judge, double knee_slope) {
  const struct axis_limits *z = &judge->job->cell->axis[AXIS_Z];
  double v = judge->lay->asked.most.of[ASKED_SPEED], slope = knee_slope;
  /* A tip that sways needs most of the axis for that: a tenth of it is left for the slope. */
  double left = judge->lay->procedure->oscillation.width > 0 ? 0.1 : 1;
  double accel = left * z->accel, jerk = left * z->jerk;
  double least = fmax(v * v * slope / accel, sqrt(v * v * v * slope / jerk));
  double most = judge->lay->step / 2 * sqrt(1 + slope * slope);
  return (struct ease){judge->is_timed ? fmin(4 * least, most) : most, slope};
}

static double eased(const struct judge *judge, const struct lay_depth *depth) {
  struct ease ease = course_ease(judge, depth->knee_slope);
  double rest = ease.window - depth->knee;
  return rest > 0 ? ease.slope * rest * rest * rest / (6 * ease.window * ease.window) : 0;
}

static double over(double value, double allowed) {
  return fmax(fabs(value) - allowed, 0);
}

double course_depth_give(const struct judge *judge, const struct lay_depth *asked) {
  return fabs(asked->slope) * COURSE_PLACE_MOST + eased(judge, asked);
}

double course_tip_rounding(const struct judge *judge) {
  return 2 * ROUND_MM + judge->job->cell->reach * ROUND_RAD + 1e-8;
}

/* -- the lap ---------------------------------------------------------------------------------- */

/* The lap that the row tells is the one at sigma, within what a row and a rounding may shift. */
static void judge_lap(struct judge *judge, const struct borelay_row *row, const struct foot *foot,
                      double depth, double way) {
  struct run *run = &judge->run;
  const struct lay *lay = judge->lay;
  double give = 2 * COURSE_PLACE_MOST + (judge->is_timed ? 0 : fabs(way));
  int64_t lo = lay_lap(lay, run->path, run->sigma - give);
  int64_t hi = lay_lap(lay, run->path, run->sigma + give);
  if ((int64_t)row->lap >= lo && (int64_t)row->lap <= hi)
    return;
  if (run->may_shift && turns_find(judge, row->lap, give, NULL))
    return;
  bool can_be = row->lap >= 1 && (int64_t)row->lap <= lay_lap(lay, run->path, INFINITY);
  finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                "lap %u is told where lap %" PRId64 " is due", row->lap,
                lay_lap(lay, run->path, run->sigma));
  if (can_be && lay->overlay->pattern != PATTERN_RINGS) {
    course_end_bead(judge);
    run->sigma = turns_place(lay, run->path, row->lap, foot->s, depth, run->sigma);
  }
}

/* -- the tip and the torch -------------------------------------------------------------------- */

static void judge_tip(struct judge *judge, int64_t row, const struct head *head,
                      const struct foot *foot) {
  const struct lay *lay = judge->lay;
  struct lay_depth asked = lay_depth(lay, judge->run.path, judge->run.sigma);
  double off = foot->inside - (lay->offset + lay->procedure->arc_length);
  double deep = -head->tip.z - asked.depth;
  double beside = over(off, lay->wall->slack);
  double below = over(deep, course_depth_give(judge, &asked));
  if (judge->run.is_swaying) { /* its height is judged when all of the run is known */
    sway_add(judge, &(struct sway_row){deep, course_depth_give(judge, &asked)}, &judge->run.way, 1);
    below = deep = 0;
  }
  if (!finding_most(judge->findings, CHECK_TIP, row, wall_hypot(beside, below), COURSE_TIP_MOST,
                    course_tip_rounding(judge)))
    finding_fault(judge->findings, CHECK_TIP, row,
                  "the tip is %.4f mm too far %s the wall and %.4f mm too %s in lap %" PRId64,
                  fabs(off), off > 0 ? "from" : "into", fabs(deep), deep > 0 ? "deep" : "shallow",
                  lay_lap(lay, judge->run.path, judge->run.sigma));
}

static void judge_torch(struct judge *judge, int64_t row, const struct head *head,
                        const struct foot *foot) {
  vec2 torch = {head->torch.cos, head->torch.sin};
  double off =
      num_atan2(vec2_cross(foot->normal, torch), vec2_dot(foot->normal, torch)) * (180 / NUM_PI);
  double most = judge->lay->procedure->angle_tolerance * (180 / NUM_PI);
  if (!finding_most(judge->findings, CHECK_ANGLE, row, fabs(off), most, COURSE_ANGLE_ROUNDING))
    finding_fault(judge->findings, CHECK_ANGLE, row,
                  "the torch leans %.4f deg from the normal, %.4g are allowed", fabs(off), most);
}

/* -- zones ------------------------------------------------------------------------------------ */

struct place {
  double s, depth;
};

/* The least room between two places: it changes no faster than the place moves.  How deep the arc
 * lies in a zone between them is not looked for where it is a fault at one of them. */
static double least_room(const struct arc_room *room, struct place a, double at_a, struct place b,
                         double at_b, int deeper) {
  double way = wall_hypot(b.s - a.s, b.depth - a.depth), least = fmin(at_a, at_b);
  double bound = (at_a + at_b - way) / 2;
  if (bound >= -COURSE_PLACE_MOST || least < -2 * COURSE_PLACE_MOST)
    return least;
  if (deeper == 0)
    return fmin(least, bound);
  struct place middle = {(a.s + b.s) / 2, (a.depth + b.depth) / 2};
  double at_middle = arc_room_at(room, middle.s, middle.depth, NULL);
  return fmin(least_room(room, a, at_a, middle, at_middle, deeper - 1),
              least_room(room, middle, at_middle, b, at_b, deeper - 1));
}

static void judge_zones(struct judge *judge, int64_t row, struct place from, struct place to) {
  enum { HALVINGS = 14 };
  if (!judge->room)
    return;
  const struct zone *zone;
  double at_from = arc_room_at(judge->room, from.s, from.depth, NULL);
  double at_to = arc_room_at(judge->room, to.s, to.depth, &zone);
  double least = least_room(judge->room, from, at_from, to, at_to, HALVINGS);
  double into = least < 0 ? -least : 0;
  if (finding_most(judge->findings, CHECK_ZONES, row, into, COURSE_PLACE_MOST, 1e-4))
    return;
  finding_fault(judge->findings, CHECK_ZONES, row, "the arc is on %.3f mm %s zone %s", into,
                zone && zone->is_on ? "outside" : "into", zone ? zone->name : "");
}

/* -- beads ------------------------------------------------------------------------------------ */

/* The stretch since the row before, whose wire and arc held until now. */
static void lay_stretch(struct judge *judge, double from, double to) {
  struct run *run = &judge->run;
  double fed = judge->has_process ? (double)judge->before.wire_um_s * 1e-3 * judge->tick : 1;
  double owed = judge->has_process ? run->owed : 0;
  if (fed < 0)
    run->owed -= fed;
  if (!run->was_wire || fed <= 0)
    return;
  double share = fmin(owed / fed, 1); /* what was drawn back comes first */
  run->owed = owed - share * fed;
  lay_bead(judge, from + share * (to - from), to);
  run->end_wire = to;
}

static bool arc_is_due(const struct judge *judge, uint8_t phase) {
  (void)judge;
  return phase == BORELAY_UPSLOPE || phase == BORELAY_WELD_PHASE || phase == BORELAY_DOWNSLOPE;
}

static bool wire_is_due(const struct judge *judge, const struct borelay_row *row) {
  return judge->has_process ? row->wire_um_s > 0 : row->phase == BORELAY_WELD_PHASE;
}

/* -- the pool's way --------------------------------------------------------------------------- */

/* A level way `level` long on which the depth goes by `sink`, from one slope to another: along
 * both, as far as the depth tells. */
static double way_round(double level, double sink, double slope_from, double slope_to) {
  double behind = (sink - slope_from * level) / (slope_to - slope_from);
  double before = level - behind;
  if (!(behind > 0 && before > 0))
    return 0;
  return before * wall_hypot(1, slope_from) + behind * wall_hypot(1, slope_to);
}

double course_step(const struct judge *judge, double from, double to, double sink) {
  const struct lay *lay = judge->lay;
  size_t path = judge->run.path;
  double level = lay_pool_way(lay, path, to) - lay_pool_way(lay, path, from);
  double straight = wall_hypot(level, sink);
  if (level < 0)
    return -straight;
  double slope_from = lay_depth(lay, path, from).slope, slope_to = lay_depth(lay, path, to).slope;
  if (!(fabs(slope_to - slope_from) > 0))
    return straight;
  double asked = asked_at(lay, path, (from + to) / 2).of[ASKED_SPEED] * judge->tick;
  return fmax(straight, fmin(asked, way_round(level, sink, slope_from, slope_to)));
}

static void keep_way(struct judge *judge, int64_t row, double from, double to, double sink) {
  struct run *run = &judge->run;
  const struct lay *lay = judge->lay;
  double way = course_step(judge, from, to, sink);
  if (!run->has_way) {
    static const struct sway_row MIDDLE = {0, 0};
    run->has_way = true;
    run->way_row = row - 1;
    pace_add(judge, &run->way, &run->ask, 1);
    sway_add(judge, &MIDDLE, &run->way, 1);
  }
  if (lay->asked.count > 0)
    run->ask += way / asked_at(lay, run->path, (from + to) / 2).of[ASKED_SPEED];
  run->way += way;
  pace_add(judge, &run->way, &run->ask, 1);
}

/* -- a row of a run --------------------------------------------------------------------------- */

static void go_on(struct judge *judge, const struct borelay_row *row, const struct foot *foot,
                  double depth) {
  struct run *run = &judge->run;
  double way = way_of(judge, foot->s), from = run->sigma, to = from + way;
  struct place a = {run->s, run->depth}, b = {run->s + judge->lay->dir * way, depth};
  run->is_swaying = false;
  if (judge->before.phase == BORELAY_WELD_PHASE || judge->before.phase == BORELAY_DOWNSLOPE) {
    run->is_swaying = judge->lay->procedure->oscillation.width > 0;
    double sink = depth - run->depth;
    if (run->is_swaying) /* its speed is that along the lap */
      sink =
          lay_depth(judge->lay, run->path, to).depth - lay_depth(judge->lay, run->path, from).depth;
    keep_way(judge, (int64_t)row->index, from, to, sink);
  }
  lay_stretch(judge, from, to);
  judge_zones(judge, (int64_t)row->index - 1, a, b);
  run->sigma = to;
  run->s = foot->s;
  run->depth = depth;
  if (run->may_shift)
    turns_settle(judge, row, depth);
  if (row->phase >= BORELAY_WELD_PHASE && row->phase <= BORELAY_POSTFLOW)
    judge_lap(judge, row, foot, depth, way);
}

void course_row(struct judge *judge, const struct borelay_row *row, const struct head *head) {
  struct run *run = &judge->run;
  bool is_due = arc_is_due(judge, row->phase);
  if (!is_due && !run->was_arc)
    return;
  struct foot foot = wall_foot(judge->lay->wall, (vec2){head->tip.x, head->tip.y});
  if (!run->is_placed)
    place_run(judge, row, &foot, -head->tip.z);
  else
    go_on(judge, row, &foot, -head->tip.z);
  if (run->was_arc && run->phase == BORELAY_DOWNSLOPE && isnan(run->weld_end))
    run->weld_end = run->sigma;
  judge_tip(judge, (int64_t)row->index, head, &foot);
  judge_torch(judge, (int64_t)row->index, head, &foot);
  run->was_arc = is_due;
  run->was_wire = is_due && wire_is_due(judge, row);
}
