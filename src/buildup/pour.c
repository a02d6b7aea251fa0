/* pour.c - wire over time, seen as metal over place.
 *
 * A pool at rest, or one that starts from rest, would put a finite metal on no length at all.  The
 * pool is as long as the bead is wide, and what melts spreads evenly over it: the metal at a place
 * is what comes while the pool reaches there.  That is a difference of two values of the metal laid
 * so far, so that nothing is lost, whatever the speed does (docs/buildup.md, section 2). */
#include "buildup/pour.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "borelay/num.h"

/* -- where and when ---------------------------------------------------------------------------- */

static void legs_lay(struct arena *arena, const struct motion *motion, const struct phase *weld,
                     const struct plan_run *run, struct pour *pour) {
  double *lambda = arena_alloc(arena, run->leg_count + 1, sizeof *lambda);
  double *length = arena_alloc(arena, run->leg_count + 1, sizeof *length);
  double s = run->s_start;
  for (size_t i = 0; i < run->leg_count; i++) {
    double next = s + pour->layer->dir * run->legs[i].s_length;
    lambda[i + 1] = lambda[i] + contour_offset_length(pour->contour, pour->layer->offset,
                                                      fmin(s, next), fmax(s, next));
    length[i + 1] = run_leg_start(motion, weld, i + 1);
    s = next;
  }
  pour->legs = run->legs;
  pour->leg_count = run->leg_count;
  pour->leg_lambda = lambda;
  pour->leg_length = length;
}

static void stretches_take(struct arena *arena, const struct motion *motion,
                           const struct phase *weld, struct pour *pour) {
  pour->stretch_count = run_stretch_count(weld);
  struct run_stretch *made = arena_alloc(arena, pour->stretch_count, sizeof *made);
  for (size_t i = 0; i < pour->stretch_count; i++)
    made[i] = run_stretch_get(motion, weld, i);
  pour->stretches = made;
}

static bool is_in_leg(const struct pour *pour, const double *border, double at, size_t leg) {
  return (leg == 0 || at >= border[leg]) && (leg + 1 == pour->leg_count || at < border[leg + 1]);
}

/* Leg that holds a value of a rising list; the last one beyond it.  One asks turn by turn: the leg
 * is often that of `near`, or the one before or behind it. */
static size_t leg_of(const struct pour *pour, const double *border, double at, size_t *near) {
  size_t lo = 0, hi = pour->leg_count - 1;
  for (size_t leg = *near > 0 ? *near - 1 : 0; leg <= *near + 1 && leg <= hi; leg++)
    if (is_in_leg(pour, border, at, leg))
      return *near = leg;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    if (at < border[middle + 1])
      hi = middle;
    else
      lo = middle + 1;
  }
  return *near = lo;
}

/* On a leg both lengths grow evenly with each other; behind the last one the way is level. */
static double carried(const struct pour *pour, const double *from, const double *to, double at,
                      size_t *near) {
  size_t i = leg_of(pour, from, at, near);
  double over = at - from[i + 1];
  if (over >= 0)
    return to[i + 1] + over;
  return to[i] + (at - from[i]) / (from[i + 1] - from[i]) * (to[i + 1] - to[i]);
}

/* When the pool leaves `length` of its path behind it: the last moment at which it is no farther.
 */
static double time_left(const struct pour *pour, double length) {
  size_t lo = 0, hi = pour->stretch_count;
  while (hi - lo > 1) {
    size_t middle = lo + (hi - lo) / 2;
    if (pour->stretches[middle].length.c0 <= length)
      lo = middle;
    else
      hi = middle;
  }
  const struct run_stretch *stretch = &pour->stretches[lo];
  struct cubic q = stretch->length;
  double extent = stretch->t1 - stretch->t0;
  if (length >= cubic_at(q, extent))
    return stretch->t1;
  if (cubic_is_linear(q) && q.c1 > 0)
    return stretch->t0 + fmax((length - q.c0) / q.c1, 0);
  return stretch->t0 + cubic_solve_rising(q, 0, extent, length);
}

static double length_at(const struct pour *pour, double t) {
  size_t i = 0;
  while (i + 1 < pour->stretch_count && pour->stretches[i].t1 <= t)
    i++;
  const struct run_stretch *stretch = &pour->stretches[i];
  return cubic_at(stretch->length, fmin(fmax(t, stretch->t0), stretch->t1) - stretch->t0);
}

/* -- metal ------------------------------------------------------------------------------------- */

/* mm of wire fed from the run's first on. */
static double fed_until(const struct pour *pour, double t) {
  size_t lo = 0, hi = pour->stretch_count;
  while (hi - lo > 1) {
    size_t middle = lo + (hi - lo) / 2;
    if (pour->stretches[middle].t0 <= t)
      lo = middle;
    else
      hi = middle;
  }
  return pour->fed[lo] + run_wire_fed(pour->motion, pour->weld, pour->stretches[lo].t0, t);
}

static double until(const struct pour *pour, double lambda, size_t *near) {
  if (lambda < 0 || pour->on >= pour->off)
    return 0;
  if (lambda >= pour->end)
    return pour->volume;
  double t = time_left(pour, carried(pour, pour->leg_lambda, pour->leg_length, lambda, near));
  if (pour->fed)
    return fmin(fmax(pour->across * (fed_until(pour, t) - pour->retract), 0), pour->volume);
  return fmin(pour->rate * fmax(t - pour->on, 0), pour->volume);
}

double pour_area(const struct pour *pour, double lambda, size_t *near) {
  double ahead = until(pour, lambda + pour->half, near);
  return (ahead - until(pour, lambda - pour->half, near)) / (2 * pour->half);
}

double pour_depth(const struct pour *pour, double lambda, size_t *near) {
  size_t i = leg_of(pour, pour->leg_lambda, lambda, near);
  const struct plan_leg *leg = &pour->legs[i];
  double begin = pour->leg_lambda[i], extent = pour->leg_lambda[i + 1] - begin;
  double share = extent > 0 ? fmin(fmax((lambda - begin) / extent, 0), 1) : 1;
  return leg->depth_from + share * (leg->depth_to - leg->depth_from);
}

double pour_lambda(const struct pour *pour, double s) {
  double turns, way = contour_wrap(pour->contour, pour->layer->dir * (s - pour->s_start), &turns);
  double a = pour->s_start, b = a + pour->layer->dir * way;
  return contour_offset_length(pour->contour, pour->layer->offset, fmin(a, b), fmax(a, b));
}

/* With sectors: as the rows feed it. */
static void fed_find(struct arena *arena, struct pour *pour) {
  double *fed = arena_alloc(arena, pour->stretch_count, sizeof *fed);
  for (size_t i = 0; i + 1 < pour->stretch_count; i++)
    fed[i + 1] = fed[i] + run_wire_fed(pour->motion, pour->weld, pour->stretches[i].t0,
                                       pour->stretches[i + 1].t0);
  pour->fed = fed;
  pour->wire = pour->across * (fed_until(pour, pour->off) - pour->retract);
}

static void metal_find(struct arena *arena, const struct motion *motion, const struct phase *weld,
                       struct pour *pour) {
  const struct procedure *procedure = pour->layer->procedure;
  double tick = motion->plan->job->cell->tick, begin = (double)weld->wire.feed0 * tick;
  double feed = run_values_at(motion, weld, begin).wire_feed_speed;
  double across = NUM_PI / 4 * procedure->wire_diameter * procedure->wire_diameter;
  double fed = (double)(weld->wire.feed1 - weld->wire.feed0) * tick;
  double late = feed > 0 ? procedure->wire_retract / feed : 0;
  pour->rate = across * feed;
  pour->wire = pour->rate * (fed - late);
  pour->on = (double)weld->wire.feed0 * tick + late;
  pour->off = pour->rate > 0 ? (double)weld->wire.feed1 * tick : pour->on;
  pour->across = across;
  pour->retract = procedure->wire_retract;
  pour->motion = motion;
  pour->weld = weld;
  if (run_values_change(weld)) {
    pour->on = run_wire_time(motion, weld, procedure->wire_retract);
    fed_find(arena, pour);
  }
  pour->volume = fmax(pour->wire, 0);
}

static void ends_find(struct pour *pour) {
  size_t near = 0;
  if (pour->on >= pour->off) {
    pour->begin = pour->end = 0;
    pour->shallow = pour->deep = pour_depth(pour, 0, &near);
    return;
  }
  pour->begin = carried(pour, pour->leg_length, pour->leg_lambda, length_at(pour, pour->on), &near);
  pour->end = carried(pour, pour->leg_length, pour->leg_lambda, length_at(pour, pour->off), &near);
  double a = pour_depth(pour, pour->begin - pour->half, &near);
  double b = pour_depth(pour, pour->end + pour->half, &near);
  pour->shallow = fmin(a, b);
  pour->deep = fmax(a, b);
}

struct pour pour_make(struct arena *arena, const struct motion *motion, const struct phase *weld) {
  struct run_info info = phase_run_info(motion, weld);
  struct pour pour = {.contour = info.overlay->contour,
                      .layer = info.layer,
                      .s_start = info.run->s_start,
                      .half = info.layer->procedure->bead_width / 2,
                      .width = bead_width_laid(info.layer->procedure)};
  pour.round = contour_offset_length(pour.contour, info.layer->offset, 0, pour.contour->perimeter);
  legs_lay(arena, motion, weld, info.run, &pour);
  stretches_take(arena, motion, weld, &pour);
  metal_find(arena, motion, weld, &pour);
  ends_find(&pour);
  return pour;
}
