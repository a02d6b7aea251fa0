/* envelope.c - least and largest speed and acceleration of every axis per stretch of time.
 *
 * Branch and bound on the pieces' closed forms: a stretch is halved until its enclosure lies within
 * TOLERANCE of what was reached, so that no peak hides between samples, and the cost goes with
 * pieces and buckets, not with rows. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/draw.h"

static const double TOLERANCE = 5e-4; /* of the limit */

static void widen(struct range *range, double value) {
  range->lo = fmin(range->lo, value);
  range->hi = fmax(range->hi, value);
}

static void jet_take(struct axis_ranges *to, size_t bucket, const struct jet *jet) {
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    widen(&to->speed[axis][bucket], jet->d[axis][1]);
    widen(&to->accel[axis][bucket], jet->d[axis][2]);
  }
}

static bool is_within(struct range inner, struct range outer, double slack) {
  return inner.lo >= outer.lo - slack && inner.hi <= outer.hi + slack;
}

static bool is_known(const struct axis_ranges *to, size_t bucket, const struct cell *cell,
                     const struct jet_range *range) {
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *limits = &cell->axis[axis];
    if (!is_within(range->d[axis][1], to->speed[axis][bucket], TOLERANCE * limits->speed) ||
        !is_within(range->d[axis][2], to->accel[axis][bucket], TOLERANCE * limits->accel))
      return false;
  }
  return true;
}

static void stretch_take(struct axis_ranges *to, size_t bucket, const struct cell *cell,
                         const struct piece *piece, double ta, double tb, int depth) {
  struct jet_range range = piece_jet_range(piece, ta, tb);
  if (depth > 24 || is_known(to, bucket, cell, &range))
    return;
  double mid = ta + (tb - ta) / 2;
  struct jet jet = piece_jet(piece, mid);
  jet_take(to, bucket, &jet);
  stretch_take(to, bucket, cell, piece, ta, mid, depth + 1);
  stretch_take(to, bucket, cell, piece, mid, tb, depth + 1);
}

static void piece_take(struct axis_ranges *to, const struct cell *cell, const struct piece *piece) {
  double width = to->duration / (double)to->buckets;
  for (double t = piece->t0; t < piece->t1;) {
    size_t bucket = (size_t)fmin(floor(t / width + 1e-9), (double)(to->buckets - 1));
    double end =
        bucket + 1 == to->buckets ? piece->t1 : fmin(piece->t1, (double)(bucket + 1) * width);
    if (end <= t)
      end = piece->t1;
    struct jet a = piece_jet(piece, t), b = piece_jet(piece, end);
    jet_take(to, bucket, &a);
    jet_take(to, bucket, &b);
    stretch_take(to, bucket, cell, piece, t, end, 0);
    t = end;
  }
}

/* A step of speed between two pieces counts as an acceleration over one tick, as the checks have
 * it (docs/semantics.md, Motion). */
static void step_take(struct axis_ranges *to, double tick, const struct piece *from,
                      const struct piece *next) {
  double width = to->duration / (double)to->buckets;
  size_t bucket = (size_t)fmin(floor(next->t0 / width), (double)(to->buckets - 1));
  struct jet before = piece_jet(from, from->t1), after = piece_jet(next, next->t0);
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    double step = after.d[axis][1] - before.d[axis][1];
    if (fabs(step) < 1e-7)
      continue;
    double near = fmax(fabs(before.d[axis][2]), fabs(after.d[axis][2]));
    widen(&to->accel[axis][bucket], step > 0 ? near + step / tick : step / tick - near);
  }
}

const struct axis_ranges *draw_axis_ranges(struct arena *arena, const struct motion *motion,
                                           size_t buckets) {
  const struct cell *cell = motion->plan->job->cell;
  struct axis_ranges *to = arena_alloc(arena, 1, sizeof *to);
  to->buckets = buckets;
  to->duration = (double)motion->ticks * cell->tick;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    to->speed[axis] = arena_alloc(arena, buckets, sizeof **to->speed);
    to->accel[axis] = arena_alloc(arena, buckets, sizeof **to->accel);
  }
  struct piece last = {0};
  bool begun = false;
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      if (begun)
        step_take(to, cell->tick, &last, &piece);
      piece_take(to, cell, &piece);
      last = piece;
      begun = true;
    }
    piece_iter_release(&iter);
  }
  return to;
}
