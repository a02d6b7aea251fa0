/* Whether a welding run can be made at the speed asked for. */
#include "motion/weld_size.h"

#include <math.h>

/* The pool's mean speed over any 0.5 mm must stay within 1 % of what is asked.  Roundings may take
 * this much of it; fitting the run to whole ticks may take the rest, TICK_PART at most. */
static const double SPEED_PART = 0.0095;
/* Where the speed changes along the lap: what joints leave of the pool's speed to the rounding of
 * ramps. */
static const double LEFT_OF_SPEED = 0.9;

bool weld_speed_changes(const struct plan_layer *layer) {
  return layer->values_least.travel_speed < layer->values_most.travel_speed;
}

static const struct cell *cell_less_ramps(struct arena *arena, const struct cell *cell) {
  struct cell *made = arena_alloc(arena, 1, sizeof *made);
  *made = *cell;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    made->axis[axis].accel *= LEFT_BY_RAMPS;
    made->axis[axis].jerk *= LEFT_BY_RAMPS;
  }
  return made;
}

double weld_speed_part(const struct plan_layer *layer) {
  return weld_speed_changes(layer) ? LEFT_OF_SPEED * SPEED_PART : SPEED_PART;
}

/* Without an arc no pool has to keep its speed. */
struct rounding_limits weld_limits(const struct builder *builder, const struct plan_layer *layer) {
  bool hurries = builder->times > 1;
  const struct cell *cell = builder->cell;
  if (weld_speed_changes(layer))
    cell = cell_less_ramps(builder->arena, cell);
  return (struct rounding_limits){.cell = cell,
                                  .angle = 0.995 * layer->procedure->angle_tolerance,
                                  .pool_slip = hurries ? (double)INFINITY
                                                       : weld_speed_part(layer) * SPEED_WINDOW_MM,
                                  .rise = (double)INFINITY,
                                  .sways = layer->procedure->oscillation.width > 0};
}

/* q at which a zone begins behind the legs; INFINITY where none does. */
static double edge_find(const struct track *track, const struct plan_run *run) {
  if (isinf(run->room))
    return (double)INFINITY;
  const struct track_leg *last = &track->legs[track->leg_count - 1];
  double s0 = last->s0 + track->dir * last->s_length, s1 = s0 + track->dir * run->room;
  return track->length +
         contour_offset_length(track->contour, track->pool_offset, fmin(s0, s1), fmax(s0, s1));
}

/* The run's way with all that the downslope may add to it. */
static const struct course_change *ramps_fit(const struct builder *builder, struct track *track,
                                             struct course *course, double beyond, double edge) {
  size_t legs = track->leg_count;
  double length = track->length;
  track_add_level(track, beyond, edge);
  const struct course_change *steep = course_steep_find(builder, track, course);
  track->leg_count = legs;
  track->length = length;
  return steep;
}

static void course_size(const struct builder *builder, struct motion_run *run, double edge,
                        double may_lose, struct sizing *sizing) {
  const struct plan_layer *layer = run->info.layer;
  double fastest = run->procedure->travel_speed;
  double slope = (double)ticks_of(run->procedure->downslope, builder->tick) * builder->tick;
  double beyond = run->procedure->downslope_travel ? fastest * slope : 0;
  run->course = course_make(builder->arena, &run->track, layer, run->info.run, beyond);
  run->course.pace = fastest / layer->values_most.travel_speed;
  sizing->steep = ramps_fit(builder, &run->track, &run->course, beyond, edge);
  if (sizing->steep)
    sizing->sized = SIZED_STEEP;
  else if (!course_timing_find(builder, &run->track, run->procedure, &run->course, edge, may_lose,
                               &sizing->timing))
    sizing->sized = SIZED_TOO_SHORT;
  sizing->timing.speed = run->course.pace * layer->values_most.travel_speed;
}

void weld_size_timing(const struct builder *builder, struct motion_run *run, double may_lose,
                      struct sizing *sizing) {
  double edge = edge_find(&run->track, run->info.run);
  if (run->info.layer->change_count > 0)
    course_size(builder, run, edge, may_lose, sizing);
  else if (!weld_timing_find(builder, &run->track, run->procedure, edge, may_lose, &sizing->timing))
    sizing->sized = SIZED_TOO_SHORT;
}

struct sizing weld_size(const struct builder *builder, struct motion_run *run) {
  const struct plan_layer *layer = run->info.layer;
  struct rounding_limits limits = weld_limits(builder, layer);
  struct rounding_cost cost;
  struct sizing sizing = {.sized = SIZED};
  sizing.verdict = windows_size(&run->track, run->procedure->travel_speed, &limits, &cost);
  if (sizing.verdict.bar != SPEED_FITS)
    sizing.sized = SIZED_TOO_FAST;
  else
    weld_size_timing(
        builder, run,
        fmax(fmin(TICK_PART, weld_speed_part(layer) - cost.pool_slip / SPEED_WINDOW_MM), 0),
        &sizing);
  return sizing;
}
