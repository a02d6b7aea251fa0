/* tick.c - the values at a tick, from the phase that the tick belongs to.
 *
 * A tick on the border of two phases belongs to the later one.  The very last tick lies past all
 * phases: it keeps the last phase's name and everything else is off. */
#include "emit/stretch.h"

#include <assert.h>

static double ramp(const struct phase *phase, int64_t tick) {
  if (phase->current_from == phase->current_to)
    return phase->current_from;
  return phase->current_from + (phase->current_to - phase->current_from) *
                                   (double)(tick - phase->tick0) / (double)phase->ticks;
}

static bool wire_feeds(const struct phase *phase, int64_t tick) {
  return phase->kind == PHASE_WELD && tick >= phase->wire.feed0 && tick < phase->wire.feed1;
}

const struct plan_leg *tick_leg(const struct motion *motion, const struct phase *phase,
                                int64_t tick) {
  const struct plan_run *run = &phase->plan_layer->runs[phase->run];
  double t = (double)tick * motion->plan->job->cell->tick;
  return &run->legs[run_leg_at(motion, phase, t)];
}

static const struct plan_leg *last_leg(const struct phase *phase) {
  const struct plan_run *run = &phase->plan_layer->runs[phase->run];
  return &run->legs[run->leg_count - 1];
}

static void put_leg(struct tick_values *values, const struct motion *motion,
                    const struct phase *phase, int64_t tick) {
  values->lap = phase->lap;
  if (phase->kind == PHASE_WELD || phase->kind == PHASE_DOWNSLOPE) {
    const struct plan_leg *leg = tick_leg(motion, phase, tick);
    values->lap = leg->lap;
    values->is_step = leg->is_step;
  } else if (phase->kind == PHASE_POSTFLOW) {
    values->lap = last_leg(phase)->lap;
  }
}

/* Control is off on a step, where the wall's distance is not what the voltage tells. */
static bool voltage_controls(const struct phase *phase, int64_t tick, bool is_step) {
  return phase->kind == PHASE_WELD && tick >= phase->wire.avc0 && tick < phase->wire.feed1 &&
         !is_step;
}

void tick_values_go_on(struct tick_values *values, const struct motion *motion,
                       const struct phase *phase, int64_t tick) {
  bool feeds = wire_feeds(phase, tick);
  struct lap_values asked = {0};
  values->tick = tick;
  if (phase->arc || feeds)
    asked = run_values_at(motion, phase, (double)tick * motion->plan->job->cell->tick);
  if (phase->arc) {
    values->current = phase->kind == PHASE_WELD ? asked.current : ramp(phase, tick);
    values->voltage = asked.voltage;
  }
  values->avc = voltage_controls(phase, tick, values->is_step);
  values->wire = feeds ? asked.wire_feed_speed : phase_wire_speed(motion, phase, tick);
  values->wire_current = feeds ? phase->plan_layer->procedure->wire_current : 0;
}

struct tick_values tick_phase_values(const struct motion *motion, const struct phase *phase,
                                     int64_t tick) {
  struct tick_values values = {.tick = tick,
                               .phase = phase->kind,
                               .arc = phase->arc,
                               .gas = phase->gas,
                               .overlay = phase->overlay,
                               .layer = phase->layer};
  if (phase->overlay == 0)
    return values;
  values.line = motion->plan->overlays[phase->overlay - 1].overlay->line;
  put_leg(&values, motion, phase, tick);
  tick_values_go_on(&values, motion, phase, tick);
  return values;
}

void tick_cursor_begin(struct tick_cursor *cursor, const struct motion *motion) {
  *cursor = (struct tick_cursor){.motion = motion, .tick_s = motion->plan->job->cell->tick};
}

void tick_cursor_end(struct tick_cursor *cursor) {
  if (cursor->iterating)
    piece_iter_release(&cursor->iter);
  cursor->iterating = false;
}

const struct phase *tick_cursor_phase(struct tick_cursor *cursor) {
  const struct motion *motion = cursor->motion;
  const struct phase *phase = &motion->phases[cursor->phase];
  bool leaves = cursor->iterating && cursor->next >= phase->tick0 + phase->ticks &&
                cursor->phase + 1 < motion->phase_count;
  if (leaves) {
    tick_cursor_end(cursor);
    phase = &motion->phases[++cursor->phase];
  }
  if (!cursor->iterating) {
    piece_iter_begin(&cursor->iter, motion, phase);
    cursor->iterating = true;
    bool any = piece_iter_next(&cursor->iter, &cursor->piece);
    assert(any); /* a phase has one tick at least, and pieces over all of it */
    (void)any;
  }
  return phase;
}

/* Times of pieces are sums of doubles: a tick may lie a last bit outside the piece that holds it.
 */
static struct pose pose_at(struct tick_cursor *cursor, double t) {
  struct piece later;
  while (t >= cursor->piece.t1 && piece_iter_next(&cursor->iter, &later))
    cursor->piece = later;
  const struct piece *piece = &cursor->piece;
  double inside = t < piece->t0 ? piece->t0 : t > piece->t1 ? piece->t1 : t;
  return piece_at(piece, inside);
}

bool tick_cursor_next(struct tick_cursor *cursor, struct tick_values *values) {
  const struct motion *motion = cursor->motion;
  int64_t tick = cursor->next;
  if (tick > motion->ticks) {
    tick_cursor_end(cursor);
    return false;
  }
  const struct phase *phase = tick_cursor_phase(cursor);
  if (tick == motion->ticks)
    *values = (struct tick_values){.tick = tick, .phase = phase->kind};
  else
    *values = tick_phase_values(motion, phase, tick);
  values->pose = pose_at(cursor, (double)tick * cursor->tick_s);
  cursor->next++;
  return true;
}
