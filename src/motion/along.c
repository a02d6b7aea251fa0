/* Moves along the contour with the arc off: backed off, between rings and between layers, and over
 * an off zone along the tip's own locus.
 *
 * The same rounded track as for welding, with the tip's locus as the measure and the torch free to
 * lag the normal by a few degrees: nothing touches the wall there. */
#include <math.h>

#include "motion/build.h"
#include "motion/windows.h"

static const double LAG_RAD = 5 * NUM_PI / 180; /* torch off the normal, backed off */
/* Joints may be rounded by 0.1 mm at a crossing: along the locus and in depth together. */
static const double CROSSING_SLIP_MM = 0.09, CROSSING_RISE_MM = 0.04;
static const double RISE_S = 3;         /* a longer rise costs more than a lower speed */
static const double SLOWEST_MM_S = 0.2; /* below this a straight move serves better */

double along_short_way(const struct contour *contour, double offset, double s_from, double s_to) {
  double turns;
  double ahead = contour_wrap(contour, s_to - s_from, &turns);
  double whole = contour_offset_length(contour, offset, 0, contour->perimeter);
  double length = contour_offset_length(contour, offset, s_from, s_from + ahead);
  return length <= whole / 2 ? ahead : ahead - contour->perimeter;
}

/* Acceleration and jerk that q may have everywhere on the track at cruise speed v. */
static void track_limits(const struct builder *builder, const struct track *track, double v,
                         double *accel, double *jerk) {
  struct track_bound bound = track_bound_over(track, 0, track->length);
  *accel = *jerk = INFINITY;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *limit = &builder->cell->axis[axis];
    double *d = bound.d[axis];
    if (d[1] <= 0)
      continue;
    *accel = fmin(*accel, (0.995 * limit->accel - d[2] * v * v) / d[1]);
    double rest = 0.995 * limit->jerk - d[3] * v * v * v - bound.step[axis] * v * v / builder->tick;
    /* Half of what is left for 3 x'' v a, half for x' j. */
    if (d[2] > 0)
      *accel = fmin(*accel, rest / 2 / (3 * d[2] * v));
    *jerk = fmin(*jerk, rest / 2 / d[1]);
  }
}

/* How far the tip may be from where the pool's way would have it, mm.  slip: along its locus; rise:
 * in depth. */
static bool along_profile(struct builder *builder, struct motion_run *run, double slip,
                          double rise) {
  struct track *track = &run->track;
  const struct cell *cell = builder->cell;
  struct rounding_limits limits = {.cell = cell, .angle = LAG_RAD, .pool_slip = slip, .rise = rise};
  double v = fmin(cell->axis[AXIS_X].speed, cell->axis[AXIS_Y].speed);
  v = windows_highest_speed(track, v, &limits);
  double accel = 0, jerk = 0;
  /* Slower until the rise has room beside what the roundings take. */
  for (int i = 0; i < 80 && v >= SLOWEST_MM_S; i++) {
    track_limits(builder, track, v, &accel, &jerk);
    if (accel > 0 && jerk > 0 && ramp_duration(ramp_make(v, accel, jerk)) <= RISE_S)
      break;
    v *= 0.9;
    struct rounding_cost cost;
    windows_size(track, v, &limits, &cost);
  }
  if (v < SLOWEST_MM_S)
    return false;
  run->profile = profile_rest_to_rest(track->length, v, accel, jerk);
  return true;
}

/* Takes a sized track as a move, from where the head is. */
static void track_move(struct builder *builder, struct motion_run *run, enum move_kind move) {
  struct track *track = &run->track;
  track->from = track_pose(track, 0);
  track->to = track_pose(track, track->length);
  builder_straight(builder, move, track->from); /* nothing, unless it starts in a rounding */
  int64_t ticks = ticks_of(run->profile.duration, builder->tick);
  if (ticks < 1)
    ticks = 1;
  profile_stretch(&run->profile, (double)ticks * builder->tick);
  builder_phase(builder, PHASE_MOVE, ticks, run, builder->now)->move = move;
  builder->pose = track->to;
}

bool builder_along(struct builder *builder, const struct along_way *way) {
  if (contour_vanishing_seg(way->contour, way->offset, ALONG_LEAST_RADIUS_MM) >= 0)
    return false;
  double angle = contour_at(way->contour, way->s_from, 0).angle;
  double shift = NUM_TURN * floor((way->head_from - angle) / NUM_TURN + 0.5);
  struct motion_run *run = builder_run(builder);
  struct track *track = &run->track;
  *track = track_contour(way->contour, way->offset, way->offset, builder->cell->reach,
                         way->s_way < 0 ? -1 : 1, shift);
  track->legs = arena_alloc(builder->arena, 1, sizeof(struct track_leg));
  builder_group(builder, track, LAG_RAD, CROSSING_SLIP_MM);
  track->legs[0] =
      track_leg_make(track, way->s_from, fabs(way->s_way), way->z_from, way->z_from - way->z_to);
  track->leg_count = 1;
  track->length = track->legs[0].length;
  /* The tip is its own pool here and the way one leg: nothing slips, no slope begins on it. */
  if (!along_profile(builder, run, (double)INFINITY, (double)INFINITY))
    return false;
  track_move(builder, run, MOVE_ALONG);
  return true;
}

bool builder_cross(struct builder *builder, const struct motion_run *next) {
  const struct plan_run *plan_run = next->info.run;
  const struct track *way = &next->track;
  double s = plan_run->s_start;
  for (size_t i = 0; i < plan_run->crossing_count; i++)
    s -= way->dir * plan_run->crossing[i].s_length;
  struct motion_run *run = builder_run(builder);
  run->track = track_contour(way->contour, way->pool_offset, way->tip_offset, way->reach, way->dir,
                             way->head_shift);
  builder_group(builder, &run->track, LAG_RAD, CROSSING_SLIP_MM);
  track_add_legs(builder, &run->track, s, plan_run->crossing, plan_run->crossing_count);
  if (!along_profile(builder, run, CROSSING_SLIP_MM, CROSSING_RISE_MM))
    return false;
  track_move(builder, run, MOVE_CROSS);
  builder_straight(builder, MOVE_CROSS, way->from); /* nothing, unless it ends in a rounding */
  return true;
}
