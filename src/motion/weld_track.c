/* A welding run on its track: the plan's legs, and the turn of the head that holds them. */
#include "motion/weld_track.h"

#include <math.h>

#include "motion/run_refuse.h"
#include "motion/weld_size.h"

void track_add_legs(struct builder *builder, struct track *track, double s_start,
                    const struct plan_leg *legs, size_t count) {
  double z_zero = builder->plan->placement.at.z + builder->cell->drop, s = s_start;
  track->legs = arena_alloc(builder->arena, count + 1, sizeof(struct track_leg));
  for (size_t i = 0; i < count; i++) {
    const struct plan_leg *leg = &legs[i];
    struct track_leg *made = &track->legs[track->leg_count++];
    *made = track_leg_make(track, s, leg->s_length, z_zero - leg->depth_from,
                           leg->depth_to - leg->depth_from);
    made->lap = leg->lap;
    made->is_step = leg->is_step;
    track->length += made->length;
    s += track->dir * leg->s_length;
  }
}

/* With what the layer's sectors ask for all round, or with the fastest speed along the lap. */
static const struct procedure *procedure_of(const struct builder *builder,
                                            const struct plan_layer *layer) {
  if (layer->procedure->travel_speed == layer->values_most.travel_speed)
    return layer->procedure;
  struct procedure *made = arena_alloc(builder->arena, 1, sizeof *made);
  *made = *layer->procedure;
  made->travel_speed = layer->values_most.travel_speed;
  return made;
}

struct motion_run *weld_track_make(struct builder *builder, const struct plan_overlay *overlay,
                                   const struct plan_layer *layer,
                                   const struct plan_run *plan_run) {
  const struct procedure *procedure = layer->procedure;
  struct motion_run *run = builder_run(builder);
  run->track = track_contour(overlay->contour, layer->offset, layer->offset + procedure->arc_length,
                             builder->cell->reach, layer->dir, 0);
  run->info = (struct run_info){.overlay = overlay, .layer = layer, .run = plan_run};
  run->procedure = procedure_of(builder, layer);
  run->course = (struct course){.first = layer->values, .hi = (double)INFINITY, .pace = 1};
  builder_group(builder, &run->track, procedure->angle_tolerance,
                weld_speed_part(layer) * SPEED_WINDOW_MM);
  track_add_legs(builder, &run->track, plan_run->s_start, plan_run->legs, plan_run->leg_count);
  run->weld_legs = run->track.leg_count;
  return run;
}

/* Least and largest head angle on the whole track, roundings included: past a bump the head turns
 * back, so that the ends do not tell. */
static struct range head_range(const struct track *track) {
  struct range range = {(double)INFINITY, -(double)INFINITY};
  struct curve_list list = {0};
  for (size_t leg = 0; leg < track->leg_count; leg++) {
    track_leg_curves(track, leg, &list);
    for (size_t i = 0; i < list.count; i++) {
      double least, largest;
      cubic_range(list.items[i].curve.head, 0, list.items[i].curve.length, &least, &largest);
      range.lo = fmin(range.lo, least);
      range.hi = fmax(range.hi, largest);
    }
  }
  curve_list_release(&list);
  return range;
}

/* Turn of the head at which the run starts: the nearest to head_near; with a limited head the
 * one nearest to park_head that holds the whole run. */
bool weld_head_choose(struct builder *builder, struct motion_run *run, double head_near) {
  struct track *track = &run->track;
  const struct axis_limits *axis = &builder->cell->axis[AXIS_HEAD];
  double a0 = contour_at(track->contour, track->legs[0].s0, 0).angle;
  if (axis->endless) {
    track->head_shift = NUM_TURN * floor((head_near - a0) / NUM_TURN + 0.5);
    return true;
  }
  struct range turned = head_range(track);
  double lo = turned.lo, hi = turned.hi;
  double first = ceil((axis->travel.lo - lo) / NUM_TURN - 1e-9);
  double last_turn = floor((axis->travel.hi - hi) / NUM_TURN + 1e-9);
  if (first > last_turn) {
    run_refuse_turn(builder, run->info.overlay, run->info.layer, turned);
    return false;
  }
  double wanted = floor((builder->cell->park_head - a0) / NUM_TURN + 0.5);
  track->head_shift = NUM_TURN * fmin(fmax(wanted, first), last_turn);
  return true;
}
