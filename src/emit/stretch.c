/* stretch.c - ticks that differ in time and pose alone, found without looking at each. */
#include "emit/stretch.h"

#include <math.h>

#include "borelay/lanes.h"

static int64_t sooner(int64_t ticks, int64_t tick, int64_t change) {
  return change > tick && change - tick < ticks ? change - tick : ticks;
}

/* The legs of a run come in order, so where the last of some ticks is on the leg of the first, so
 * are those between; else the first tick on a later leg is found by halving. */
static int64_t ticks_on_leg(const struct motion *motion, const struct phase *phase, int64_t tick,
                            int64_t ticks) {
  const struct plan_leg *leg = tick_leg(motion, phase, tick);
  if (tick_leg(motion, phase, tick + ticks - 1) == leg)
    return ticks;
  int64_t same = 1, other = ticks - 1; /* tick + other is on a later one */
  while (same < other) {
    int64_t middle = same + (other - same) / 2;
    if (tick_leg(motion, phase, tick + middle) == leg)
      same = middle + 1;
    else
      other = middle;
  }
  return same;
}

/* On a ramp between sectors each tick has values of its own. */
static int64_t ticks_as_asked(const struct motion *motion, const struct phase *phase, int64_t tick,
                              int64_t ticks) {
  double tick_s = motion->plan->job->cell->tick, t = (double)tick * tick_s;
  double still = (run_values_until(motion, phase, t) - t) / tick_s;
  return still >= (double)ticks ? ticks : still > 1 ? (int64_t)still : 1;
}

/* So many ticks on a ramp between sectors are taken together before it is asked where it ends. */
enum { VARYING = 64 };

/* How many ticks from this one on say the same but for time and pose, or, where values change from
 * tick to tick, have the same labels. */
static int64_t ticks_alike(const struct motion *motion, const struct phase *phase, int64_t tick,
                           bool *varies) {
  int64_t ticks = phase->tick0 + phase->ticks - tick;
  *varies = phase->arc && phase->kind != PHASE_WELD && phase->current_from != phase->current_to;
  if (phase->kind != PHASE_WELD && phase->kind != PHASE_DOWNSLOPE)
    return ticks;
  if (!*varies && run_values_change(phase)) {
    ticks = ticks_as_asked(motion, phase, tick, ticks);
    *varies = ticks == 1;
    if (*varies)
      ticks = sooner(VARYING, tick, phase->tick0 + phase->ticks);
  }
  if (!*varies) {
    ticks = sooner(ticks, tick, phase->wire.feed0);
    ticks = sooner(ticks, tick, phase->wire.feed1);
    ticks = sooner(ticks, tick, phase->wire.avc0);
    ticks = sooner(ticks, tick, phase->tick0 + phase->wire.retract_ticks - 1);
    ticks = sooner(ticks, tick, phase->tick0 + phase->wire.retract_ticks);
  }
  return ticks_on_leg(motion, phase, tick, ticks);
}

/* How many ticks from this one on the cursor's piece holds; the first is in it whatever its time.
 */
static int64_t ticks_in_piece(const struct tick_cursor *cursor, int64_t tick) {
  double t1 = cursor->piece.t1, tick_s = cursor->tick_s;
  int64_t last = (int64_t)(t1 / tick_s);
  while ((double)last * tick_s >= t1)
    last--;
  while ((double)(last + 1) * tick_s < t1)
    last++;
  return last > tick ? last - tick + 1 : 1;
}

static void find_alike(struct tick_cursor *cursor, const struct phase *phase) {
  const struct motion *motion = cursor->motion;
  int64_t tick = cursor->next;
  cursor->varies = false;
  if (tick == motion->ticks) {
    cursor->values = (struct tick_values){.tick = tick, .phase = phase->kind};
    cursor->alike_until = tick + 1;
  } else {
    cursor->values = tick_phase_values(motion, phase, tick);
    cursor->alike_until = tick + ticks_alike(motion, phase, tick, &cursor->varies);
  }
}

bool tick_cursor_stretch(struct tick_cursor *cursor, struct tick_stretch *stretch) {
  int64_t tick = cursor->next;
  if (tick > cursor->motion->ticks) {
    tick_cursor_end(cursor);
    return false;
  }
  const struct phase *phase = tick_cursor_phase(cursor);
  bool goes_on = tick < cursor->alike_until;
  if (!goes_on)
    find_alike(cursor, phase);
  bool left = true; /* after the last piece that one stays */
  while (left && (double)tick * cursor->tick_s >= cursor->piece.t1)
    left = piece_iter_next(&cursor->iter, &cursor->piece);
  stretch->count = sooner(ticks_in_piece(cursor, tick), tick, cursor->alike_until);
  stretch->values = cursor->values;
  stretch->values.tick = tick;
  stretch->varies = cursor->varies;
  stretch->goes_on = goes_on && !cursor->varies;
  stretch->phase = phase;
  stretch->piece = cursor->piece;
  cursor->next += stretch->count;
  return true;
}

/* to[i] = (tick + i) tick_s */
LANES_VOID(times_of, (int64_t tick, double tick_s, int count, double *to),
           (tick, tick_s, count, to)) {
  double first = (double)tick;
  for (int i = 0; i < count; i++)
    to[i] = (first + i) * tick_s; /* the sum is exact */
}

void tick_block_end(struct tick_block *block) {
  if (block->placed < block->count)
    poses_place(&block->curve, &block->poses, block->placed, block->count - block->placed);
  block->placed = block->count;
}

double tick_block_end_nearly(struct tick_block *block) {
  if (block->placed == block->count)
    return 0;
  return poses_place_nearly(&block->curve, &block->poses, block->placed,
                            block->count - block->placed);
}

size_t tick_stretch_block(const struct motion *motion, const struct tick_stretch *stretch,
                          int64_t from, struct tick_block *block) {
  const struct piece *piece = &stretch->piece;
  double t[POSES_MOST];
  int64_t left = stretch->count - from, tick = stretch->values.tick + from;
  size_t at = block->count, room = POSES_MOST - at,
         count = left < (int64_t)room ? (size_t)left : room;
  double tick_s = motion->plan->job->cell->tick, first = (double)tick * tick_s;
  times_of(tick, tick_s, (int)count, t);
  /* Only the first may lie outside, by rounding or as the last of all. */
  t[0] = first < piece->t0 ? piece->t0 : first > piece->t1 ? piece->t1 : first;
  piece_turns(piece, t, count, &block->poses, at);
  if (at == 0) {
    block->values = stretch->values;
    block->values.tick = tick;
    block->placed = 0;
  } else if (block->placed < at && !curve_is_on(&block->curve, &piece->curve)) {
    tick_block_end(block);
  }
  block->curve = piece->curve;
  block->count += count;
  return count;
}
