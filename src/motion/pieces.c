/* Pieces of a phase, one after the other: the profile's cubics laid over the track's curves.  Only
 * the curves of one leg are held at a time. */
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "motion/build.h"

static const double TIME_EPS = 1e-11, WAY_EPS = 1e-10;

/* How far apart two times of the track may look that are one: from some 12 hours on a double tells
 * times of the stream less finely than TIME_EPS. */
static double time_eps(double stream_time) {
  return fmax(TIME_EPS, stream_time * 0x1p-52);
}

/* The same of two places: a profile's cubics tell those of a run of kilometres less finely. */
static double way_eps(double place) {
  return fmax(WAY_EPS, place * 0x1p-50);
}

static const struct motion_run *run_of(const struct phase *phase) {
  return phase->track;
}

static double base_time(const struct piece_iter *iter) {
  return (double)iter->phase->track_tick * iter->motion->plan->job->cell->tick;
}

static double phase_end(const struct piece_iter *iter) {
  return (double)(iter->phase->tick0 + iter->phase->ticks) * iter->motion->plan->job->cell->tick;
}

/* Places of the track between which the phase is. */
static struct range phase_way(const struct piece_iter *iter) {
  const struct profile *profile = &run_of(iter->phase)->profile;
  double begin = (double)iter->phase->tick0 * iter->motion->plan->job->cell->tick;
  double base = base_time(iter);
  return (struct range){profile_at(profile, begin - base),
                        profile_at(profile, phase_end(iter) - base)};
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
  const struct motion_run *run = run_of(iter->phase);
  struct range way = phase_way(iter);
  if (iter->joins)
    track_leg_curves_joined(&run->track, leg, way, joined_way(iter, way), iter->cache);
  else
    track_leg_curves_within(&run->track, leg, way, iter->cache);
  iter->leg = (int64_t)leg;
  iter->curve = 0;
}

static void iter_begin(struct piece_iter *iter, const struct motion *motion,
                       const struct phase *phase, bool joins) {
  *iter = (struct piece_iter){.motion = motion, .phase = phase, .joins = joins};
  iter->cache = calloc(1, sizeof *iter->cache);
  if (!iter->cache) {
    fputs("borelay: out of memory\n", stderr);
    exit(3);
  }
  iter->t = (double)phase->tick0 * motion->plan->job->cell->tick;
  const struct motion_run *run = run_of(phase);
  double q = profile_at(&run->profile, iter->t - base_time(iter));
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
  if (iter->cache)
    curve_list_release(iter->cache);
  free(iter->cache);
  iter->cache = NULL;
}

struct pose phase_pose(const struct motion *motion, const struct phase *phase, double t) {
  const struct motion_run *run = run_of(phase);
  double base = (double)phase->track_tick * motion->plan->job->cell->tick;
  return track_pose(&run->track, profile_at(&run->profile, t - base));
}

static const struct curve_item *item_now(const struct piece_iter *iter) {
  return &iter->cache->items[iter->curve];
}

/* Steps to the next curve; false at the track's end. */
static bool curve_step(struct piece_iter *iter) {
  const struct track *track = &run_of(iter->phase)->track;
  if (iter->curve + 1 < iter->cache->count) {
    iter->curve++;
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
  const struct track *track = &run_of(iter->phase)->track;
  for (;;) {
    const struct curve_item *item = item_now(iter);
    if (q < item->q0 + item->curve.length - way_eps(q))
      return;
    bool last_leg = track->kind != TRACK_CONTOUR || (size_t)iter->leg + 1 >= track->leg_count;
    if (last_leg && iter->curve + 1 >= iter->cache->count)
      return;
    if (!curve_step(iter))
      return;
  }
}

/* The profile's segment at time t of the track, the later one on a border; where it ends.
 *   eps   how far before a border t may lie and still count as on it, s */
static struct profile_seg seg_now(const struct profile *profile, double t, double eps,
                                  double *end) {
  size_t k = profile_seg_at(profile, t + eps), count = profile_seg_count(profile);
  struct profile_seg seg = profile_seg_get(profile, k);
  *end = k + 1 < count ? profile_seg_get(profile, k + 1).t0 : seg.t0 + seg.duration;
  if (k + 1 == count && t >= *end - eps) { /* stands at the end */
    seg.q = (struct cubic){cubic_at(seg.q, seg.duration), 0, 0, 0};
    *end = INFINITY;
  }
  return seg;
}

bool piece_iter_next(struct piece_iter *iter, struct piece *piece) {
  double base = base_time(iter), end = phase_end(iter);
  const struct profile *profile = &run_of(iter->phase)->profile;
  while (!iter->done) {
    double t = iter->t - base, seg_end;
    struct profile_seg seg = seg_now(profile, t, time_eps(iter->t), &seg_end);
    double x = fmin(fmax(t - seg.t0, 0), seg.duration);
    double stop = base + seg_end;
    if (stop > end - 1e-9)
      stop = end;
    curve_catch_up(iter, cubic_at(seg.q, x));
    const struct curve_item *item = item_now(iter);
    double q_end = item->q0 + item->curve.length;
    double x_stop = fmin(stop - base - seg.t0, seg.duration);
    if (cubic_at(seg.q, x_stop) > q_end + way_eps(q_end)) {
      double reach = cubic_solve_rising(seg.q, x, x_stop, q_end);
      if (base + seg.t0 + reach < stop)
        stop = base + seg.t0 + reach;
    }
    if (stop <= iter->t) {
      if (!curve_step(iter))
        stop = end; /* rounding at the very end of the track */
      else
        continue;
    }
    *piece = (struct piece){iter->t, stop, cubic_shift(seg.q, x), item->curve};
    piece->q.c0 -= item->q0;
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
