/* axes.c - travel, speed, acceleration, jerk, working range and boxes.
 *
 * A controller is fed a row each tick, so speed, acceleration and jerk are the first three
 * differences of the rows over T, T^2, T^3; a mean of the motion's own, so what the motion keeps
 * the rows keep.  Rounding moves the n-th difference by 2^n halves of the last decimal at most.
 * Before the first row and behind the last one the axes stand.
 * Between two rows H runs straight: distances from a point and a box are those of a segment. */
#include "verify/axes.h"

#include <math.h>

#include "borelay/lanes.h"
#include "borelay/num.h"

static const char *const NAMES[] = {"x", "y", "z", "head"};
static const char *const UNITS[] = {"mm", "mm", "mm", "deg"};

void axes_watch(struct axes *axes, const struct cell *cell, struct findings *findings) {
  *axes = (struct axes){.cell = cell, .findings = findings};
  for (int rate = 0; rate < RATES; rate++)
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      axes->calm[rate][axis] = -1;
  finding_judged(findings, CHECK_TRAVEL);
  finding_judged(findings, CHECK_SPEED);
  finding_judged(findings, CHECK_ACCEL);
  finding_judged(findings, CHECK_JERK);
}

/* Outside: mm and deg, and the same for speeds. */
static double outside(int axis) {
  return axis == AXIS_HEAD ? 180 / NUM_PI : 1;
}

/* Where it may be, with what rounding allows; as whole numbers they are times a power of ten, which
 * keeps their order too. */
static struct range travel_of(const struct axes *axes, int axis) {
  const struct axis_limits *limits = &axes->cell->axis[axis];
  double lo = limits->travel.lo * outside(axis), hi = limits->travel.hi * outside(axis);
  return (struct range){lo - ROUND_MM - 1e-6 * fabs(lo), hi + ROUND_MM + 1e-6 * fabs(hi)};
}

static void judge_travel(const struct axes *axes, int axis, int64_t row, double value) {
  const struct axis_limits *limits = &axes->cell->axis[axis];
  if (limits->endless)
    return;
  struct range travel = travel_of(axes, axis);
  if (value < travel.lo || value > travel.hi)
    finding_fault(axes->findings, CHECK_TRAVEL, row, "%s is at %.6f %s, its travel is %.6g to %.6g",
                  NAMES[axis], value, UNITS[axis], limits->travel.lo * outside(axis),
                  limits->travel.hi * outside(axis));
}

static const enum check_id RATE_CHECK[RATES] = {CHECK_SPEED, CHECK_ACCEL, CHECK_JERK};

/* A difference over the tick's power, beside its limit. */
struct rate {
  double value, most, rounding;
};
static struct rate rate_of(const struct axes *axes, int rate, int axis, double difference) {
  const struct axis_limits *limits = &axes->cell->axis[axis];
  double tick = axes->cell->tick;
  double over = rate == 0 ? tick : rate == 1 ? tick * tick : tick * tick * tick;
  double limit = rate == 0 ? limits->speed : rate == 1 ? limits->accel : limits->jerk;
  double most = limit * outside(axis), rounding = (rate == 0 ? 1e-6 : rate == 1 ? 2e-6 : 4e-6);
  return (struct rate){difference * 1e-6 / over, most, rounding / over / most};
}

static void judge_rate(const struct axes *axes, int rate, int axis, int64_t row,
                       int64_t difference) {
  struct rate is = rate_of(axes, rate, axis, (double)difference);
  enum check_id id = RATE_CHECK[rate];
  if (finding_most(axes->findings, id, row, fabs(is.value) / is.most, 1, is.rounding))
    return;
  if (rate == 0 && axis == AXIS_HEAD && fabs(is.value) * axes->cell->tick > 180)
    finding_fault(axes->findings, id, row,
                  "head leaps by %.3f deg from the row before; it is counted on over whole turns, "
                  "never wrapped",
                  fabs(is.value) * axes->cell->tick);
  else
    finding_fault(axes->findings, id, row, "%s goes at %.6g %s/s%s, %.6g is its limit", NAMES[axis],
                  fabs(is.value), UNITS[axis],
                  rate == 0   ? ""
                  : rate == 1 ? "2"
                              : "3",
                  is.most);
}

/* Differences of whole numbers are exact. */
static void judge_rates(const struct axes *axes, int axis, int64_t row) {
  uint64_t v0 = (uint64_t)axes->value[0][axis], v1 = (uint64_t)axes->value[1][axis],
           v2 = (uint64_t)axes->value[2][axis], v3 = (uint64_t)axes->value[3][axis];
  judge_rate(axes, 0, axis, row, (int64_t)(v0 - v1));
  judge_rate(axes, 1, axis, row, (int64_t)(v0 - 2 * v1 + v2));
  judge_rate(axes, 2, axis, row, (int64_t)(v0 - 3 * v1 + 3 * v2 - v3));
}

static void take_values(struct axes *axes, const struct borelay_row *row) {
  const int64_t now[AXIS_COUNT] = {row->x_nm, row->y_nm, row->z_nm, row->head_udeg};
  for (int k = 3; k >= 0; k--)
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      axes->value[k][axis] = k > 0 && axes->is_begun ? axes->value[k - 1][axis] : now[axis];
  axes->is_begun = true;
}

static void judge_all_rates(const struct axes *axes, int64_t row) {
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    judge_rates(axes, axis, row);
}

/* -- the place of H --------------------------------------------------------------------------- */

static double coordinate(vec3 v, int i) {
  return i == 0 ? v.x : i == 1 ? v.y : v.z;
}

static double length_of(double x, double y, double z) {
  return sqrt(x * x + y * y + z * z);
}

static void judge_shell(const struct axes *axes, int64_t row, vec3 a, vec3 b) {
  const struct cell *cell = axes->cell;
  vec3 c = cell->range_from, d = {b.x - a.x, b.y - a.y, b.z - a.z};
  double square = d.x * d.x + d.y * d.y + d.z * d.z;
  double share =
      square > 0 ? -((a.x - c.x) * d.x + (a.y - c.y) * d.y + (a.z - c.z) * d.z) / square : 0;
  share = share < 0 ? 0 : share > 1 ? 1 : share;
  double far =
      fmax(length_of(a.x - c.x, a.y - c.y, a.z - c.z), length_of(b.x - c.x, b.y - c.y, b.z - c.z));
  double near =
      length_of(a.x + share * d.x - c.x, a.y + share * d.y - c.y, a.z + share * d.z - c.z);
  double rounding = 2 * ROUND_MM;
  bool is_near =
      finding_most(axes->findings, CHECK_RANGE, row, far, cell->range_radius.hi, rounding);
  bool is_far =
      finding_least(axes->findings, CHECK_RANGE, row, near, cell->range_radius.lo, rounding);
  if (!is_near || !is_far)
    finding_fault(axes->findings, CHECK_RANGE, row,
                  "H is %.4f to %.4f mm from the shell's point, %.6g to %.6g are allowed", near,
                  far, cell->range_radius.lo, cell->range_radius.hi);
}

/* Does the segment come into the box, made smaller by the rounding?  By slabs. */
static bool enters(const struct keep_out *box, vec3 a, vec3 b) {
  double from = 0, to = 1;
  for (int i = 0; i < 3; i++) {
    double lo = coordinate(box->lo, i) - 1e-6 + 2 * ROUND_MM;
    double hi = coordinate(box->hi, i) + 1e-6 - 2 * ROUND_MM;
    double at = coordinate(a, i), way = coordinate(b, i) - at;
    if (way == 0) {
      if (at < lo || at > hi)
        return false;
      continue;
    }
    double p = (lo - at) / way, q = (hi - at) / way;
    from = fmax(from, fmin(p, q));
    to = fmin(to, fmax(p, q));
  }
  return from <= to;
}

static void judge_place(const struct axes *axes, int64_t row, vec3 a, vec3 b) {
  if (axes->cell->has_working_range)
    judge_shell(axes, row, a, b);
  for (size_t i = 0; i < axes->cell->keep_out_count; i++) {
    finding_judged(axes->findings, CHECK_RANGE);
    if (enters(&axes->cell->keep_outs[i], a, b))
      finding_fault(axes->findings, CHECK_RANGE, row, "H is in keep_out %s",
                    axes->cell->keep_outs[i].name);
  }
}

/* -- many rows at a time -----------------------------------------------------------------------
 *
 * All that is done to a row's difference on its way to the finding - times, divide, size - keeps
 * the order of sizes.  So where the largest difference of a block is neither a fault nor the worst,
 * none of them is, and nothing need be kept; else the block is gone through row by row. */

/* Whole numbers of this size and their first three differences are exact as doubles. */
static const double EXACT_MOST = 0x1p49;

LANES(bool, is_exact, (const double *restrict value, size_t count), (value, count)) {
  int beyond = 0;
  for (size_t i = 0; i < count; i++)
    beyond |= !(fabs(value[i]) < EXACT_MOST);
  return !beyond;
}

/* Differences of each order, v beginning with the three values before, and whether one of them is
 * larger than is known to be calm. */
struct differences {
  double of[RATES][BLOCK_ROWS];
};
LANES(unsigned, differences_find,
      (const double *restrict v, size_t count, const double calm[RATES],
       struct differences *restrict found),
      (v, count, calm, found)) {
  double calm0 = calm[0], calm1 = calm[1], calm2 = calm[2];
  int beyond0 = 0, beyond1 = 0, beyond2 = 0;
  for (size_t i = 0; i < count; i++) {
    double first = v[i + 3] - v[i + 2], last = v[i + 2] - v[i + 1], older = v[i + 1] - v[i];
    double second = first - last, third = second - (last - older);
    found->of[0][i] = first;
    found->of[1][i] = second;
    found->of[2][i] = third;
    beyond0 |= fabs(first) > calm0;
    beyond1 |= fabs(second) > calm1;
    beyond2 |= fabs(third) > calm2;
  }
  return (unsigned)(beyond0 | beyond1 << 1 | beyond2 << 2);
}

static bool is_calm(const struct axes *axes, int rate, int axis, double difference) {
  struct rate is = rate_of(axes, rate, axis, difference);
  return finding_is_calm(axes->findings, RATE_CHECK[rate], fabs(is.value) / is.most, 1,
                         is.rounding);
}

static bool rates_are_calm(struct axes *axes, int axis, const double *values, size_t count) {
  const double calm[RATES] = {axes->calm[0][axis], axes->calm[1][axis], axes->calm[2][axis]};
  struct differences found;
  unsigned beyond = differences_find(values, count, calm, &found);
  for (int rate = 0; rate < RATES; rate++) {
    double most = 0;
    if (!(beyond >> rate & 1))
      continue;
    for (size_t i = 0; i < count; i++)
      most = fabs(found.of[rate][i]) > most ? fabs(found.of[rate][i]) : most;
    if (!is_calm(axes, rate, axis, most))
      return false;
    axes->calm[rate][axis] = most;
  }
  return true;
}

static bool block_is_calm(struct axes *axes, struct block *block) {
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    double *values = block->whole[axis];
    for (int k = 0; k < BLOCK_BEFORE; k++)
      values[BLOCK_BEFORE - 1 - k] = (double)axes->value[k][axis];
    if (!is_exact(values, block->count + BLOCK_BEFORE) ||
        !rates_are_calm(axes, axis, values, block->count))
      return false;
  }
  return true;
}

LANES(bool, is_between, (const double *restrict whole, size_t count, double lo, double hi),
      (whole, count, lo, hi)) {
  int beyond = 0;
  for (size_t i = 0; i < count; i++) {
    double value = whole[i] * 1e-6;
    beyond |= (value < lo) | (value > hi);
  }
  return !beyond;
}

static void judge_travels(const struct axes *axes, const struct block *block) {
  bool all_between = true;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    struct range travel = travel_of(axes, axis);
    all_between &= axes->cell->axis[axis].endless || is_between(block->whole[axis] + BLOCK_BEFORE,
                                                                block->count, travel.lo, travel.hi);
  }
  for (size_t i = 0; i < block->count && !all_between; i++)
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      judge_travel(axes, axis, (int64_t)block->rows[i].index,
                   block->whole[axis][BLOCK_BEFORE + i] * 1e-6);
}

static void judge_places(const struct axes *axes, const struct block *block) {
  if (!axes->cell->has_working_range && axes->cell->keep_out_count == 0)
    return;
  for (size_t i = 0; i < block->count; i++) {
    vec3 to = {block->x[i], block->y[i], block->z[i]}, from = to;
    if (i > 0)
      from = (vec3){block->x[i - 1], block->y[i - 1], block->z[i - 1]};
    else if (axes->is_begun)
      from = axes->before;
    judge_place(axes, (int64_t)block->rows[i].index, from, to);
  }
}

void axes_block(struct axes *axes, struct block *block) {
  size_t count = block->count, last = count - 1;
  judge_travels(axes, block);
  judge_places(axes, block);
  bool is_calm_all = axes->is_begun && block_is_calm(axes, block);
  for (size_t i = is_calm_all && count > 4 ? count - 4 : 0; i < count; i++) {
    take_values(axes, &block->rows[i]);
    if (!is_calm_all)
      judge_all_rates(axes, (int64_t)block->rows[i].index);
  }
  axes->before = (vec3){block->x[last], block->y[last], block->z[last]};
}

void axes_rest(struct axes *axes, const struct borelay_row *last) {
  for (int i = 0; i < RATES; i++) {
    take_values(axes, last);
    judge_all_rates(axes, (int64_t)last->index);
  }
}
