/* axes.c - one search for sixteen quantities: of every axis how far it lies outside its travel
 * (negative inside), and its speed, acceleration and jerk.
 *
 * The straight between two rows stays between the rows' own places on every axis, so the
 * controller's chords cannot leave a travel that the motion keeps: nothing is added for them. */
#include "check/axes.h"

#include <math.h>

#include "borelay/arena.h"

static const double SHARE_TOLERANCE = 0.5 * CHECK_SLACK, PLACE_TOLERANCE = 1e-7; /* mm, rad */

static double outside(const struct axis_limits *limits, double least, double largest) {
  if (limits->endless)
    return -HUGE_VAL;
  double below = limits->travel.lo - least, above = largest - limits->travel.hi;
  return below > above ? below : above;
}

struct axes_context {
  const struct cell *cell;
  const struct piece *piece;
};

static double limit_of(const struct axis_limits *limits, int k) {
  return k == 1 ? limits->speed : k == 2 ? limits->accel : limits->jerk;
}

/* 0; where an end is no number, that: then nothing of the axis is known. */
static double unknown_of(double least, double largest) {
  return (least - least) + (largest - largest);
}

static void values_of(const struct cell *cell, const struct jet *jet, double *values) {
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const double *d = jet->d[axis];
    double unknown = unknown_of(d[0], d[0]);
    values[4 * axis] = outside(&cell->axis[axis], d[0], d[0]) + unknown;
    for (int k = 1; k < 4; k++)
      values[4 * axis + k] = fabs(d[k]) + unknown;
  }
}

static void axes_values(const void *context, double t, double *values) {
  const struct axes_context *c = context;
  struct jet jet = piece_jet(c->piece, t);
  values_of(c->cell, &jet, values);
}

static double magnitude(struct range r) {
  double lo = fabs(r.lo), hi = fabs(r.hi);
  return lo > hi ? lo : hi;
}

static void bounds_of(const struct cell *cell, const struct jet_range *jet, double *bounds) {
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct range *d = jet->d[axis];
    double unknown = unknown_of(d[0].lo, d[0].hi);
    bounds[4 * axis] = outside(&cell->axis[axis], d[0].lo, d[0].hi) + unknown;
    for (int k = 1; k < 4; k++)
      bounds[4 * axis + k] = magnitude(d[k]) + unknown;
  }
}

static void axes_bounds(const void *context, double ta, double tb, double *bounds) {
  const struct axes_context *c = context;
  struct jet_range jet = piece_jet_range(c->piece, ta, tb);
  bounds_of(c->cell, &jet, bounds);
}

struct axes_judge axes_begin(const struct scene *scene) {
  struct axes_judge judge = {.scene = scene};
  const struct cell *cell = scene->motion->plan->job->cell;
  search_begin(&judge.search, 4 * AXIS_COUNT);
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    double *tolerance = &judge.search.tolerance[4 * axis];
    tolerance[0] = PLACE_TOLERANCE;
    for (int k = 1; k < 4; k++)
      tolerance[k] = SHARE_TOLERANCE * limit_of(&cell->axis[axis], k);
  }
  judge.steps = steps_begin(scene->arena, cell);
  return judge;
}

static void look(struct axes_judge *judge, const struct phase *phase, const struct jet *jet,
                 double t) {
  double values[SEARCH_MOST];
  values_of(judge->scene->motion->plan->job->cell, jet, values);
  search_look(&judge->search, values, t, phase);
}

static void search_piece(struct axes_judge *judge, const struct phase *phase,
                         const struct piece *piece, const struct jet_stretch *whole) {
  struct axes_context context = {judge->scene->motion->plan->job->cell, piece};
  double bounds[SEARCH_MOST];
  bounds_of(context.cell, &whole->all, bounds);
  if (search_is_settled(&judge->search, bounds))
    return;
  look(judge, phase, &whole->from, piece->t0);
  look(judge, phase, &whole->to, piece->t1);
  struct subject subject = {axes_values, axes_bounds, &context, phase};
  search_inside(&judge->search, &subject, piece->t0, piece->t1, bounds);
}

void axes_piece(struct axes_judge *judge, const struct phase *phase, const struct piece *piece,
                const struct jet_stretch *whole) {
  search_piece(judge, phase, piece, whole);
  steps_add(&judge->steps, &judge->search, phase, piece, whole);
}

/* By halves, down to a single sway. */
static void search_swings(struct axes_judge *judge, const struct phase *phase,
                          const struct swings *swings, const struct jet_stretch *whole) {
  double bounds[SEARCH_MOST];
  bounds_of(judge->scene->motion->plan->job->cell, &whole->all, bounds);
  if (search_is_settled(&judge->search, bounds))
    return;
  struct jet_stretch part;
  if (swings->count > 2) {
    for (int half = 0; half < 2; half++) {
      struct swings halved = swings_halved(swings, half);
      swings_stretch(&halved, &part);
      search_swings(judge, phase, &halved, &part);
    }
    return;
  }
  struct piece pieces[SWAY_PIECES];
  size_t count = swings_sway(swings, 0, pieces);
  for (size_t i = 0; i < count; i++) {
    piece_jet_stretch(&pieces[i], pieces[i].t0, pieces[i].t1, &part);
    search_piece(judge, phase, &pieces[i], &part);
  }
}

void axes_swings(struct axes_judge *judge, const struct phase *phase, const struct swings *swings) {
  struct jet_stretch whole;
  swings_stretch(swings, &whole);
  if (steps_pass(&judge->steps, &whole)) {
    search_swings(judge, phase, swings, &whole);
    return;
  }
  for (int64_t i = 0; i < swings->count; i += 2) {
    struct piece pieces[SWAY_PIECES];
    size_t count = swings_sway(swings, i, pieces);
    for (size_t k = 0; k < count; k++) {
      piece_jet_stretch(&pieces[k], pieces[k].t0, pieces[k].t1, &whole);
      axes_piece(judge, phase, &pieces[k], &whole);
    }
  }
}

static const char *const AXIS_NAMES[AXIS_COUNT] = {"axis x", "axis y", "axis z", "axis head"};

static double unit_of(int axis) {
  return axis == AXIS_HEAD ? DEGREE : 1;
}

/* The axis that is nearest to the end of its travel, or farthest outside, as a share of it. */
static int worst_travel(const struct search *search, const struct cell *cell) {
  int worst = AXIS_X;
  double most = -HUGE_VAL;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    struct range travel = cell->axis[axis].travel;
    double width = fmax(travel.hi - travel.lo, 1e-9);
    double share = search->best[4 * axis].value / width;
    if (share > most) {
      most = share;
      worst = axis;
    }
  }
  return worst;
}

static struct check_result travel_result(const struct axes_judge *judge) {
  const struct cell *cell = judge->scene->motion->plan->job->cell;
  int axis = worst_travel(&judge->search, cell);
  const struct peak *peak = &judge->search.best[4 * axis];
  struct range travel = cell->axis[axis].travel;
  struct pose pose = peak_pose(judge->scene, peak);
  double place[AXIS_COUNT] = {pose.x, pose.y, pose.z, pose.head};
  bool high = travel.hi - place[axis] < place[axis] - travel.lo;
  bool passed = peak->value <= PLACE_TOLERANCE;
  struct check_result result =
      finding_at(judge->scene, "axis-travel", peak, passed, AXIS_NAMES[axis]);
  result.worst = place[axis] / unit_of(axis);
  result.limit = (high ? travel.hi : travel.lo) / unit_of(axis);
  result.unit = axis == AXIS_HEAD ? "deg" : "mm";
  return result;
}

static struct check_result rate_result(const struct axes_judge *judge, int k) {
  static const char *const names[] = {"", "axis-speed", "axis-accel", "axis-jerk"};
  static const char *const units[][2] = {
      {"", ""}, {"mm/s", "deg/s"}, {"mm/s2", "deg/s2"}, {"mm/s3", "deg/s3"}};
  const struct cell *cell = judge->scene->motion->plan->job->cell;
  int axis = AXIS_X;
  double most = -HUGE_VAL; /* as a share of the limit */
  for (int i = AXIS_X; i < AXIS_COUNT; i++) {
    double share = judge->search.best[4 * i + k].value / limit_of(&cell->axis[i], k);
    if (share > most) {
      most = share;
      axis = i;
    }
  }
  const struct peak *peak = &judge->search.best[4 * axis + k];
  bool passed = most <= 1 + CHECK_SLACK - SHARE_TOLERANCE;
  struct check_result result = finding_at(judge->scene, names[k], peak, passed, AXIS_NAMES[axis]);
  result.limit = limit_of(&cell->axis[axis], k) / unit_of(axis);
  result.worst = peak->value / unit_of(axis);
  result.unit = units[k][axis == AXIS_HEAD];
  return result;
}

void axes_end(struct axes_judge *judge, struct check_result results[4]) {
  steps_end(&judge->steps, &judge->search);
  results[0] = travel_result(judge);
  for (int k = 1; k < 4; k++)
    results[k] = rate_result(judge, k);
}
