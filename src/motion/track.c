/* Tracks: see track.h.  This file holds what is plain; track_curves.c rounds the joints. */
#include "motion/track.h"

#include <math.h>

struct track track_straight(struct pose from, struct pose to) {
  return (struct track){.kind = TRACK_STRAIGHT, .from = from, .to = to, .length = 1};
}

struct track track_contour(const struct contour *contour, double pool_offset, double tip_offset,
                           double reach, int dir, double head_shift) {
  return (struct track){.kind = TRACK_CONTOUR,
                        .contour = contour,
                        .pool_offset = pool_offset,
                        .tip_offset = tip_offset,
                        .reach = reach,
                        .dir = dir,
                        .head_shift = head_shift};
}

struct track_leg track_leg_make(const struct track *track, double s0, double s_length, double z0,
                                double deeper) {
  double s1 = s0 + track->dir * s_length;
  double level = track->dir > 0 ? contour_offset_length(track->contour, track->pool_offset, s0, s1)
                                : contour_offset_length(track->contour, track->pool_offset, s1, s0);
  double length = num_hypot(level, deeper);
  return (struct track_leg){.q0 = track->length,
                            .length = length,
                            .s0 = s0,
                            .s_length = s_length,
                            .flat = length > 0 ? level / length : 1,
                            .sink = length > 0 ? deeper / length : 0,
                            .z0 = z0};
}

struct track_leg track_leg_extend(const struct track *track, const struct track_leg *before,
                                  double length) {
  double s0 = before->s0 + track->dir * before->s_length;
  double s1 = contour_advance(track->contour, track->pool_offset, s0, track->dir, length);
  return (struct track_leg){.q0 = before->q0 + before->length,
                            .length = length,
                            .s0 = s0,
                            .s_length = fabs(s1 - s0),
                            .flat = 1,
                            .sink = 0,
                            .z0 = before->z0 - before->sink * before->length,
                            .lap = before->lap};
}

size_t track_leg_index(const struct track *track, double q) {
  size_t lo = 0, hi = track->leg_count;
  while (hi - lo > 1) {
    size_t mid = lo + (hi - lo) / 2;
    if (track->legs[mid].q0 <= q)
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

struct pose track_pose(const struct track *track, double q) {
  if (track->kind == TRACK_STRAIGHT) {
    struct pose a = track->from, b = track->to;
    return (struct pose){a.x + q * (b.x - a.x), a.y + q * (b.y - a.y), a.z + q * (b.z - a.z),
                         a.head + q * (b.head - a.head)};
  }
  struct curve_list list = {0};
  track_leg_curves_within(track, track_leg_index(track, q), (struct range){q, q}, &list);
  size_t i = 0;
  while (i + 1 < list.count && list.items[i + 1].q0 <= q)
    i++;
  struct piece piece = {
      .t0 = 0, .t1 = 1, .q = {q - list.items[i].q0, 0, 0, 0}, .curve = list.items[i].curve};
  struct pose pose = piece_at(&piece, 0);
  curve_list_release(&list);
  return pose;
}

/* -- bounds on derivatives in q ------------------------------------------------------------ */

static double largest_slope(struct cubic p, double length, int k) {
  struct cubic d1 = {p.c1, 2 * p.c2, 3 * p.c3, 0}, d2 = {2 * p.c2, 6 * p.c3, 0, 0};
  double least, largest;
  if (k == 3)
    return fabs(6 * p.c3);
  cubic_range(k == 1 ? d1 : d2, 0, length, &least, &largest);
  return fmax(fabs(least), fabs(largest));
}

/* Magnitudes of the first three derivatives of radius * (cos p(q), sin p(q)). */
static void turning_bound(double radius, const double p[4], double out[4]) {
  radius = fabs(radius);
  out[1] = radius * p[1];
  out[2] = radius * (p[2] + p[1] * p[1]);
  out[3] = radius * (p[3] + 3 * p[1] * p[2] + p[1] * p[1] * p[1]);
}

static void bound_add_curve(struct track_bound *bound, const struct curve *curve) {
  double turn[4] = {0}, head[4] = {0}, arc[4] = {0}, arm[4] = {0};
  for (int k = 1; k <= 3; k++) {
    turn[k] = largest_slope(curve->turn, curve->length, k);
    head[k] = largest_slope(curve->head, curve->length, k);
  }
  if (!curve->is_line)
    turning_bound(curve->radius, turn, arc);
  turning_bound(curve->rho, head, arm);
  for (int k = 1; k <= 3; k++) {
    double x = curve->is_line ? fabs(curve->direction.x) * turn[k] : arc[k];
    double y = curve->is_line ? fabs(curve->direction.y) * turn[k] : arc[k];
    double z = largest_slope(curve->z, curve->length, k);
    bound->d[AXIS_X][k] = fmax(bound->d[AXIS_X][k], x + arm[k]);
    bound->d[AXIS_Y][k] = fmax(bound->d[AXIS_Y][k], y + arm[k]);
    bound->d[AXIS_Z][k] = fmax(bound->d[AXIS_Z][k], z);
    bound->d[AXIS_HEAD][k] = fmax(bound->d[AXIS_HEAD][k], head[k]);
  }
}

static void second_derivative(const struct curve *curve, double q, double out[AXIS_COUNT]) {
  struct piece piece = {.t0 = 0, .t1 = curve->length, .q = {0, 1, 0, 0}, .curve = *curve};
  struct jet jet = piece_jet(&piece, q);
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    out[axis] = jet.d[axis][2];
}

static void bound_add_step(struct track_bound *bound, const struct curve *before,
                           const struct curve *after) {
  double a[AXIS_COUNT], b[AXIS_COUNT];
  second_derivative(before, before->length, a);
  second_derivative(after, 0, b);
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    bound->step[axis] = fmax(bound->step[axis], fabs(a[axis] - b[axis]));
}

struct track_bounds track_bounds_begin(const struct track *track) {
  return (struct track_bounds){.track = track, .held = {0, -1}};
}

void track_bounds_end(struct track_bounds *bounds) {
  curve_list_release(&bounds->list);
}

static const double KEPT_BESIDE = 1; /* mm on either side of what is asked for */

static const struct curve_list *curves_over(struct track_bounds *bounds, size_t leg,
                                            struct range asked) {
  struct range held = bounds->held;
  if (bounds->leg != leg || !(held.lo <= asked.lo && asked.hi <= held.hi)) {
    bounds->held = (struct range){asked.lo - KEPT_BESIDE, asked.hi + KEPT_BESIDE};
    bounds->leg = leg;
    track_leg_curves_within(bounds->track, leg, bounds->held, &bounds->list);
  }
  return &bounds->list;
}

struct track_bound track_bounds_over(struct track_bounds *bounds, double q_a, double q_b) {
  const struct track *track = bounds->track;
  struct track_bound bound = {0};
  if (track->kind == TRACK_STRAIGHT) {
    bound.d[AXIS_X][1] = fabs(track->to.x - track->from.x);
    bound.d[AXIS_Y][1] = fabs(track->to.y - track->from.y);
    bound.d[AXIS_Z][1] = fabs(track->to.z - track->from.z);
    bound.d[AXIS_HEAD][1] = fabs(track->to.head - track->from.head);
    return bound;
  }
  for (size_t leg = track_leg_index(track, q_a); leg < track->leg_count; leg++) {
    if (track->legs[leg].q0 > q_b)
      break;
    const struct curve_list *list = curves_over(bounds, leg, (struct range){q_a, q_b});
    for (size_t i = 0; i < list->count; i++) {
      double q0 = list->items[i].q0;
      if (!(q0 <= q_b && q0 + list->items[i].curve.length >= q_a))
        continue;
      bound_add_curve(&bound, &list->items[i].curve);
      if (i > 0 && q0 >= q_a)
        bound_add_step(&bound, &list->items[i - 1].curve, &list->items[i].curve);
    }
  }
  return bound;
}

struct track_bound track_bound_over(const struct track *track, double q_a, double q_b) {
  struct track_bounds bounds = track_bounds_begin(track);
  struct track_bound bound = track_bounds_over(&bounds, q_a, q_b);
  track_bounds_end(&bounds);
  return bound;
}
