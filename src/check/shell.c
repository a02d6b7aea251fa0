/* shell.c - distance r of H from the shell's centre over continuous motion.
 *
 * Bounds are on r^2, whose derivative 2 (H - centre) . V is a sum of products of ranges: where that
 * does not change sign r is largest and smallest at the ends, otherwise r^2 lies within the mean
 * value's reach about the middle.  A controller runs straight between rows and so leaves the motion
 * by at most A T^2 / 8 (the error of linear interpolation: de Boor, A Practical Guide to Splines,
 * 1978, chapter II), where A is the largest acceleration of H in the phase, and by dv T / 4 at a
 * step of velocity; phases begin and end on rows, so a chord has one phase. */
#include "check/shell.h"

#include <math.h>

static const double PLACE_TOLERANCE = 1e-6; /* mm */

struct shell_context {
  const struct cell *cell;
  const struct piece *piece;
};

static double square(double x) {
  return x * x;
}

static void shell_values(const void *context, double t, double *values) {
  const struct shell_context *c = context;
  struct pose h = piece_at(c->piece, t);
  vec3 from = c->cell->range_from;
  double r = sqrt(square(h.x - from.x) + square(h.y - from.y) + square(h.z - from.z));
  values[0] = r - c->cell->range_radius.hi;
  values[1] = c->cell->range_radius.lo - r;
}

/* Range of a product. */
static struct range times(struct range a, struct range b) {
  double p = a.lo * b.lo, q = a.lo * b.hi, r = a.hi * b.lo, s = a.hi * b.hi;
  return (struct range){fmin(fmin(p, q), fmin(r, s)), fmax(fmax(p, q), fmax(r, s))};
}

static double square_distance(const struct shell_context *c, double t) {
  struct pose h = piece_at(c->piece, t);
  vec3 from = c->cell->range_from;
  return square(h.x - from.x) + square(h.y - from.y) + square(h.z - from.z);
}

static void shell_bounds(const void *context, double ta, double tb, double *bounds) {
  const struct shell_context *c = context;
  struct jet_range jet = piece_jet_range(c->piece, ta, tb);
  double from[3] = {c->cell->range_from.x, c->cell->range_from.y, c->cell->range_from.z};
  struct range slope = {0, 0};
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    struct range away = jet.d[axis][0];
    away.lo -= from[axis];
    away.hi -= from[axis];
    struct range part = times(away, jet.d[axis][1]);
    slope.lo += 2 * part.lo;
    slope.hi += 2 * part.hi;
  }
  double a = square_distance(c, ta), b = square_distance(c, tb);
  double lo = fmin(a, b), hi = fmax(a, b);
  if (slope.lo < 0 && slope.hi > 0) {
    double mid = square_distance(c, ta + (tb - ta) / 2);
    double reach = fmax(-slope.lo, slope.hi) * (tb - ta) / 2;
    lo = mid - reach;
    hi = mid + reach;
  }
  bounds[0] = sqrt(hi) - c->cell->range_radius.hi;
  bounds[1] = c->cell->range_radius.lo - sqrt(fmax(lo, 0));
}

struct shell_judge shell_begin(const struct scene *scene) {
  return (struct shell_judge){.scene = scene, .worst = -HUGE_VAL};
}

static void phase_settle(struct shell_judge *judge) {
  if (!judge->phase)
    return;
  double tick = judge->scene->motion->plan->job->cell->tick;
  double chord = judge->accel * tick * tick / 8 + judge->velocity_step * tick / 4;
  for (int i = 0; i < 2; i++) {
    const struct peak *peak = &judge->phase_search.best[i];
    if (peak->value + chord > judge->worst) {
      judge->worst = peak->value + chord;
      judge->worst_is_outer = i == 0;
      judge->peak = *peak;
    }
  }
}

static void phase_begin(struct shell_judge *judge, const struct phase *phase) {
  phase_settle(judge);
  judge->phase = phase;
  judge->accel = judge->velocity_step = 0;
  search_begin(&judge->phase_search, 2);
  judge->phase_search.tolerance[0] = judge->phase_search.tolerance[1] = PLACE_TOLERANCE;
}

static void note_step(struct shell_judge *judge, const struct piece *piece) {
  struct jet before = piece_jet(&judge->last, judge->last.t1), after = piece_jet(piece, piece->t0);
  double sum = 0;
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++)
    sum += square(after.d[axis][1] - before.d[axis][1]);
  judge->velocity_step = fmax(judge->velocity_step, sqrt(sum));
}

void shell_piece(struct shell_judge *judge, const struct phase *phase, const struct piece *piece) {
  const struct cell *cell = judge->scene->motion->plan->job->cell;
  if (!cell->has_working_range)
    return;
  if (phase != judge->phase)
    phase_begin(judge, phase);
  if (judge->has_last)
    note_step(judge, piece);
  judge->has_last = true;
  judge->last = *piece;
  judge->accel = fmax(judge->accel, piece_point_bound(piece, piece->t0, piece->t1, 0).accel);
  struct shell_context context = {cell, piece};
  struct subject subject = {shell_values, shell_bounds, &context, phase};
  search_stretch(&judge->phase_search, &subject, piece->t0, piece->t1);
}

struct check_result shell_end(struct shell_judge *judge) {
  const struct cell *cell = judge->scene->motion->plan->job->cell;
  if (!cell->has_working_range)
    return finding_not_asked("working-range", "mm");
  phase_settle(judge);
  struct check_result result = finding_at(judge->scene, "working-range", &judge->peak, "H");
  bool outer = judge->worst_is_outer;
  result.limit = outer ? cell->range_radius.hi : cell->range_radius.lo;
  result.worst = outer ? result.limit + judge->worst : result.limit - judge->worst;
  result.unit = "mm";
  result.passed = judge->worst <= PLACE_TOLERANCE;
  return result;
}
