/* sway.c - a crossing as three stretches of even jerk, integrated one after the other.
 *
 * From rest over a length L by D: a quarter of L at jerk j, half of it at -j, a quarter at j.  The
 * places meet when 2 j (L/4)^3 = D. */
#include "check/sway.h"

#include <math.h>

static const double SAME_PLACE = 1e-9; /* mm: a border no farther ahead is behind */

static int64_t sways_that_fit(const struct sway_asked *asked) {
  const struct run_info *info = &asked->info;
  double time = info->travel_t1 - info->run_down - info->travel_t0 - info->run_up;
  double whole = floor((time - asked->cross) / (2 * asked->half) + 1e-9);
  return whole > 0 ? (int64_t)whole : 0;
}

struct sway_asked sway_asked_make(const struct motion *motion, const struct phase *phase) {
  const struct oscillation *oscillation = &phase->plan_layer->procedure->oscillation;
  struct sway_asked asked = {.motion = motion, .phase = phase, .width = oscillation->width};
  if (oscillation->width == 0)
    return asked;
  asked.info = phase_run_info(motion, phase);
  asked.half = 0.5 / oscillation->frequency;
  asked.cross = asked.half - oscillation->dwell;
  asked.first = motion->mode == MODE_WELD ? 0 : asked.info.sway_first;
  asked.last = motion->mode == MODE_WELD ? 2 * sways_that_fit(&asked) : asked.info.sway_last;
  return asked;
}

static struct range crossing_make(const struct sway_asked *asked, int64_t j) {
  if (asked->motion->mode != MODE_WELD)
    return run_sway_crossing(asked->motion, asked->phase, j);
  double t = asked->info.travel_t0 + asked->info.run_up + (double)j * asked->half;
  return (struct range){run_length_at(asked->motion, asked->phase, t),
                        run_length_at(asked->motion, asked->phase, t + asked->cross)};
}

static struct range crossing_of(struct sway_asked *asked, int64_t j) {
  struct sway_known *known = &asked->known[j & 1];
  if (!known->is_known || known->j != j)
    *known = (struct sway_known){true, j, crossing_make(asked, j)};
  return known->over;
}

static bool begins_by(struct sway_asked *asked, int64_t j, double q) {
  return j < asked->first || (j <= asked->last && crossing_of(asked, j).lo <= q + SAME_PLACE);
}

/* The last half sway that begins at q or before it; first - 1: none.  One asks place by place: it
 * is often the one found before, or the next. */
static int64_t half_at(struct sway_asked *asked, double q) {
  int64_t lo = asked->first - 1, hi = asked->last + 1, near = asked->near;
  for (int64_t j = near; j > lo && j < hi && j <= near + 2; j++)
    if (begins_by(asked, j, q))
      lo = j;
    else
      hi = j;
  while (hi - lo > 1) {
    int64_t mid = lo + (hi - lo) / 2;
    if (begins_by(asked, mid, q))
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

static struct sway_stretch in_crossing(struct range over, double from, double to, double q) {
  double length = over.hi - over.lo, quarter = length / 4;
  double jerk = (to - from) / (2 * quarter * quarter * quarter);
  double place = from, slope = 0, bend = 0, at = over.lo;
  const double way[3] = {quarter, 2 * quarter, quarter}, sign[3] = {1, -1, 1};
  int i = 0;
  while (i < 2 && q >= at + way[i] - SAME_PLACE) {
    double h = way[i], j = sign[i] * jerk;
    place += h * (slope + h * (bend / 2 + h * j / 6));
    slope += h * (bend + h * j / 2);
    bend += h * j;
    at += h;
    i++;
  }
  struct cubic deeper = {place, slope, bend / 2, sign[i] * jerk / 6};
  return (struct sway_stretch){i < 2 ? at + way[i] : over.hi, cubic_shift(deeper, q - at)};
}

struct sway_stretch sway_asked_at(struct sway_asked *asked, double q) {
  struct sway_stretch none = {(double)INFINITY, {0, 0, 0, 0}};
  if (asked->last <= asked->first)
    return none;
  int64_t j = asked->near = half_at(asked, q);
  if (j < asked->first) {
    none.to = crossing_of(asked, asked->first).lo;
    return none;
  }
  struct range over = crossing_of(asked, j);
  double end = j % 2 == 0 ? asked->width / 2 : -asked->width / 2;
  double from = j == asked->first ? 0 : -end, to = j == asked->last ? 0 : end;
  if (q < over.hi - SAME_PLACE)
    return in_crossing(over, from, to, q);
  if (j == asked->last)
    return none;
  return (struct sway_stretch){crossing_of(asked, j + 1).lo, {to, 0, 0, 0}};
}

/* In time both go along evenly, and so do the pool's paths in cruise: what begins of crossings are
 * off grows evenly from the first to the last, and what ends are off besides is the same for all.
 * The sway asked for is the other one, each place of the way moved by no more than one of these. */
double sway_asked_off(struct sway_asked *asked, const struct swings *swings, double ahead) {
  int64_t end = swings->first + swings->count;
  if (swings->first <= asked->first || end > asked->last)
    return (double)INFINITY;
  double begin = swings->centre.q.c0 + ahead;
  struct range first = crossing_make(asked, swings->first), last = crossing_make(asked, end);
  double moved =
      fmax(fabs(first.lo - begin), fabs(last.lo - begin - (double)swings->count * swings->half));
  moved += fabs(first.hi - first.lo - swings->cross);
  return moved * swings_slope(swings) + fabs(2 * swings->amplitude - asked->width) / 2;
}
