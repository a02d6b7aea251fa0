/* moves.c - off the wall, over zones, and to the wall again.
 *
 * What is known of a way as it goes: where it began, and so the wall's normal there.  Where it ends
 * is known when it does: from there the straights between its last bends are looked back along. */
#include "verify/moves.h"

#include <math.h>

#include "borelay/num.h"
#include "verify/judge.h"

static const double CROSSING_MOST = 0.1; /* mm off the tip's locus: docs/semantics.md, Motion */
static const double TURN_SAME = 4 * ROUND_RAD;
static const double TURN_SURE = 1e-4; /* rad: a whole turn nearer, and room for it, beyond doubt */

/* -- bends ------------------------------------------------------------------------------------ */

struct arm {
  double x, y, z, turn; /* mm, the head's angle at the tip */
};

static struct arm arm_of(const struct judge *judge, const struct head *from,
                         const struct head *to) {
  double reach = judge->job->cell->reach;
  return (struct arm){to->h.x - from->h.x, to->h.y - from->h.y, to->h.z - from->h.z,
                      reach * (to->angle - from->angle)};
}

static double arm_dot(struct arm a, struct arm b) {
  return a.x * b.x + a.y * b.y + a.z * b.z + a.turn * b.turn;
}

void bends_begin(struct bends *bends, const struct head *head) {
  *bends = (struct bends){.count = 1, .last = *head};
  bends->at[0] = *head;
}

static const struct head *bends_last(const struct bends *bends) {
  return &bends->at[(bends->count - 1) % MOVES_BENDS];
}

/* Does the row lie farther out on the straight from the last bend through the row before?  Each of
 * the three is rounded, by 1e-6 mm over four axes. */
static bool goes_on(const struct judge *judge, const struct bends *bends, const struct head *head,
                    double *length) {
  struct arm so_far = arm_of(judge, bends_last(bends), &bends->last);
  struct arm now = arm_of(judge, bends_last(bends), head);
  double far = sqrt(arm_dot(now, now));
  *length = far;
  if (bends->length <= MOVES_SAME)
    return true;
  double along = arm_dot(now, so_far) / bends->length, share = along / bends->length;
  struct arm aside = {now.x - share * so_far.x, now.y - share * so_far.y, now.z - share * so_far.z,
                      now.turn - share * so_far.turn};
  double give = 2.5e-6 * (1 + far / bends->length);
  return arm_dot(aside, aside) <= give * give && along >= bends->length - MOVES_SAME;
}

void bends_row(const struct judge *judge, struct bends *bends, const struct head *head) {
  double length;
  if (!goes_on(judge, bends, head, &length)) {
    struct arm arm = arm_of(judge, &bends->last, head);
    bends->at[bends->count++ % MOVES_BENDS] = bends->last;
    length = sqrt(arm_dot(arm, arm));
  }
  bends->last = *head;
  bends->length = length;
}

double bends_aside(const struct judge *judge, const struct bends *bends, size_t index,
                   const struct head *next) {
  if (index == 0)
    return 0;
  const struct head *before = &bends->at[(index - 1) % MOVES_BENDS];
  struct arm bend = arm_of(judge, before, &bends->at[index % MOVES_BENDS]);
  struct arm way = arm_of(judge, before, next);
  double square = arm_dot(way, way), share = square > 0 ? arm_dot(bend, way) / square : 0;
  share = fmin(fmax(share, 0), 1); /* there and back is a bend too */
  struct arm aside = {bend.x - share * way.x, bend.y - share * way.y, bend.z - share * way.z,
                      bend.turn - share * way.turn};
  return sqrt(arm_dot(aside, aside));
}

/* -- along the normal ------------------------------------------------------------------------- */

/* How far off a place at the wall, along its normal; beside it, below it, turned. */
struct off {
  double out, aside, deep, turn;
};

static struct off off_from(const struct head *wall, vec2 normal, const struct head *head) {
  vec2 d = {head->tip.x - wall->tip.x, head->tip.y - wall->tip.y};
  return (struct off){-vec2_dot(d, normal), fabs(vec2_cross(d, normal)),
                      fabs(head->tip.z - wall->tip.z), fabs(head->angle - wall->angle)};
}

/* The normal may be off by 0.1 deg where an outline's joints are. */
static bool is_along(const struct off *off, double retract) {
  return off->out >= -MOVES_PLACE && off->aside <= MOVES_PLACE + 0.002 * retract &&
         off->deep <= MOVES_PLACE && off->turn <= TURN_SAME;
}

static double retract_of(const struct lay *lay) {
  return lay->overlay->retract;
}

static void back_off(struct moves *moves, int64_t row, const struct head *head) {
  double retract = retract_of(moves->from);
  struct off off = off_from(&moves->start, moves->normal, head);
  if (moves->is_off || moves->has_strayed)
    return;
  if (!is_along(&off, retract)) {
    moves->has_strayed = true;
    moves->stray_row = row;
    moves->stray_out = off.out;
  }
  moves->is_off = off.out >= retract - MOVES_PLACE;
}

static void tell_stray(struct judge *judge) {
  const struct moves *moves = &judge->moves;
  const struct head *at = &moves->start;
  finding_fault(judge->findings, CHECK_MOVES, moves->stray_row,
                "%.3f mm off the wall the head leaves the normal; it is to back off by %.3f mm "
                "from x %.3f y %.3f z %.3f first",
                moves->stray_out, retract_of(moves->from), at->h.x, at->h.y, at->h.z);
}

static void judge_wait(struct judge *judge, const struct borelay_row *row,
                       const struct head *head) {
  struct moves *moves = &judge->moves;
  double retract = retract_of(moves->from);
  struct off off = off_from(&moves->start, moves->normal, head);
  bool is_there = is_along(&off, retract) && fabs(off.out - retract) <= MOVES_PLACE;
  if (is_there || moves->waits_aside || moves->has_strayed)
    return;
  moves->waits_aside = true;
  finding_fault(judge->findings, CHECK_MOVES, (int64_t)row->index,
                "the head waits %.3f mm off the wall and %.3f mm beside the run's end, at x %.3f y "
                "%.3f z %.3f; it is to wait backed off by %.3f mm",
                fmax(off.out, 0), wall_hypot(off.aside, off.deep), head->h.x, head->h.y, head->h.z,
                retract);
}

/* The last of the way, back from its end to `retract` off the wall, is the normal there. */
static void judge_in(struct judge *judge, int64_t row, const struct head *end,
                     const struct lay *lay) {
  const struct bends *bends = &judge->moves.bends;
  double retract = retract_of(lay);
  vec2 normal = wall_foot(lay->wall, (vec2){end->tip.x, end->tip.y}).normal;
  size_t kept = bends->count < MOVES_BENDS ? bends->count : MOVES_BENDS;
  struct off before = {0, 0, 0, 0};
  for (size_t i = 0; i < kept && before.out < retract - MOVES_PLACE; i++) {
    struct off off = off_from(end, normal, &bends->at[(bends->count - 1 - i) % MOVES_BENDS]);
    /* of a straight that begins farther out, the place that is `retract` off */
    double over = off.out - before.out;
    double share = off.out > retract && over > 0 ? (retract - before.out) / over : 1;
    before = (struct off){before.out + share * (off.out - before.out),
                          before.aside + share * (off.aside - before.aside),
                          before.deep + share * (off.deep - before.deep),
                          before.turn + share * (off.turn - before.turn)};
    if (!is_along(&before, retract))
      break;
  }
  if (before.out >= retract - MOVES_PLACE && is_along(&before, retract))
    return;
  finding_fault(judge->findings, CHECK_MOVES, row,
                "the head comes to the wall at x %.3f y %.3f z %.3f from another side: the last "
                "%.3f mm are to be along the normal",
                end->h.x, end->h.y, end->h.z, retract);
}

/* -- over a zone ------------------------------------------------------------------------------ */

static void cross(struct judge *judge, const struct head *head) {
  struct moves *moves = &judge->moves;
  const struct lay *lay = moves->from;
  double whole = lay->wall->perimeter;
  struct foot foot = wall_foot(lay->wall, (vec2){head->tip.x, head->tip.y});
  double way = lay->dir * (foot.s - moves->s);
  moves->sigma += way - whole * floor(way / whole + 0.5);
  moves->s = foot.s;
  double off = foot.inside - (lay->offset + lay->procedure->arc_length);
  struct lay_depth due = lay_depth(lay, judge->path, moves->sigma);
  /* looked for straight below, which on a slope is farther than across it */
  double deep =
      fabs(-head->tip.z - due.depth) / wall_hypot(1, fmax(fabs(due.slope), due.knee_slope));
  moves->crosses = fabs(off) <= CROSSING_MOST + lay->wall->slack && deep <= CROSSING_MOST;
}

/* -- a way ------------------------------------------------------------------------------------ */

static bool is_within_overlay(const struct moves *moves) {
  return moves->from && moves->to && moves->from->overlay_number == moves->to->overlay_number;
}

/* With a limited head a run starts at the turn nearest to park_head that holds it whole: by the
 * wall's normal, which the head may be off by `angle_tolerance` there. */
static void judge_turn(struct judge *judge) {
  const struct run *run = &judge->run;
  const struct axis_limits *axis = &judge->job->cell->axis[AXIS_HEAD];
  double park = judge->job->cell->park_head, off = run->turned_from - park;
  double nearer = off > 0 ? -NUM_TURN : NUM_TURN;
  bool is_held = run->turned.lo + nearer > axis->travel.lo + TURN_SURE &&
                 run->turned.hi + nearer < axis->travel.hi - TURN_SURE;
  double doubt = TURN_SURE + 2 * judge->lay->procedure->angle_tolerance;
  if (axis->endless || !is_held || fabs(off + nearer) > fabs(off) - doubt)
    return;
  finding_fault(judge->findings, CHECK_MOVES, run->began,
                "the run begins with the head at %.3f deg; a turn nearer to park_head holds it too",
                run->turned_from * (180 / NUM_PI));
}

void moves_begin(struct judge *judge, const struct borelay_row *row, const struct head *head) {
  struct moves *moves = &judge->moves;
  const struct lay *from = judge->lay;
  finding_judged(judge->findings, CHECK_MOVES);
  *moves = (struct moves){.is_under_way = true,
                          .from = from,
                          .is_first = row->index == 0,
                          .to = lay_find(judge->stack, row->overlay, row->layer),
                          .start = *head,
                          .between = moves->between};
  bends_begin(&moves->bends, head);
  moves->bends_seen = moves->bends.count;
  if (from) {
    judge_turn(judge);
    struct foot foot = wall_foot(from->wall, (vec2){head->tip.x, head->tip.y});
    moves->normal = foot.normal;
    moves->s = foot.s;
    moves->sigma = judge->gone;
    moves->crosses = judge->room && moves->to == from;
  }
  if (is_within_overlay(moves))
    between_begin(judge, head);
  moves_free_begin(judge, head);
}

void moves_row(struct judge *judge, const struct borelay_row *row, const struct head *head) {
  struct moves *moves = &judge->moves;
  if (!moves->is_under_way)
    return;
  struct head before = moves->bends.last;
  bends_row(judge, &moves->bends, head);
  bool was_off = moves->is_off || moves->has_strayed || !moves->from;
  if (moves->from)
    back_off(moves, (int64_t)row->index, head);
  if (moves->from && moves->crosses)
    cross(judge, head);
  if (is_within_overlay(moves)) {
    if (row->phase == BORELAY_WAIT)
      judge_wait(judge, row, head);
    if (moves->is_off)
      between_row(judge, (int64_t)row->index, head);
  } else if (was_off) {
    moves_free_row(judge, (int64_t)row->index, &before, head);
  }
}

void moves_end(struct judge *judge, const struct borelay_row *row, const struct head *head,
               const struct lay *lay, size_t path) {
  struct moves *moves = &judge->moves;
  if (!moves->is_under_way)
    return;
  moves->is_under_way = false;
  bends_row(judge, &moves->bends, head);
  bool is_crossing = moves->crosses && lay == moves->from && path == judge->path;
  if (is_crossing)
    return;
  if (moves->has_strayed)
    tell_stray(judge);
  if (lay == moves->to && is_within_overlay(moves))
    between_end(judge, (int64_t)row->index, head);
  else if (lay == moves->to)
    moves_free_end(judge, (int64_t)row->index, head);
  if (lay)
    judge_in(judge, (int64_t)row->index, head, lay);
}
