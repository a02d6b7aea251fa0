/* Sizing the roundings.
 *
 * At a joint of two groups the head's rate jumps by w (rad per mm of q) and the tip's by k (mm per
 * mm).  What that asks of the axes, rounded over half widths h and g, stands in docs/motion.md,
 * section 3, as do c, o and C.  A window is first made as narrow as the head axis allows, then
 * wider until x and y have room for the tip's own change; what a rounding costs grows with its
 * width, so this is the cheapest of its kind.  Where windows overlap, each gets its share of the
 * limits. */
#include "motion/windows.h"

#include <math.h>

/* Of the limits, joints use this part; slopes have the rest in x, y and head. */
static const double JOINT_PART = 0.72, SLOPE_PART = 0.25, SINK_PART = 0.98;

/* One joint: what jumps there, per mm of q on the level; c, C and o also of what lies inside the
 * groups on either side. */
struct joint {
  double turn_jump, tip_jump;  /* rad/mm, mm/mm; magnitudes */
  double turn_rate;            /* o */
  double curvature, bend_jump; /* c and C, per mm of q^2 */
  double tip_over_pool;        /* least tip speed per pool speed */
  bool is_plain;               /* between two single segments */
};

/* Where group g begins. */
static struct joint joint_of(const struct track *track, size_t g) {
  const struct groups *groups = &track->groups;
  const struct seg_group *a = &groups->items[(g + groups->count - 1) % groups->count];
  const struct seg_group *b = &groups->items[g];
  double inside = fmax(a->bend_jump, b->bend_jump);
  return (struct joint){.turn_jump = fabs(a->even.turn - b->even.turn),
                        .tip_jump = fabs(a->even.tip - b->even.tip),
                        .turn_rate = fmax(a->turning, b->turning),
                        .curvature = fmax(fabs(a->even.curvature), fabs(b->even.curvature)),
                        .bend_jump = fmax(fabs(a->bends[1] - b->bends[0]), inside),
                        .tip_over_pool = fmin(a->least_tip, b->least_tip),
                        .is_plain = a->count == 1 && b->count == 1};
}

/* Part of the x and y limits that a joint uses; the largest of acceleration and jerk. */
struct plane_use {
  double accel, jerk;
};
static struct plane_use plane_use(const struct joint *j, double v, double reach, double tick,
                                  double h, double g) {
  double w = h > 0 ? j->turn_jump / h : 0, w2 = h > 0 ? w / h : 0;
  double k = g > 0 ? j->tip_jump / g : 0, k2 = g > 0 ? k / g : 0;
  double o = j->turn_rate, bend = j->curvature;
  double v2 = v * v, v3 = v2 * v;
  return (struct plane_use){v2 * (k + bend) + reach * v2 * (w + o * o),
                            v3 * (k2 + 3 * k * o + bend * o) +
                                reach * v3 * (w2 + 3 * o * w + o * o * o) +
                                v2 * j->bend_jump / tick};
}

static double least(double a, double b) {
  return a < b ? a : b;
}

/* Narrowest window that one axis allows: h >= v^2 jump / A and h >= sqrt(v^3 jump / J). */
static double narrowest(double v, double jump, double accel, double jerk) {
  return fmax(v * v * jump / accel, sqrt(v * v * v * jump / jerk));
}

/* How many windows share the limits, and so what each may take. */
struct share {
  int sharing;
  double angle, pool_slip;
};

static struct speed_verdict joint_size(const struct track *track, const struct joint *j, double v,
                                       const struct share *share, const struct cell *cell,
                                       struct joint_window *window) {
  const struct axis_limits *head = &cell->axis[AXIS_HEAD];
  double part = JOINT_PART / share->sharing;
  double accel = part * least(cell->axis[AXIS_X].accel, cell->axis[AXIS_Y].accel);
  double jerk = part * least(cell->axis[AXIS_X].jerk, cell->axis[AXIS_Y].jerk);
  double h_most = j->turn_jump > 0 ? 6 * share->angle / j->turn_jump : 0;
  double g_most = j->tip_jump > 0 ? 6 * share->pool_slip * j->tip_over_pool / j->tip_jump : 0;
  struct speed_verdict verdict = {SPEED_FITS, 0};
  struct plane_use bare = plane_use(j, v, track->reach, cell->tick, 0, 0);
  if (bare.accel > accel || bare.jerk > jerk) {
    verdict.bar = SPEED_AXIS;
    return verdict;
  }
  double h = narrowest(v, j->turn_jump, part * head->accel, part * head->jerk);
  double g = narrowest(v, j->tip_jump, accel, jerk);
  if (j->turn_jump > 0)
    h = fmax(h, 1e-6);
  if (j->tip_jump > 0)
    g = fmax(g, 1e-6);
  for (int round = 0;; round++) {
    if (h > h_most || g > g_most) {
      verdict.bar = h > h_most ? SPEED_ANGLE : SPEED_SLIP;
      return verdict;
    }
    struct plane_use use = plane_use(j, v, track->reach, cell->tick, h, g);
    if (use.accel <= accel && use.jerk <= jerk)
      break;
    /* Widen what costs less of its allowance. */
    bool widen_head = j->turn_jump > 0 && (j->tip_jump <= 0 || h / h_most < g / g_most);
    if (widen_head)
      h *= 1.05;
    else if (j->tip_jump > 0)
      g *= 1.05;
    else
      break;
    if (round > 2000) {
      verdict.bar = SPEED_ANGLE;
      return verdict;
    }
  }
  *window = (struct joint_window){h, g};
  return verdict;
}

/* The arcs themselves, in cruise. */
static bool seg_cruise_fits(const struct track *track, const struct seg_group *group, double v,
                            const struct cell *cell) {
  const struct contour_seg *seg = &track->contour->segs[group->first];
  double o = v * group->turning;
  const struct axis_limits *head = &cell->axis[AXIS_HEAD];
  double arm = seg->turn == 0
                   ? 0
                   : fabs(seg->turn * (seg->radius - seg->turn * track->tip_offset) - track->reach);
  for (int axis = AXIS_X; axis <= AXIS_Y; axis++) {
    const struct axis_limits *limit = &cell->axis[axis];
    double speed = seg->turn != 0   ? arm * o
                   : axis == AXIS_X ? v * fabs(seg->tangent.x)
                                    : v * fabs(seg->tangent.y);
    if (speed > limit->speed || arm * o * o > limit->accel || arm * o * o * o > limit->jerk)
      return false;
  }
  return o <= head->speed;
}

/* In a group the torch is off the normal by `tilt`: H's speed is that of the tip less reach times
 * the head's rate, and what the two directions differ by.  Its acceleration and jerk are judged at
 * the joints of the group. */
static bool group_cruise_fits(const struct track *track, const struct seg_group *group, double v,
                              const struct cell *cell) {
  double swing = track->reach * group->even.turn;
  double speed = v * (fabs(group->even.tip - swing) + fabs(swing) * group->tilt);
  return speed <= least(cell->axis[AXIS_X].speed, cell->axis[AXIS_Y].speed) &&
         v * group->turning <= cell->axis[AXIS_HEAD].speed;
}

static bool cruise_fits(const struct track *track, const struct seg_group *group, double v,
                        const struct cell *cell) {
  return group->count == 1 ? seg_cruise_fits(track, group, v, cell)
                           : group_cruise_fits(track, group, v, cell);
}

/* The largest changes of slope between neighbouring legs of the track. */
struct slope_jump {
  double sink, flat; /* of the sine and the cosine */
  double bend;       /* 1 - cos of the angle between them */
};
static struct slope_jump slope_jump_largest(const struct track *track) {
  struct slope_jump most = {0, 0, 0};
  for (size_t i = 1; i < track->leg_count; i++) {
    const struct track_leg *a = &track->legs[i - 1], *b = &track->legs[i];
    most.sink = fmax(most.sink, fabs(b->sink - a->sink));
    most.flat = fmax(most.flat, fabs(b->flat - a->flat));
    most.bend = fmax(most.bend, 1 - (a->flat * b->flat + a->sink * b->sink));
  }
  return most;
}

static bool slope_size(struct track *track, double v, const struct rounding_limits *limits,
                       struct rounding_cost *cost) {
  const struct cell *cell = limits->cell;
  double sink_part = limits->sways ? SINK_PART_SWAYING : SINK_PART;
  double turn = 0, tip = 0;
  struct slope_jump jump = slope_jump_largest(track);
  track->slope_window = 0;
  for (size_t i = 0; i < track->leg_count; i++)
    if (fabs(track->legs[i].sink) * v > cell->axis[AXIS_Z].speed)
      return false;
  if (jump.sink <= 0 && jump.flat <= 0)
    return true;
  for (size_t i = 0; i < track->groups.count; i++) {
    turn = fmax(turn, track->groups.items[i].turning);
    tip = fmax(tip, track->groups.items[i].even.tip);
  }
  const struct axis_limits *z = &cell->axis[AXIS_Z], *head = &cell->axis[AXIS_HEAD];
  double h = narrowest(v, jump.sink, sink_part * z->accel, sink_part * z->jerk);
  h = fmax(h, narrowest(v, jump.flat * turn, SLOPE_PART * head->accel, SLOPE_PART * head->jerk));
  /* In the plane the tip and the head's arm both change; each gets half of the part, and twice the
   * plain figure covers the cross terms 3 k o <= k / h, which hold for h <= 1 / (3 o). */
  double plane = jump.flat * (tip + track->reach * turn);
  h = fmax(h, narrowest(v, 2 * plane,
                        SLOPE_PART * least(cell->axis[AXIS_X].accel, cell->axis[AXIS_Y].accel),
                        SLOPE_PART * least(cell->axis[AXIS_X].jerk, cell->axis[AXIS_Y].jerk)));
  track->slope_window = fmax(h, 1e-6);
  double shortest = INFINITY;
  for (size_t i = 0; i < track->leg_count; i++)
    shortest = fmin(shortest, track->legs[i].length);
  if (track->slope_window > shortest / 2 || jump.sink * track->slope_window / 6 > limits->rise)
    return false;
  /* Both parts of the pool's velocity follow the same S, so its speed dips to
   * sqrt(1 - 2 S (1 - S) bend); over the window that is at most 7/30 h bend / (1 - bend/4). */
  double dips = shortest < SPEED_WINDOW_MM + 2 * track->slope_window ? 2 : 1;
  cost->pool_slip += dips * 7.0 / 30 * track->slope_window * jump.bend / (1 - jump.bend / 4);
  cost->angle += turn * jump.flat * track->slope_window / 6;
  return true;
}

/* How many windows can be alive within `near` mm of each other, over the closed contour. */
static int crowd(const struct track *track, double near) {
  const struct groups *groups = &track->groups;
  int most = 1;
  for (size_t j = 0; j < groups->count; j++) {
    double half = fmax(track->windows[j].head, track->windows[j].tip), way = 0;
    if (half <= 0)
      continue;
    int alive = 1;
    for (size_t step = 0; step + 1 < groups->count; step++) {
      const struct joint_window *next = &track->windows[(j + step + 1) % groups->count];
      way += groups->items[(j + step) % groups->count].level;
      double next_half = fmax(next->head, next->tip);
      if (way >= half + track->widest + near)
        break;
      if (next_half > 0 && way < half + next_half + near)
        alive++;
    }
    if (alive > most)
      most = alive;
  }
  return most;
}

/* The largest that one rounding costs. */
static struct speed_verdict joints_size(struct track *track, double v, const struct share *share,
                                        const struct cell *cell, struct rounding_cost *cost) {
  double angle = 0, slip = 0;
  track->widest = 0;
  for (size_t i = 0; i < track->groups.count; i++) {
    struct joint joint = joint_of(track, i);
    struct joint_window *window = &track->windows[i];
    *window = (struct joint_window){0, 0};
    if (joint.is_plain && joint.turn_jump < 1e-12 && joint.tip_jump < 1e-12)
      continue;
    struct speed_verdict verdict = joint_size(track, &joint, v, share, cell, window);
    if (verdict.bar != SPEED_FITS) {
      verdict.seg = track->groups.items[i].first;
      return verdict;
    }
    angle = fmax(angle, joint.turn_jump * window->head / 6);
    slip = fmax(slip, joint.tip_jump * window->tip / 6 / joint.tip_over_pool);
    track->widest = fmax(track->widest, fmax(window->head, window->tip));
  }
  *cost = (struct rounding_cost){angle, slip};
  return (struct speed_verdict){SPEED_FITS, 0};
}

/* What groups cost beside the roundings: the torch anywhere, the pool at either end of a stretch.
 */
static struct rounding_cost groups_cost(const struct groups *groups) {
  struct rounding_cost cost = {0, 0};
  for (size_t i = 0; i < groups->count; i++) {
    cost.angle = fmax(cost.angle, groups->items[i].tilt);
    cost.pool_slip = fmax(cost.pool_slip, 2 * groups->items[i].slip);
  }
  return cost;
}

struct speed_verdict windows_size(struct track *track, double speed,
                                  const struct rounding_limits *limits,
                                  struct rounding_cost *cost) {
  struct rounding_cost grouped = groups_cost(&track->groups);
  *cost = (struct rounding_cost){0, 0};
  for (size_t i = 0; i < track->groups.count; i++)
    if (!cruise_fits(track, &track->groups.items[i], speed, limits->cell))
      return (struct speed_verdict){SPEED_AXIS, track->groups.items[i].first};
  int sharing = 1;
  for (;;) {
    /* Overlapping bumps add their costs, too. */
    struct share share = {sharing, (limits->angle - grouped.angle) / sharing,
                          (limits->pool_slip - grouped.pool_slip) / sharing};
    struct speed_verdict verdict = joints_size(track, speed, &share, limits->cell, cost);
    if (verdict.bar != SPEED_FITS)
      return verdict;
    int now = crowd(track, 0);
    if (now <= sharing)
      break;
    sharing = now;
  }
  cost->angle = cost->angle * sharing + grouped.angle;
  /* Slips of joints that one stretch of 0.5 mm can hold may have opposite signs. */
  int together = crowd(track, SPEED_WINDOW_MM);
  cost->pool_slip *= together > sharing ? together : sharing;
  cost->pool_slip += grouped.pool_slip;
  if (!slope_size(track, speed, limits, cost))
    return (struct speed_verdict){SPEED_SLOPE, 0};
  track->widest = fmax(track->widest, track->slope_window);
  if (cost->angle > limits->angle)
    return (struct speed_verdict){SPEED_ANGLE, 0};
  if (cost->pool_slip > limits->pool_slip)
    return (struct speed_verdict){SPEED_SLIP, 0};
  return (struct speed_verdict){SPEED_FITS, 0};
}

double windows_highest_speed(struct track *track, double wanted,
                             const struct rounding_limits *limits) {
  struct rounding_cost cost;
  if (windows_size(track, wanted, limits, &cost).bar == SPEED_FITS)
    return wanted;
  double lo = 0, hi = wanted;
  for (int i = 0; i < 40 && hi - lo > 1e-4 * hi; i++) {
    double mid = lo + (hi - lo) / 2;
    if (windows_size(track, mid, limits, &cost).bar == SPEED_FITS)
      lo = mid;
    else
      hi = mid;
  }
  if (lo > 0)
    windows_size(track, lo, limits, &cost);
  return lo;
}
