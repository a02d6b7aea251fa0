/* axes.c - travel, speed, acceleration, jerk, working range and boxes.
 *
 * A controller is fed a row each tick, so speed, acceleration and jerk are the first three
 * differences of the rows over T, T^2, T^3; a mean of the motion's own, so what the motion keeps
 * the rows keep.  Rounding moves the n-th difference by 2^n halves of the last decimal at most.
 * Between two rows H runs straight: distances from a point and a box are those of a segment. */
#include "verify/axes.h"

#include <math.h>

#include "borelay/num.h"

static const char *const NAMES[] = {"x", "y", "z", "head"};
static const char *const UNITS[] = {"mm", "mm", "mm", "deg"};

void axes_watch(struct axes *axes, const struct cell *cell, struct findings *findings) {
  *axes = (struct axes){.cell = cell, .findings = findings};
  finding_judged(findings, CHECK_TRAVEL);
  finding_judged(findings, CHECK_SPEED);
  finding_judged(findings, CHECK_ACCEL);
  finding_judged(findings, CHECK_JERK);
}

/* Outside: mm and deg, and the same for speeds. */
static double outside(int axis) {
  return axis == AXIS_HEAD ? 180 / NUM_PI : 1;
}

static void judge_travel(struct axes *axes, int axis, int64_t row, double value) {
  const struct axis_limits *limits = &axes->cell->axis[axis];
  if (limits->endless)
    return;
  double lo = limits->travel.lo * outside(axis), hi = limits->travel.hi * outside(axis);
  if (value < lo - ROUND_MM - 1e-6 * fabs(lo) || value > hi + ROUND_MM + 1e-6 * fabs(hi))
    finding_fault(axes->findings, CHECK_TRAVEL, row, "%s is at %.6f %s, its travel is %.6g to %.6g",
                  NAMES[axis], value, UNITS[axis], lo, hi);
}

static void judge_rate(struct axes *axes, enum check_id id, int axis, int64_t row, double rate,
                       double limit, double rounding) {
  double most = limit * outside(axis);
  if (!finding_most(axes->findings, id, row, fabs(rate) / most, 1, rounding / most))
    finding_fault(axes->findings, id, row, "%s goes at %.6g %s/s%s, %.6g is its limit", NAMES[axis],
                  fabs(rate), UNITS[axis],
                  id == CHECK_SPEED   ? ""
                  : id == CHECK_ACCEL ? "2"
                                      : "3",
                  most);
}

/* Differences of whole numbers are exact. */
static void judge_rates(struct axes *axes, int axis, int64_t row) {
  const struct axis_limits *limits = &axes->cell->axis[axis];
  double tick = axes->cell->tick;
  int64_t v0 = axes->value[0][axis], v1 = axes->value[1][axis], v2 = axes->value[2][axis],
          v3 = axes->value[3][axis];
  if (axes->known >= 2)
    judge_rate(axes, CHECK_SPEED, axis, row, (double)(v0 - v1) * 1e-6 / tick, limits->speed,
               1e-6 / tick);
  if (axes->known >= 3)
    judge_rate(axes, CHECK_ACCEL, axis, row, (double)(v0 - 2 * v1 + v2) * 1e-6 / (tick * tick),
               limits->accel, 2e-6 / (tick * tick));
  if (axes->known >= 4)
    judge_rate(axes, CHECK_JERK, axis, row,
               (double)(v0 - 3 * v1 + 3 * v2 - v3) * 1e-6 / (tick * tick * tick), limits->jerk,
               4e-6 / (tick * tick * tick));
}

/* -- the place of H --------------------------------------------------------------------------- */

static double coordinate(vec3 v, int i) {
  return i == 0 ? v.x : i == 1 ? v.y : v.z;
}

static double length_of(double x, double y, double z) {
  return sqrt(x * x + y * y + z * z);
}

static void judge_shell(struct axes *axes, int64_t row, vec3 a, vec3 b) {
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

static void judge_place(struct axes *axes, int64_t row, vec3 a, vec3 b) {
  if (axes->cell->has_working_range)
    judge_shell(axes, row, a, b);
  for (size_t i = 0; i < axes->cell->keep_out_count; i++) {
    finding_judged(axes->findings, CHECK_RANGE);
    if (enters(&axes->cell->keep_outs[i], a, b))
      finding_fault(axes->findings, CHECK_RANGE, row, "H is in keep_out %s",
                    axes->cell->keep_outs[i].name);
  }
}

void axes_row(struct axes *axes, const struct borelay_row *row, const struct head *head) {
  int64_t now[AXIS_COUNT] = {row->x_nm, row->y_nm, row->z_nm, row->head_udeg};
  int64_t index = (int64_t)row->index;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    for (int k = 3; k > 0; k--)
      axes->value[k][axis] = axes->value[k - 1][axis];
    axes->value[0][axis] = now[axis];
    judge_travel(axes, axis, index, (double)now[axis] * 1e-6);
  }
  axes->known += axes->known < 4;
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    judge_rates(axes, axis, index);
  judge_place(axes, index, axes->known > 1 ? axes->before.h : head->h, head->h);
  axes->before = *head;
}
