/* moves_between.c - from the place backed off from one run to that of the next one of the overlay.
 *
 * Along the backed-off contour the short way, or straight across, or by the entry; the depth stays
 * between those of the two runs.  Whatever leaves the contour and is neither has strayed. */
#include <math.h>

#include "borelay/num.h"
#include "verify/judge.h"

static const double ROUNDED_SHARE = 0.1; /* of `retract`: docs/semantics.md, Motion */
static const double HALF_SURE = 1.02;    /* of half a contour: which way is shorter, beyond doubt */

static double offset_of(const struct lay *lay) {
  return lay->offset + lay->procedure->arc_length + lay->overlay->retract;
}

/* In a neck, or where a bend is too tight, the contour comes near to another part of the wall, and
 * how far the tip is from the wall does not tell whether it is on it. */
static bool is_told_by_distance(struct between *between, const struct wall *wall, double most) {
  if (between->wall != wall) {
    between->wall = wall;
    between->widest = fmin(wall_tightest(wall), wall_narrowest(wall) / 2);
  }
  return most < between->widest;
}

static double give_of(const struct lay *lay) {
  return ROUNDED_SHARE * lay->overlay->retract + MOVES_PLACE + lay->wall->slack;
}

bool is_backed_off(struct judge *judge, const struct lay *lay, const struct head *head) {
  double due = offset_of(lay), give = give_of(lay);
  if (!is_told_by_distance(&judge->moves.between, lay->wall, due + give))
    return true;
  return fabs(wall_foot(lay->wall, (vec2){head->tip.x, head->tip.y}).inside - due) <= give;
}

void between_begin(struct judge *judge, const struct head *head) {
  struct moves *moves = &judge->moves;
  struct between *between = &moves->between;
  const struct wall *wall = between->wall;
  double widest = between->widest, a = offset_of(moves->from), b = offset_of(moves->to);
  double give = give_of(moves->to);
  *between = (struct between){.wall = wall,
                              .widest = widest,
                              .contour = {fmin(a, b) - give, fmax(a, b) + give},
                              .was_on = true,
                              .s = moves->s,
                              .height = {head->tip.z, head->tip.z}};
  between->is_judged = is_told_by_distance(between, moves->to->wall, between->contour.hi);
}

/* On a contour that happens to lead by the entry it is not the way. */
static bool comes_by_entry(const struct judge *judge, const struct head *head, bool is_on) {
  const struct moves *moves = &judge->moves;
  double clad = moves->from->offset + moves->from->nominal;
  return (!is_on || moves->between.crossings > 0) &&
         is_at_entry(judge, moves->to, clad, clad, head);
}

/* The bend that is open, now that the next one is known. */
static void settle_bend(struct judge *judge, const struct head *next) {
  struct moves *moves = &judge->moves;
  struct between *between = &moves->between;
  if (between->has_open && !between->is_bent &&
      bends_aside(judge, &moves->bends, between->open, next) > MOVES_PLACE) {
    between->is_bent = true;
    between->off = between->open_at;
  }
  between->has_open = false;
}

/* The tip leaves the contour.  A head that turns far on one straight may take it off and on more
 * than once. */
static void leave(struct between *between, size_t bends, const struct off_contour *at) {
  if (between->crossings > 0 && bends == between->bends) {
    between->crossings--;
    return;
  }
  between->bends = bends;
  between->off = *at;
  between->is_bent = false;
}

/* Off the contour: the place is kept, that of the first bend, if there is one. */
static void go_off(struct judge *judge, int64_t row, const struct head *head, double inside) {
  struct moves *moves = &judge->moves;
  struct between *between = &moves->between;
  size_t bends = moves->bends.count;
  struct off_contour at = {row, *head, inside};
  if (between->was_on) {
    leave(between, bends, &at);
  } else if (bends > between->bends) {
    settle_bend(judge, &moves->bends.at[(bends - 1) % MOVES_BENDS]);
    between->has_open = true;
    between->open = bends - 1;
    between->open_at = at;
    between->bends = bends;
  }
}

/* Back on it: one straight across will do. */
static void come_back(struct judge *judge, const struct head *head) {
  struct between *between = &judge->moves.between;
  settle_bend(judge, head);
  between->crossings++;
  if (between->has_strayed || (!between->is_bent && between->crossings == 1))
    return;
  between->has_strayed = true;
  between->stray = between->off;
}

void between_row(struct judge *judge, int64_t row, const struct head *head) {
  struct moves *moves = &judge->moves;
  struct between *between = &moves->between;
  const struct wall *wall = moves->to->wall;
  if (!between->is_judged)
    return;
  struct foot foot = wall_foot(wall, (vec2){head->tip.x, head->tip.y});
  bool is_on = foot.inside >= between->contour.lo && foot.inside <= between->contour.hi;
  double way = foot.s - between->s;
  way -= wall->perimeter * floor(way / wall->perimeter + 0.5);
  between->way += way * edge_ratio(&wall->edges[foot.edge], offset_of(moves->to));
  between->s = foot.s;
  between->ways.hi = fmax(between->ways.hi, between->way);
  between->ways.lo = fmin(between->ways.lo, between->way);
  between->height.hi = fmax(between->height.hi, head->tip.z);
  between->height.lo = fmin(between->height.lo, head->tip.z);
  if (!is_on)
    go_off(judge, row, head, foot.inside);
  else if (!between->was_on)
    come_back(judge, head);
  between->was_on = is_on;
  between->passes_entry |= comes_by_entry(judge, head, is_on);
}

static void tell_stray(struct judge *judge) {
  const struct moves *moves = &judge->moves;
  const struct off_contour *off = &moves->between.stray;
  finding_fault(judge->findings, CHECK_MOVES, off->row,
                "on the way to the next run the tip strays to %.3f mm from the wall at x %.3f y "
                "%.3f z %.3f: it is to stay backed off, %.3f mm, or to go straight across",
                off->inside, off->at.h.x, off->at.h.y, off->at.h.z, offset_of(moves->to));
}

/* By the contour alone: the short way, and none of it twice. */
static void judge_round(struct judge *judge, int64_t row) {
  const struct between *between = &judge->moves.between;
  const struct lay *to = judge->moves.to;
  double half = wall_pool_way(to->wall, offset_of(to), to->wall->perimeter) / 2;
  double way = between->way, give = ROUNDED_SHARE * to->overlay->retract;
  double beyond = fmax(between->ways.hi - fmax(way, 0), fmin(way, 0) - between->ways.lo);
  if (between->crossings > 0)
    return;
  if (judge->job->cell->axis[AXIS_HEAD].endless && fabs(way) > HALF_SURE * half)
    finding_fault(judge->findings, CHECK_MOVES, row,
                  "the head comes to the run the long way round, %.1f mm along the wall backed "
                  "off; half of it is %.1f mm",
                  fabs(way), half);
  if (beyond > give)
    finding_fault(judge->findings, CHECK_MOVES, row,
                  "on the way to the run the head goes %.1f mm too far along the wall, and back",
                  beyond);
}

static void judge_depths(struct judge *judge, int64_t row, const struct head *head) {
  const struct moves *moves = &judge->moves;
  struct range height = moves->between.height;
  double a = moves->start.tip.z, b = head->tip.z;
  if (height.lo < fmin(a, b) - MOVES_PLACE || height.hi > fmax(a, b) + MOVES_PLACE)
    finding_fault(judge->findings, CHECK_MOVES, row,
                  "on the way to the run the tip goes between depths %.3f and %.3f mm; the run "
                  "before ends at %.3f mm, this one begins at %.3f mm",
                  -height.hi, -height.lo, -a, -b);
}

void between_end(struct judge *judge, int64_t row, const struct head *head) {
  const struct moves *moves = &judge->moves;
  const struct between *between = &moves->between;
  if (!between->is_judged || moves->has_strayed || between->passes_entry)
    return;
  if (between->has_strayed)
    tell_stray(judge);
  judge_round(judge, row);
  judge_depths(judge, row, head);
}
