/* The growing list of phases. */
#include "motion/build.h"

#include <math.h>

/* A speed next to nothing must not count ticks beyond an int64_t; motion_make refuses such a job.
 */
static const double TICKS_MOST = 1e12;

int64_t ticks_of(double seconds, double tick) {
  /* A billionth of a tick forgives the rounding of, say, 1.5 s / 8 ms. */
  double ticks = ceil(seconds / tick - 1e-9);
  if (ticks > TICKS_MOST)
    return (int64_t)TICKS_MOST;
  return ticks > 0 ? (int64_t)ticks : 0;
}

struct motion_run *builder_run(struct builder *builder) {
  return arena_alloc(builder->arena, 1, sizeof(struct motion_run));
}

struct phase *builder_phase(struct builder *builder, enum phase_kind kind, int64_t ticks,
                            const struct motion_run *run, int64_t track_tick) {
  if (builder->phase_count == builder->phase_capacity) {
    size_t capacity = builder->phase_capacity ? 2 * builder->phase_capacity : 16;
    builder->phases = arena_grow(builder->arena, builder->phases, builder->phase_count, capacity,
                                 sizeof(struct phase));
    builder->phase_capacity = capacity;
  }
  struct phase *phase = &builder->phases[builder->phase_count++];
  const struct label *label = &builder->label;
  *phase = (struct phase){.kind = kind,
                          .tick0 = builder->now,
                          .ticks = ticks,
                          .overlay = label->overlay,
                          .layer = label->layer,
                          .lap = label->lap,
                          .run = label->run,
                          .plan_layer = label->plan_layer,
                          .track = run,
                          .track_tick = track_tick};
  builder->now += ticks;
  return phase;
}

static struct groups groups_find(struct builder *builder, const struct track *track, double angle,
                                 double slip) {
  struct groups_kept *kept = &builder->groups;
  for (size_t i = 0; i < GROUPS_KEPT; i++)
    if (kept->items[i].contour == track->contour &&
        kept->items[i].pool_offset == track->pool_offset &&
        kept->items[i].tip_offset == track->tip_offset && kept->items[i].angle == angle &&
        kept->items[i].slip == slip)
      return kept->items[i].groups;
  struct groups groups = groups_make(builder->arena, track->contour, track->pool_offset,
                                     track->tip_offset, angle, slip);
  size_t at = kept->next++ % GROUPS_KEPT;
  kept->items[at].contour = track->contour;
  kept->items[at].pool_offset = track->pool_offset;
  kept->items[at].tip_offset = track->tip_offset;
  kept->items[at].angle = angle;
  kept->items[at].slip = slip;
  kept->items[at].groups = groups;
  return groups;
}

void builder_group(struct builder *builder, struct track *track, double angle, double slip) {
  track->groups = groups_find(builder, track, angle, slip);
  track->windows = arena_alloc(builder->arena, track->groups.count, sizeof *track->windows);
}

void builder_stand(struct builder *builder, enum phase_kind kind, int64_t ticks) {
  if (ticks <= 0)
    return;
  struct motion_run *run = builder_run(builder);
  run->track = track_straight(builder->pose, builder->pose);
  struct ramp none = {0, 0};
  run->profile = profile_travel((double)ticks * builder->tick, none, 0, 0, none, 0);
  builder_phase(builder, kind, ticks, run, builder->now);
}

/* Limits of q = 0..1 over a straight: each axis allows its own share. */
static struct profile straight_profile(const struct cell *cell, const double delta[AXIS_COUNT]) {
  double speed = INFINITY, accel = INFINITY, jerk = INFINITY;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    if (delta[axis] <= 0)
      continue;
    speed = fmin(speed, cell->axis[axis].speed / delta[axis]);
    accel = fmin(accel, cell->axis[axis].accel / delta[axis]);
    jerk = fmin(jerk, cell->axis[axis].jerk / delta[axis]);
  }
  return profile_rest_to_rest(1, speed, accel, jerk);
}

void builder_straight(struct builder *builder, enum move_kind move, struct pose to) {
  struct pose from = builder->pose;
  double delta[AXIS_COUNT] = {fabs(to.x - from.x), fabs(to.y - from.y), fabs(to.z - from.z),
                              fabs(to.head - from.head)};
  if (fmax(fmax(delta[0], delta[1]), fmax(delta[2], delta[3])) < 1e-9)
    return;
  struct motion_run *run = builder_run(builder);
  run->track = track_straight(from, to);
  run->profile = straight_profile(builder->cell, delta);
  int64_t ticks = ticks_of(run->profile.duration, builder->tick);
  if (ticks < 1)
    ticks = 1;
  profile_stretch(&run->profile, (double)ticks * builder->tick);
  builder_phase(builder, PHASE_MOVE, ticks, run, builder->now)->move = move;
  builder->pose = to;
}
