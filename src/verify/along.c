/* along.c - rows in the middle of a run, many at a time.
 *
 * What course.c does to one row after the other is done to all of them step by step, by the same
 * operations in the same order, so that every figure comes out the same to the last bit.  Nothing
 * is kept here: a row in which something would be - a fault, a worst value, another edge, another
 * lap - and all behind it are left to be judged alone.  So what is left out here is known to hold
 * and not to be the worst; docs/verify.md, "Many rows at a time". */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/lanes.h"
#include "borelay/num.h"
#include "verify/feet.h"
#include "verify/judge.h"
#include "verify/lay_even.h"

struct ahead {
  const struct judge *judge;
  const struct block *block;
  size_t from, count; /* rows of the block; count falls where one of them has to be judged alone */
  struct feet feet;
  struct lay_even even;
  struct asked_level level; /* with sectors: what is asked for in all of them */
  double way[BLOCK_ROWS], sigma[BLOCK_ROWS + 1]; /* sigma[0]: at the row before, and so below */
  double pool[BLOCK_ROWS + 1];                   /* way of the pool in the plane */
  double depth[BLOCK_ROWS], knee[BLOCK_ROWS];    /* asked for */
  double deep[BLOCK_ROWS], give[BLOCK_ROWS];     /* deeper than asked for; what of it is allowed */
  double judged[BLOCK_ROWS];
  bool sways; /* its depth is judged when the run is over: sway.c */
};

static void keep_positive(struct ahead *ahead) {
  size_t i = 0;
  while (i < ahead->count && ahead->judged[i] > 0)
    i++;
  ahead->count = i;
}

/* -- where on the path ------------------------------------------------------------------------ */

LANES_VOID(ways_find,
           (const double *restrict s, double before, double dir, double whole, size_t count,
            double *restrict way, double *restrict judged),
           (s, before, dir, whole, count, way, judged)) {
  way[0] = dir * (s[0] - before);
  for (size_t i = 1; i < count; i++)
    way[i] = dir * (s[i] - s[i - 1]);
  for (size_t i = 0; i < count; i++)
    judged[i] = 0.49 * whole - fabs(way[i]); /* less than half a turn: none is taken off */
}

static void find_places(struct ahead *ahead) {
  const struct judge *judge = ahead->judge;
  const struct run *run = &judge->run;
  ways_find(ahead->feet.s, run->s, judge->lay->dir, judge->lay->wall->perimeter, ahead->count,
            ahead->way, ahead->judged);
  keep_positive(ahead);
  ahead->sigma[0] = run->sigma;
  for (size_t i = 0; i < ahead->count; i++)
    ahead->sigma[i + 1] = ahead->sigma[i] + ahead->way[i];
}

/* As judge_lap(): all places within what a row and a rounding may shift lie in the lap told. */
static void keep_lap(struct ahead *ahead) {
  const struct judge *judge = ahead->judge;
  const struct lay *lay = judge->lay;
  int64_t told = ahead->block->rows[ahead->from].lap;
  size_t path = judge->run.path;
  double lo = INFINITY, hi = -INFINITY, far = 0;
  for (size_t i = 0; i < ahead->count; i++) {
    double sigma = ahead->sigma[i + 1], way = fabs(ahead->way[i]);
    lo = sigma < lo ? sigma : lo;
    hi = sigma > hi ? sigma : hi;
    far = way > far ? way : far;
  }
  double give = 2 * COURSE_PLACE_MOST + (judge->is_timed ? 0 : far);
  if (lay_lap(lay, path, lo - give) == told && lay_lap(lay, path, hi + give) == told)
    return;
  size_t i = 0;
  for (; i < ahead->count; i++) {
    double sigma = ahead->sigma[i + 1];
    if (lay_lap(lay, path, sigma - give) != told || lay_lap(lay, path, sigma + give) != told)
      break;
  }
  ahead->count = i;
}

/* -- the tip and the torch -------------------------------------------------------------------- */

/* From the worst so far and what would be a fault: a distance from the limit that is calm. */
static double calm_distance(const struct judge *judge, enum check_id id, double limit,
                            double rounding) {
  const struct finding *finding = &judge->findings->items[id];
  double most = -(rounding + FINDING_SAME * fabs(limit));
  return !finding->has_worst        ? (double)INFINITY
         : finding->distance > most ? finding->distance
                                    : most;
}

struct tip_asked {
  double gap, slack;    /* from the wall, and what the wall itself may be off */
  double give;          /* of the depth, for the place on a slope */
  double window, slope; /* of the ease about a knee */
  double counts;        /* 1: depth is judged here; 0: it is not */
  double least;         /* distance from the limit that is calm */
};

LANES_VOID(depths_find,
           (struct tip_asked asked, const double *restrict tip_z, const double *restrict depth,
            const double *restrict knee, size_t count, double *restrict deep,
            double *restrict give),
           (asked, tip_z, depth, knee, count, deep, give)) {
  double share = 6 * asked.window * asked.window;
  share = share > 0 ? share : 1;
  for (size_t i = 0; i < count; i++) {
    double rest = asked.window - knee[i];
    rest = rest > 0 ? rest : 0;
    give[i] = asked.give + asked.slope * rest * rest * rest / share;
    deep[i] = -tip_z[i] - depth[i];
  }
}

LANES_VOID(tips_judge,
           (struct tip_asked asked, const double *restrict inside, const double *restrict deep,
            const double *restrict give, size_t count, double *restrict judged),
           (asked, inside, deep, give, count, judged)) {
  for (size_t i = 0; i < count; i++) {
    double beside = fabs(inside[i] - asked.gap) - asked.slack;
    double below = fabs(deep[i]) - give[i];
    beside = beside > 0 ? beside : 0;
    below = below > 0 ? below * asked.counts : 0;
    double distance = COURSE_TIP_MOST - sqrt(beside * beside + below * below);
    judged[i] = distance >= asked.least ? 1.0 : 0.0;
  }
}

static void keep_tip(struct ahead *ahead) {
  const struct judge *judge = ahead->judge;
  const struct lay *lay = judge->lay;
  struct ease ease = course_ease(judge, ahead->even.knee_slope);
  struct tip_asked asked = {
      .gap = lay->offset + lay->procedure->arc_length,
      .slack = lay->wall->slack,
      .give = fabs(ahead->even.slope) * COURSE_PLACE_MOST,
      .window = ease.window,
      .slope = ease.slope,
      .counts = ahead->sways ? 0 : 1,
      .least = calm_distance(judge, CHECK_TIP, COURSE_TIP_MOST, course_tip_rounding(judge))};
  depths_find(asked, ahead->block->tip_z + ahead->from, ahead->depth, ahead->knee, ahead->count,
              ahead->deep, ahead->give);
  tips_judge(asked, ahead->feet.inside, ahead->deep, ahead->give, ahead->count, ahead->judged);
  keep_positive(ahead);
}

/* |sin off| <= tangent * cos off; off below a right angle. */
LANES_VOID(torch_judge,
           (double tangent, const double *restrict normal_x, const double *restrict normal_y,
            const double *restrict torch_x, const double *restrict torch_y, size_t count,
            double *restrict judged),
           (tangent, normal_x, normal_y, torch_x, torch_y, count, judged)) {
  for (size_t i = 0; i < count; i++) {
    double cross = normal_x[i] * torch_y[i] - normal_y[i] * torch_x[i];
    double dot = normal_x[i] * torch_x[i] + normal_y[i] * torch_y[i];
    judged[i] = fabs(cross) < tangent * dot ? 1.0 : 0.0;
  }
}

static void keep_torch(struct ahead *ahead) {
  const struct judge *judge = ahead->judge;
  double most = judge->lay->procedure->angle_tolerance * (180 / NUM_PI);
  /* the largest angle that is calm, made less by more than what roundings come to */
  double angle = most - calm_distance(judge, CHECK_ANGLE, most, COURSE_ANGLE_ROUNDING);
  angle *= (1 - 1e-9) * (NUM_PI / 180);
  if (!(angle > 0)) {
    ahead->count = 0;
    return;
  }
  struct sincos sc = num_sincos(angle < 1.4 ? angle : 1.4);
  torch_judge(sc.sin / sc.cos * (1 - 1e-12), ahead->feet.normal_x, ahead->feet.normal_y,
              ahead->block->torch_cos + ahead->from, ahead->block->torch_sin + ahead->from,
              ahead->count, ahead->judged);
  keep_positive(ahead);
}

/* -- zones, voltage control ------------------------------------------------------------------- */

/* The room before a zone's edge changes by no more than the place moves: what a look finds is used
 * up by the way. */
static void keep_zones(struct ahead *ahead) {
  static const double SURE = 1e-6; /* mm */
  const struct judge *judge = ahead->judge;
  const struct run *run = &judge->run;
  if (!judge->room)
    return;
  double left = arc_room_at(judge->room, run->s, run->depth, NULL), depth = run->depth;
  size_t i = 0;
  for (; i < ahead->count; i++) {
    double here = -ahead->block->tip_z[ahead->from + i];
    double way = wall_hypot(ahead->way[i], here - depth);
    left -= way + SURE;
    if (!(left > way))
      break;
    depth = here;
  }
  ahead->count = judge->findings->items[CHECK_ZONES].has_worst ? i : 0;
}

/* With sectors: rows between two ramps only, of values that are asked for there. */
static void keep_level(struct ahead *ahead) {
  const struct judge *judge = ahead->judge;
  ahead->level = asked_level_at(judge->lay, judge->run.path, ahead->sigma[0]);
  struct range sigma = ahead->level.sigma;
  if (judge->lay->asked.count == 0)
    return;
  if (judge->has_process && !setpoints_are(&ahead->block->rows[ahead->from], &ahead->level.values))
    ahead->count = 0;
  size_t i = 0;
  while (i < ahead->count && ahead->sigma[i + 1] > sigma.lo && ahead->sigma[i + 1] < sigma.hi)
    i++;
  ahead->count = i;
}

/* On steps there is none; rows that tell it otherwise are looked at alone. */
static bool has_control_asked(const struct ahead *ahead) {
  const struct procedure *p = ahead->judge->lay->procedure;
  bool is_stepped = ahead->judge->lay->overlay->pattern == PATTERN_STEPPED;
  if (!p->arc_voltage_control || !is_stepped || !ahead->judge->has_process)
    return true;
  return ahead->block->rows[ahead->from].avc == !ahead->even.is_step;
}

/* -- the run ---------------------------------------------------------------------------------- */

/* All that the ticks of the phase bring was there at the row before, and the run goes on evenly. */
static bool is_steady(const struct judge *judge) {
  const struct run *run = &judge->run;
  const struct lay *lay = judge->lay;
  const struct procedure *p = lay->procedure;
  int64_t before = (int64_t)judge->before.index, k = before - run->phase_from;
  bool is_under_way = run->is_placed && run->was_arc && run->phase == BORELAY_WELD_PHASE &&
                      judge->before.phase == BORELAY_WELD_PHASE && run->has_way &&
                      run_may_travel(judge, before) &&
                      k >= ticks_for(p->wire_start_delay, judge->tick) &&
                      k >= ticks_for(p->voltage_control_delay, judge->tick);
  return is_under_way && run->owed == 0 && judge->before.wire_um_s >= 0;
}

static bool lays_bead(const struct judge *judge) {
  return judge->run.was_wire && (!judge->has_process || judge->before.wire_um_s > 0);
}

LANES_VOID(steps_find,
           (const double *restrict pool, const double *restrict depth, size_t count,
            double *restrict step),
           (pool, depth, count, step)) {
  for (size_t i = 0; i < count; i++) {
    double level = pool[i + 1] - pool[i], sink = depth[i + 1] - depth[i];
    double way = sqrt(level * level + sink * sink);
    step[i] = level < 0 ? -way : way;
  }
}

/* Depths at the row before and at each: of the tip, or, where it sways, of the lap's centre line,
 * along which its speed is judged. */
static void depths_along(const struct ahead *ahead, double *depth) {
  const struct judge *judge = ahead->judge;
  const struct run *run = &judge->run;
  const double *tip_z = ahead->block->tip_z + ahead->from;
  depth[0] = ahead->sways ? lay_depth(judge->lay, run->path, run->sigma).depth : run->depth;
  for (size_t i = 0; i < ahead->count; i++)
    depth[i + 1] = ahead->sways ? ahead->depth[i] : -tip_z[i];
}

static void keep_ways(struct judge *judge, const struct ahead *ahead) {
  double depth[BLOCK_ROWS + 1], step[BLOCK_ROWS], ways[BLOCK_ROWS], way = judge->run.way;
  double asks[BLOCK_ROWS], speed = ahead->level.values.of[ASKED_SPEED];
  struct sway_row sways[BLOCK_ROWS];
  depths_along(ahead, depth);
  steps_find(ahead->pool, depth, ahead->count, step);
  step[0] = course_step(judge, ahead->sigma[0], ahead->sigma[1], depth[1] - depth[0]);
  for (size_t i = 0; i < ahead->count; i++)
    ways[i] = way += step[i];
  judge->run.way = way;
  if (judge->lay->asked.count > 0)
    for (size_t i = 0; i < ahead->count; i++)
      asks[i] = judge->run.ask += step[i] / speed;
  pace_add(judge, ways, judge->lay->asked.count > 0 ? asks : NULL, ahead->count);
  if (!ahead->sways)
    return;
  for (size_t i = 0; i < ahead->count; i++)
    sways[i] = (struct sway_row){ahead->deep[i], ahead->give[i]};
  sway_add(judge, sways, ways, ahead->count);
}

static void go_along(struct judge *judge, const struct ahead *ahead) {
  struct run *run = &judge->run;
  keep_ways(judge, ahead);
  size_t last = ahead->count - 1;
  run->sigma = ahead->sigma[ahead->count];
  run->s = ahead->feet.s[last];
  run->depth = -ahead->block->tip_z[ahead->from + last];
  if (lays_bead(judge))
    run->bead_to = run->end_wire = run->sigma;
}

/* The first places; false: the first row has to be judged alone. */
static bool begin(struct ahead *ahead, struct judge *judge, const struct block *block, size_t from,
                  size_t room) {
  ahead->judge = judge;
  ahead->block = block;
  ahead->from = from;
  ahead->sways = judge->lay->procedure->oscillation.width > 0;
  ahead->count =
      feet_find(judge->lay->wall, block->tip_x + from, block->tip_y + from, room, &ahead->feet);
  if (ahead->count > 0)
    find_places(ahead);
  return ahead->count > 0;
}

static void follow_path(struct ahead *ahead) {
  const struct judge *judge = ahead->judge;
  const struct lay *lay = judge->lay;
  size_t path = judge->run.path;
  ahead->even = lay_even_at(lay, path, ahead->sigma[1]);
  ahead->pool[0] = lay_pool_way(lay, path, ahead->sigma[0]);
  ahead->count =
      lay_even_ways(&ahead->even, ahead->sigma + 1, ahead->count, ahead->pool + 1, ahead->judged);
  lay_even_depths(&ahead->even, ahead->sigma + 1, ahead->pool + 1, ahead->count, ahead->depth,
                  ahead->knee);
}

size_t along_rows(struct judge *judge, const struct block *block, size_t from, size_t room) {
  if (!judge->lay || !is_steady(judge) ||
      (lays_bead(judge) && judge->run.sigma != judge->run.bead_to))
    return 0;
  if (!judge->ahead)
    judge->ahead = arena_alloc(judge->arena, 1, sizeof *judge->ahead);
  struct ahead *ahead = judge->ahead;
  if (!begin(ahead, judge, block, from, room))
    return 0;
  follow_path(ahead);
  keep_lap(ahead);
  if (!has_control_asked(ahead))
    return 0;
  keep_level(ahead);
  keep_tip(ahead);
  keep_torch(ahead);
  keep_zones(ahead);
  if (ahead->count > 0)
    go_along(judge, ahead);
  return ahead->count;
}
