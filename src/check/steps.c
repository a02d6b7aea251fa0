/* steps.c - a short memory of pieces and of the steps between them. */
#include "check/steps.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

/* Steps that come from rounding alone, as a share of the limit: far below what a verdict tells. */
static const double NOISE = 1e-7;
/* Steps that are no larger are the doubles' rounding: above all that of times of some thousand
 * seconds, multiplied with a speed, an acceleration, a jerk.  Over T^3, T^2, T they would look like
 * jerk.  k: the derivative that steps; mm or rad, s. */
static double rounding_of(const struct axis_limits *limits, int k, double t) {
  double late = t * 0x1p-52;
  if (k == 0)
    return 1e-9 + limits->speed * late;
  return (k == 1 ? limits->accel : limits->jerk) * late;
}

/* What steps add to speed, acceleration and jerk by the factors of steps.h. */
struct cost {
  double d[4];
};
static void cost_add(struct cost *cost, const double size[3], double tick, double since) {
  double t2 = tick * tick;
  if (since <= tick)
    cost->d[1] += size[0] / tick;
  if (since <= 2 * tick)
    cost->d[2] += size[1] / tick + size[0] / t2;
  cost->d[3] += 0.75 * size[2] / tick + size[1] / t2 + 2 * size[0] / (t2 * tick);
}

static double limit_of(const struct axis_limits *limits, int k) {
  return k == 1 ? limits->speed : k == 2 ? limits->accel : limits->jerk;
}

static bool is_noise(const struct axis_limits *limits, const double size[3], double tick) {
  struct cost cost = {{0}};
  cost_add(&cost, size, tick, 0);
  for (int k = 1; k < 4; k++)
    if (cost.d[k] > NOISE * limit_of(limits, k))
      return false;
  return true;
}

/* The three together add less than NOISE: each of them at most a third of it to speed, acceleration
 * and jerk. */
static void quiet_make(const struct axis_limits *limits, double tick, double quiet[3]) {
  double third = NOISE / 3, t2 = tick * tick;
  double speed = third * limits->speed, accel = third * limits->accel, jerk = third * limits->jerk;
  quiet[0] = fmin(fmin(speed * tick, accel * t2), jerk * t2 * tick / 2);
  quiet[1] = fmin(accel * tick, jerk * t2);
  quiet[2] = jerk * tick / 0.75;
}

struct steps steps_begin(struct arena *arena, const struct cell *cell) {
  struct steps steps = {.arena = arena, .cell = cell};
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    quiet_make(&cell->axis[axis], cell->tick, steps.quiet[axis]);
  return steps;
}

static bool is_quiet(const struct steps *steps, const struct jet *before, const struct jet *after) {
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 0; k < 3; k++)
      if (!(fabs(after->d[axis][k] - before->d[axis][k]) <= steps->quiet[axis][k]))
        return false;
  return true;
}

static void step_note(struct steps *steps, double t, const struct phase *phase,
                      const struct jet *before, const struct jet *after) {
  if (is_quiet(steps, before, after))
    return;
  struct step step = {.t = t, .phase = phase};
  bool counts = false;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    for (int k = 0; k < 3; k++) {
      step.size[axis][k] = fabs(after->d[axis][k] - before->d[axis][k]);
      if (step.size[axis][k] < rounding_of(&steps->cell->axis[axis], k, t))
        step.size[axis][k] = 0;
    }
    step.counts[axis] = !is_noise(&steps->cell->axis[axis], step.size[axis], steps->cell->tick);
    counts = counts || step.counts[axis];
  }
  if (!counts)
    return;
  if (steps->open_count == steps->open_room) {
    size_t room = 2 * steps->open_room + 8;
    steps->open =
        arena_grow(steps->arena, steps->open, steps->open_room, room, sizeof *steps->open);
    steps->open_room = room;
  }
  steps->open[steps->open_count++] = step;
}

/* Bounds of every axis's |k-th derivative|, k = 1 .. 3. */
struct smooth {
  double d[AXIS_COUNT][4];
};

static void smooth_add(struct smooth *most, const struct jet_range *range, int k) {
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    struct range r = range->d[axis][k];
    most->d[axis][k] = fmax(most->d[axis][k], fmax(fabs(r.lo), fabs(r.hi)));
  }
}

/* The k-th derivatives within k ticks of t, as far as the pieces go. */
static struct smooth smooth_near(const struct steps *steps, double t, double tick) {
  struct smooth most = {{{0}}};
  for (int k = 1; k < 4; k++)
    for (size_t i = 0; i < steps->piece_count; i++) {
      const struct piece *piece = &steps->pieces[i].piece;
      double ta = fmax(piece->t0, t - k * tick), tb = fmin(piece->t1, t + k * tick);
      if (ta > tb)
        continue;
      struct jet_range range = piece_jet_range(piece, ta, tb);
      smooth_add(&most, &range, k);
    }
  return most;
}

/* No more than that: by the bounds of whole pieces, which are known. */
static struct smooth smooth_most(const struct steps *steps, double t, double tick) {
  struct smooth most = {{{0}}};
  for (size_t i = 0; i < steps->piece_count; i++) {
    const struct steps_piece *kept = &steps->pieces[i];
    if (fmax(kept->piece.t0, t - 3 * tick) > fmin(kept->piece.t1, t + 3 * tick))
      continue;
    for (int k = 1; k < 4; k++)
      smooth_add(&most, &kept->all, k);
  }
  return most;
}

/* What the open steps within 3 T add to the first one, by axis. */
static struct cost cost_of(const struct steps *steps, int axis) {
  const struct step *step = &steps->open[0];
  double tick = steps->cell->tick;
  struct cost cost = {{0}};
  for (size_t i = 0; i < steps->open_count && steps->open[i].t <= step->t + 3 * tick; i++)
    cost_add(&cost, steps->open[i].size[axis], tick, steps->open[i].t - step->t);
  return cost;
}

static double worth_of(const struct steps *steps, int axis, int k, const struct smooth *smooth,
                       const struct cost *cost) {
  const struct step *step = &steps->open[0];
  double tick = steps->cell->tick, worth = smooth->d[axis][k] + cost->d[k];
  if (k == 3)
    worth = fmax(worth, step->size[axis][2] / tick + step->size[axis][1] / (tick * tick));
  return worth;
}

static const double SURE = 1 + 1e-9; /* for rounding */

static bool may_raise(const struct steps *steps, const struct search *search,
                      const struct cost *costs, const struct smooth *most) {
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 1; k < 4; k++)
      if (steps->open[0].counts[axis] && SURE * worth_of(steps, axis, k, most, &costs[axis]) >
                                             search->best[(size_t)(4 * axis + k)].value)
        return true;
  return false;
}

static void step_judge(const struct steps *steps, struct search *search) {
  const struct step *step = &steps->open[0];
  double tick = steps->cell->tick;
  struct cost costs[AXIS_COUNT];
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    costs[axis] = cost_of(steps, axis);
  struct smooth smooth = smooth_most(steps, step->t, tick);
  if (!may_raise(steps, search, costs, &smooth))
    return;
  smooth = smooth_near(steps, step->t, tick);
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 1; k < 4 && step->counts[axis]; k++)
      search_raise(search, (size_t)(4 * axis + k), worth_of(steps, axis, k, &smooth, &costs[axis]),
                   step->t, step->phase);
}

/* The first open step is over; it is open[0], and those behind it follow in time. */
static void settle(struct steps *steps, struct search *search) {
  step_judge(steps, search);
  steps->open_count--;
  memmove(steps->open, steps->open + 1, steps->open_count * sizeof *steps->open);
}

static void forget(struct steps *steps) {
  double now = steps->pieces[steps->piece_count - 1].piece.t1;
  double needed = (steps->open_count > 0 ? steps->open[0].t : now) - 3 * steps->cell->tick;
  size_t old = 0;
  while (old + 1 < steps->piece_count && steps->pieces[old].piece.t1 < needed)
    old++;
  steps->piece_count -= old;
  memmove(steps->pieces, steps->pieces + old, steps->piece_count * sizeof *steps->pieces);
}

void steps_add(struct steps *steps, struct search *search, const struct phase *phase,
               const struct piece *piece, const struct jet_stretch *whole) {
  if (steps->piece_count == steps->piece_room) {
    size_t room = 2 * steps->piece_room + 12;
    steps->pieces =
        arena_grow(steps->arena, steps->pieces, steps->piece_room, room, sizeof *steps->pieces);
    steps->piece_room = room;
  }
  if (steps->piece_count > 0)
    step_note(steps, piece->t0, phase, &steps->end, &whole->from);
  struct steps_piece *kept = &steps->pieces[steps->piece_count++];
  kept->piece = *piece;
  kept->all = whole->all;
  steps->end = whole->to;
  while (steps->open_count > 0 && steps->open[0].t + 3 * steps->cell->tick <= piece->t1)
    settle(steps, search);
  forget(steps);
}

bool steps_pass(struct steps *steps, const struct jet_stretch *whole) {
  if (steps->open_count > 0 || steps->piece_count == 0 ||
      !is_quiet(steps, &steps->end, &whole->from))
    return false;
  steps->end = whole->to;
  return true;
}

void steps_end(struct steps *steps, struct search *search) {
  while (steps->open_count > 0)
    settle(steps, search);
}
