/* moves_entry.c - from park, to it, and from overlay to overlay.
 *
 * Below safe height the head goes level, at the depth of the run behind or before it, or upright:
 * at an entry, up from park, down to it.  At safe height and above it goes in one straight. */
#include <math.h>

#include "borelay/num.h"
#include "verify/judge.h"

static const double TURN_SAME = 1e-4; /* rad: what MOVES_PLACE is of 50 mm */
static const double ENTRY_MOST = MOVES_PLACE;

static bool is_high(const struct judge *judge, const struct head *head) {
  return head->tip.z >= judge->job->safe_height - 2 * ROUND_MM;
}

static bool same_place(const struct head *a, const struct head *b) {
  return fabs(a->h.x - b->h.x) <= MOVES_PLACE && fabs(a->h.y - b->h.y) <= MOVES_PLACE &&
         fabs(a->angle - b->angle) <= TURN_SAME;
}

static bool same_height(double a, double b) {
  return fabs(a - b) <= MOVES_PLACE;
}

/* -- where it may go up and down -------------------------------------------------------------- */

/* H at a place of the part, moved back so. */
static bool is_moved_back(const struct judge *judge, const struct lay *lay, vec2 place,
                          double least, double most, const struct head *head) {
  vec2 v = vec2_sub(lie_to_part(&judge->stack->lie, (vec2){head->h.x, head->h.y}), place);
  vec2 torch = {head->torch.cos, head->torch.sin};
  double back = -vec2_dot(v, torch), give = ENTRY_MOST + lay->wall->slack;
  double room = lay->procedure->arc_length + lay->overlay->retract;
  double inside = wall_foot(lay->wall, (vec2){head->tip.x, head->tip.y}).inside - room;
  if (fabs(vec2_cross(torch, v)) > ENTRY_MOST || back < -ENTRY_MOST)
    return false;
  return inside >= least - give && (back <= ENTRY_MOST || inside <= most + give);
}

static vec2 entry_of(const struct lay *lay) {
  return lay->overlay->has_entry ? lay->overlay->entry : lay->wall->centre;
}

bool is_at_entry(const struct judge *judge, const struct lay *lay, double least, double most,
                 const struct head *head) {
  const struct overlay *overlay = lay->overlay;
  if (overlay->has_entry_angle) {
    double turns = (head->angle - judge->stack->lie.turned - overlay->entry_angle) / NUM_TURN;
    if (fabs(turns - floor(turns + 0.5)) * NUM_TURN > TURN_SAME)
      return false;
  }
  return is_moved_back(judge, lay, entry_of(lay), least, most, head);
}

static bool is_at_park(const struct judge *judge, const struct head *head) {
  const struct cell *cell = judge->job->cell;
  double turns = (head->angle - cell->park_head) / NUM_TURN;
  return fabs(head->h.x - cell->park.x) <= MOVES_PLACE &&
         fabs(head->h.y - cell->park.y) <= MOVES_PLACE &&
         fabs(turns - floor(turns + 0.5)) * NUM_TURN <= TURN_SAME;
}

/* Out: the clad that was laid counts.  In: what stood before; of a layer that is taken up again a
 * part stands already. */
static bool leaves_here(const struct judge *judge, const struct head *head) {
  const struct moves *moves = &judge->moves;
  const struct lay *from = moves->from;
  if (!from)
    return is_at_park(judge, head);
  double clad = from->offset + from->nominal;
  return is_at_entry(judge, from, clad, clad, head);
}

static bool comes_here(const struct judge *judge, const struct head *head) {
  const struct moves *moves = &judge->moves;
  const struct lay *to = moves->to;
  if (!to)
    return is_at_park(judge, head);
  bool is_taken_up = moves->is_first && judge->mode == BORELAY_RESUME;
  double clad = to->offset + (is_taken_up ? to->nominal : 0);
  return is_at_entry(judge, to, clad, clad, head);
}

static bool has_one_entry(const struct moves *moves) {
  if (!moves->from || !moves->to || moves->from->overlay->wall != moves->to->overlay->wall)
    return false;
  return wall_apart(entry_of(moves->from), entry_of(moves->to)) < 1e-9;
}

/* -- below safe height ------------------------------------------------------------------------ */

/* Of one way each is told where it is first met. */
enum fault { MOVES_ASLANT = 1, MOVES_SIDEWAYS = 2, MOVES_BESIDE = 4, MOVES_ROUND_ABOUT = 8 };

static void tell_once(struct judge *judge, enum fault fault, int64_t row, const struct head *at,
                      const char *what) {
  unsigned *told = &judge->moves.told;
  if (!(*told & fault))
    finding_fault(judge->findings, CHECK_MOVES, row,
                  "%s at x %.3f y %.3f z %.3f, head %.3f deg, the tip %.3f mm below safe_height",
                  what, at->h.x, at->h.y, at->h.z, at->angle * (180 / NUM_PI),
                  judge->job->safe_height - at->tip.z);
  *told |= fault;
}

static void judge_upright(struct judge *judge, int64_t row, const struct head *to) {
  struct moves *moves = &judge->moves;
  const struct head *at = &moves->anchor;
  bool rises = to->tip.z > at->tip.z;
  moves->up_angle = at->angle;
  if (!moves->has_risen && leaves_here(judge, at)) {
    if (moves->from || rises)
      return;
  }
  if ((moves->has_risen || has_one_entry(moves)) && comes_here(judge, at)) {
    if (moves->to) {
      moves->has_down = true;
      moves->down_angle = at->angle;
      moves->down_row = row;
    }
    return;
  }
  tell_once(judge, MOVES_BESIDE, row, at,
            rises ? "the head goes up beside entry and park"
                  : "the head goes down beside entry and park");
}

/* Level where the run behind it was is right; anywhere else is right if the next run is there. */
static void judge_level(struct judge *judge, int64_t row) {
  struct moves *moves = &judge->moves;
  double z = moves->anchor.h.z;
  bool is_behind = moves->from && same_height(z, moves->start.h.z);
  if (is_behind && !moves->has_risen)
    return;
  bool can_be = moves->to && (moves->has_risen || has_one_entry(moves));
  if (can_be && (!moves->has_level || same_height(z, moves->level))) {
    moves->level = moves->has_level ? moves->level : z;
    moves->level_row = moves->has_level ? moves->level_row : row;
    moves->has_level = true;
    return;
  }
  tell_once(judge, MOVES_SIDEWAYS, row, &moves->anchor, "the head goes sideways");
}

/* Where a level way may bend: at the entry and over the shape's centre, whatever the head's angle,
 * and backed off from the wall. */
static bool may_bend(struct judge *judge, const struct lay *lay, double clad,
                     const struct head *at) {
  return is_moved_back(judge, lay, entry_of(lay), clad, clad, at) ||
         is_moved_back(judge, lay, lay->wall->centre, clad, clad, at) ||
         is_backed_off(judge, lay, at);
}

static void tell_bend(struct judge *judge) {
  const struct moves *moves = &judge->moves;
  tell_once(judge, MOVES_ROUND_ABOUT, moves->bend_row, &moves->bend,
            "the head goes a way round about between entry and wall: it bends");
}

/* H backed off from the wall at `wall`, whatever the head's angle. */
static bool is_off_from(const struct judge *judge, const struct lay *lay, const struct head *wall,
                        const struct head *at) {
  const struct lie *lie = &judge->stack->lie;
  vec2 normal = wall_foot(lay->wall, (vec2){wall->tip.x, wall->tip.y}).normal;
  vec2 v = vec2_sub(lie_to_part(lie, (vec2){at->h.x, at->h.y}),
                    lie_to_part(lie, (vec2){wall->h.x, wall->h.y}));
  vec2 off = vec2_add(v, vec2_scale(normal, lay->overlay->retract));
  return wall_hypot(off.x, off.y) <= MOVES_PLACE + 0.002 * lay->overlay->retract;
}

/* The head may turn backed off from the run that it comes to: known when it is there. */
static void keep_bend(struct judge *judge, int64_t row, const struct head *at) {
  struct moves *moves = &judge->moves;
  if (!moves->has_bend) {
    moves->has_bend = true;
    moves->bend = *at;
    moves->bend_row = row;
  } else if (wall_hypot(at->h.x - moves->bend.h.x, at->h.y - moves->bend.h.y) > MOVES_PLACE) {
    tell_bend(judge);
  }
}

/* The bend that is open, now that the next one is known. */
static void settle_bend(struct judge *judge, const struct head *next) {
  struct moves *moves = &judge->moves;
  const struct lay *from = moves->from, *to = moves->to;
  const struct head *at = &moves->bends.at[moves->open % MOVES_BENDS];
  bool is_bend =
      moves->has_open && bends_aside(judge, &moves->bends, moves->open, next) > MOVES_PLACE;
  moves->has_open = false;
  if (!is_bend)
    return;
  bool is_taken_up = moves->is_first && judge->mode == BORELAY_RESUME;
  bool is_right = (from && (may_bend(judge, from, from->offset + from->nominal, at) ||
                            is_off_from(judge, from, &moves->start, at))) ||
                  (to && may_bend(judge, to, to->offset + (is_taken_up ? to->nominal : 0), at));
  if (!is_right)
    keep_bend(judge, moves->open_row, at);
}

static void see_bends(struct judge *judge, int64_t row, bool is_level) {
  struct moves *moves = &judge->moves;
  size_t count = moves->bends.count;
  if (count == moves->bends_seen)
    return;
  settle_bend(judge, &moves->bends.at[(count - 1) % MOVES_BENDS]);
  moves->bends_seen = count;
  moves->has_open = is_level;
  moves->open = count - 1;
  moves->open_row = row;
}

/* Both at once, in one row: more than rounding makes of a way that is level or upright. */
static bool is_aslant(const struct head *before, const struct head *head) {
  double aside = fmax(fabs(head->h.x - before->h.x), fabs(head->h.y - before->h.y));
  bool turns = fabs(head->angle - before->angle) > 4 * ROUND_RAD;
  return fabs(head->h.z - before->h.z) > MOVES_SAME && (aside > MOVES_SAME || turns);
}

static void low_row(struct judge *judge, int64_t row, const struct head *before,
                    const struct head *head) {
  struct moves *moves = &judge->moves;
  bool stays = same_place(&moves->anchor, head);
  bool is_level = same_height(moves->anchor.h.z, head->h.z);
  bool goes_on = moves->way == MOVES_LEVEL     ? is_level
                 : moves->way == MOVES_UPRIGHT ? stays
                                               : stays && is_level;
  if (goes_on)
    return;
  if (is_aslant(before, head)) {
    tell_once(judge, MOVES_ASLANT, row, before, "the head goes aslant");
    moves->way = MOVES_STANDS;
    moves->anchor = *head;
    return;
  }
  if (moves->way != MOVES_STANDS) { /* it turns off where the row before is */
    moves->anchor = *before;
    is_level = fabs(head->h.z - before->h.z) <= MOVES_SAME;
  }
  moves->way = is_level ? MOVES_LEVEL : MOVES_UPRIGHT;
  if (is_level)
    judge_level(judge, row);
  else
    judge_upright(judge, row, head);
}

/* -- at safe height --------------------------------------------------------------------------- */

static void rise(struct moves *moves, const struct head *head) {
  moves->is_above = moves->has_risen = true;
  moves->is_bent = false;
  bends_begin(&moves->above, head);
}

static void high_row(struct judge *judge, int64_t row, const struct head *head) {
  struct moves *moves = &judge->moves;
  bends_row(judge, &moves->above, head);
  if (moves->above.count > 1 && !moves->is_bent)
    finding_fault(judge->findings, CHECK_MOVES, row,
                  "the way across is not straight: it bends at x %.3f y %.3f z %.3f", head->h.x,
                  head->h.y, head->h.z);
  moves->is_bent = moves->above.count > 1;
}

/* -- a way ------------------------------------------------------------------------------------ */

void moves_free_begin(struct judge *judge, const struct head *head) {
  struct moves *moves = &judge->moves;
  moves->anchor = *head;
  moves->way = MOVES_STANDS;
  if (is_high(judge, head))
    rise(moves, head);
}

void moves_free_row(struct judge *judge, int64_t row, const struct head *before,
                    const struct head *head) {
  struct moves *moves = &judge->moves;
  bool is_above = is_high(judge, head);
  if (moves->is_above && is_above) {
    see_bends(judge, row, false);
    high_row(judge, row, head);
    return;
  }
  if (moves->is_above) {
    moves->anchor = *before;
    moves->way = MOVES_STANDS;
  }
  moves->is_above = false;
  low_row(judge, row, before, head);
  see_bends(judge, row, moves->way == MOVES_LEVEL);
  if (is_above)
    rise(moves, head);
}

static void end_at_wall(struct judge *judge, int64_t row, const struct head *head) {
  const struct moves *moves = &judge->moves;
  if (moves->has_level && !same_height(moves->level, head->h.z))
    finding_fault(judge->findings, CHECK_MOVES, moves->level_row,
                  "the head goes sideways at z %.3f; the run that it leads to begins at z %.3f",
                  moves->level, head->h.z);
  if (moves->has_down && !moves->to->overlay->has_entry_angle &&
      fabs(moves->down_angle - head->angle) > TURN_SAME)
    finding_fault(judge->findings, CHECK_MOVES, moves->down_row,
                  "the head goes down at %.3f deg; without an entry_angle it is to have the angle "
                  "of the start, %.3f deg",
                  moves->down_angle * (180 / NUM_PI), head->angle * (180 / NUM_PI));
  if (!moves->has_risen && !has_one_entry(moves))
    finding_fault(judge->findings, CHECK_MOVES, row,
                  "the head does not go up to safe_height on its way to overlay %u",
                  moves->to->overlay_number);
}

void moves_free_end(struct judge *judge, int64_t row, const struct head *head) {
  const struct moves *moves = &judge->moves;
  settle_bend(judge, head);
  if (moves->has_bend && !(moves->to && is_off_from(judge, moves->to, head, &moves->bend)))
    tell_bend(judge);
  if (moves->to)
    end_at_wall(judge, row, head);
  else if (is_at_park(judge, head) && fabs(head->angle - moves->up_angle) > NUM_PI + 1e-6 &&
           judge->job->cell->axis[AXIS_HEAD].endless)
    finding_fault(judge->findings, CHECK_MOVES, row,
                  "the head turns by %.3f deg to park; another whole turn is nearer",
                  fabs(head->angle - moves->up_angle) * (180 / NUM_PI));
}
