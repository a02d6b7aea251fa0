/* Pieces of a phase, one after the other: the profile's cubics laid over the track's curves.  Only
 * some curves of one leg are held at a time. */
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "motion/build.h"

static const double TIME_EPS = 1e-11, WAY_EPS = 1e-10;

/* How far apart two times of the track may look that are one: from some 12 hours on a double tells
 * times of the stream less finely than TIME_EPS. */
static double time_eps(double stream_time) {
  double eps = stream_time * 0x1p-52;
  return eps > TIME_EPS ? eps : TIME_EPS;
}

/* The same of two places: a profile's cubics tell those of a run of kilometres less finely. */
static double way_eps(double place) {
  double eps = place * 0x1p-50;
  return eps > WAY_EPS ? eps : WAY_EPS;
}

/* The profile's segment at one time, or that it stands at its end. */
struct seg_here {
  struct profile_seg seg;
  double end;    /* where it ends, of the track's time; INFINITY: never */
  bool has_next; /* another one comes then */
};

struct piece_state {
  struct curve_list curves;
  double base, end; /* stream times: where the track's own time is 0, and of the phase's end */
  struct seg_here at;
};

static const struct motion_run *run_of(const struct phase *phase) {
  return phase->track;
}

/* Places of the track between which the phase is. */
static struct range phase_way(const struct piece_iter *iter) {
  const struct profile *profile = &run_of(iter->phase)->profile;
  double begin = (double)iter->phase->tick0 * iter->motion->plan->job->cell->tick;
  return (struct range){profile_at(profile, begin - iter->state->base),
                        profile_at(profile, iter->state->end - iter->state->base)};
}

struct even_way {
  struct range over;
  double speed;
};

/* The longest way of a run at one speed; none where that changes along the lap. */
static struct even_way even_way(const struct profile *profile) {
  struct even_way even = {{0, 0}, 0};
  for (size_t i = 0; i < profile->count && !profile->course; i++) {
    const struct profile_seg *seg = &profile->seg[i];
    double end = cubic_at(seg->q, seg->duration);
    if (cubic_is_linear(seg->q) && end - seg->q.c0 > even.over.hi - even.over.lo)
      even = (struct even_way){{seg->q.c0, end}, seg->q.c1};
  }
  return even;
}

/* Rows that a half sway lasts, at least, where some are joined.  One alike on either side is left
 * apart, and of the motion beyond it nothing may reach in: a chord of the controller reaches over
 * one row, the window of a step over three (src/check/steps.h).  Crossings have four, unless what
 * is rehearsed goes a little faster than that many times the weld. */
static const double JOINED_ROWS = 3;

/* Places of the phase's way on which half sways are alike: both the run and the one whose sway it
 * goes through keep one speed. */
static struct range joined_way(const struct piece_iter *iter, struct range way) {
  const struct motion_run *run = run_of(iter->phase);
  const struct sway *sway = &run->track.sway;
  const struct range none = {way.lo, way.lo};
  if (!sway_exists(sway))
    return none;
  struct even_way even = even_way(&run->profile), laid = even_way(sway->along);
  double rows = sway->half * laid.speed / (even.speed * iter->motion->plan->job->cell->tick);
  if (!(rows >= JOINED_ROWS))
    return none;
  return (struct range){fmax(fmax(even.over.lo, laid.over.lo - sway->q_shift), way.lo),
                        fmin(fmin(even.over.hi, laid.over.hi - sway->q_shift), way.hi)};
}

static void leg_load(struct piece_iter *iter, size_t leg) {
  struct range way = phase_way(iter), none = {way.lo, way.lo};
  track_leg_curves_begin(&run_of(iter->phase)->track, leg, way,
                         iter->joins ? joined_way(iter, way) : none, &iter->state->curves);
  iter->leg = (int64_t)leg;
  iter->curve = 0;
}

static void iter_begin(struct piece_iter *iter, const struct motion *motion,
                       const struct phase *phase, bool joins) {
  *iter = (struct piece_iter){.motion = motion, .phase = phase, .joins = joins};
  iter->state = calloc(1, sizeof *iter->state);
  if (!iter->state) {
    fputs("borelay: out of memory\n", stderr);
    exit(3);
  }
  double tick_s = motion->plan->job->cell->tick;
  iter->t = (double)phase->tick0 * tick_s;
  iter->state->base = (double)phase->track_tick * tick_s;
  iter->state->end = (double)(phase->tick0 + phase->ticks) * tick_s;
  const struct motion_run *run = run_of(phase);
  double q = profile_at(&run->profile, iter->t - iter->state->base);
  leg_load(iter, run->track.kind == TRACK_CONTOUR ? track_leg_index(&run->track, q) : 0);
}

void piece_iter_begin(struct piece_iter *iter, const struct motion *motion,
                      const struct phase *phase) {
  iter_begin(iter, motion, phase, false);
}

void piece_iter_begin_joined(struct piece_iter *iter, const struct motion *motion,
                             const struct phase *phase) {
  iter_begin(iter, motion, phase, true);
}

void piece_iter_release(struct piece_iter *iter) {
  if (iter->state)
    curve_list_release(&iter->state->curves);
  free(iter->state);
  iter->state = NULL;
}

struct pose phase_pose(const struct motion *motion, const struct phase *phase, double t) {
  const struct motion_run *run = run_of(phase);
  double base = (double)phase->track_tick * motion->plan->job->cell->tick;
  double q = profile_at(&run->profile, t - base);
  return q == 0 ? run->track.from : track_pose(&run->track, q);
}

static const struct curve_item *item_now(const struct piece_iter *iter) {
  return &iter->state->curves.items[iter->curve];
}

/* Steps to the next curve; false at the track's end. */
static bool curve_step(struct piece_iter *iter) {
  const struct track *track = &run_of(iter->phase)->track;
  if (iter->curve + 1 < iter->state->curves.count) {
    iter->curve++;
    return true;
  }
  if (curve_list_more(&iter->state->curves)) {
    iter->curve = 0;
    return true;
  }
  if (track->kind != TRACK_CONTOUR)
    return false;
  size_t leg = (size_t)iter->leg;
  do {
    if (++leg >= track->leg_count)
      return false;
  } while (track->legs[leg].length <= 0);
  leg_load(iter, leg);
  return true;
}

static void curve_catch_up(struct piece_iter *iter, double q) {
  const struct curve_item *item = item_now(iter);
  while (q >= item->q0 + item->curve.length - way_eps(q) && curve_step(iter))
    item = item_now(iter);
}

/* At time t of the track, the later segment on a border.  Times rise from call to call.
 *   eps   how far before a border t may lie and still count as on it, s */
static void seg_follow(struct seg_here *at, const struct profile *profile, double t, double eps) {
  if (at->has_next && t + eps < at->end)
    return;
  size_t k = profile_seg_at(profile, t + eps);
  at->seg = profile_seg_get(profile, k);
  at->has_next = k + 1 < profile_seg_count(profile);
  at->end = at->has_next ? profile_seg_get(profile, k + 1).t0 : at->seg.t0 + at->seg.duration;
  if (!at->has_next && t >= at->end - eps) { /* stands at the end */
    at->seg.q = (struct cubic){cubic_at(at->seg.q, at->seg.duration), 0, 0, 0};
    at->end = INFINITY;
  }
}

static double within(double x, double least, double most) {
  return x < least ? least : x > most ? most : x;
}

bool piece_iter_next(struct piece_iter *iter, struct piece *piece) {
  const struct piece_state *state = iter->state;
  const struct profile_seg *seg = &state->at.seg;
  double base = state->base, end = state->end;
  while (!iter->done) {
    double t = iter->t - base;
    seg_follow(&iter->state->at, &run_of(iter->phase)->profile, t, time_eps(iter->t));
    double x = within(t - seg->t0, 0, seg->duration);
    double stop = base + state->at.end;
    if (stop > end - 1e-9)
      stop = end;
    curve_catch_up(iter, cubic_at(seg->q, x));
    const struct curve_item *item = item_now(iter);
    double q_end = item->q0 + item->curve.length;
    double x_stop = within(stop - base - seg->t0, -INFINITY, seg->duration);
    if (cubic_at(seg->q, x_stop) > q_end + way_eps(q_end)) {
      double reach = cubic_solve_rising(seg->q, x, x_stop, q_end);
      if (base + seg->t0 + reach < stop)
        stop = base + seg->t0 + reach;
    }
    if (stop <= iter->t) {
      if (!curve_step(iter))
        stop = end; /* rounding at the very end of the track */
      else
        continue;
    }
    piece->t0 = iter->t;
    piece->t1 = stop;
    piece->q = cubic_shift(seg->q, x);
    piece->q.c0 -= item->q0;
    piece->curve = item->curve;
    iter->t = stop;
    iter->done = stop >= end;
    return true;
  }
  return false;
}

bool piece_iter_swings(const struct piece_iter *iter, const struct piece *piece,
                       struct swings *swings) {
  const struct curve_item *item = item_now(iter);
  if (item->swing_count == 0)
    return false;
  const struct sway *sway = &run_of(iter->phase)->track.sway;
  struct range crossing = sway_crossing(sway, item->swing_first);
  double way = cubic_at(piece->q, piece->t1 - piece->t0) - piece->q.c0;
  assert(fabs(way - item->curve.length) <= 1e-6); /* all of them, in one piece */
  *swings = (struct swings){.centre = *piece,
                            .first = item->swing_first,
                            .count = item->swing_count,
                            .half = way / (double)item->swing_count,
                            .cross = crossing.hi - crossing.lo,
                            .amplitude = sway->amplitude};
  return true;
}
