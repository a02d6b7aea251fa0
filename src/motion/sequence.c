/* The order of things: park, over the entry, down, to the wall, run after run, back and up.
 * docs/semantics.md, "Motion", Order. */
#include "motion/sequence.h"

#include <assert.h>
#include <math.h>

#include "motion/attempt.h"
#include "motion/entry.h"
#include "motion/route.h"

/* -- from run to run -------------------------------------------------------------------------- */

static void label_set(struct builder *builder, size_t overlay, size_t layer, size_t run) {
  const struct plan_overlay *over = &builder->plan->overlays[overlay];
  builder->label = (struct label){.overlay = (int32_t)(overlay + 1),
                                  .layer = (int32_t)over->layers[layer].number,
                                  .run = (int32_t)run,
                                  .lap = over->layers[layer].runs[run].legs[0].lap,
                                  .plan_layer = &over->layers[layer]};
}

static void back_off(struct builder *builder, const struct motion_run *run) {
  const struct plan_overlay *overlay = run->info.overlay;
  builder_straight(
      builder, MOVE_BACK_OFF,
      pose_backed_off(overlay->contour, run_end_s(run), builder->pose, overlay->overlay->retract));
}

/* The way along the contour from the end of one run to the start of the next, and the head there.
 */
static double way_between(struct builder *builder, const struct motion_run *last,
                          const struct plan_layer *layer, const struct plan_run *next,
                          double *head_near) {
  const struct contour *contour = last->track.contour;
  double offset =
      layer->offset + layer->procedure->arc_length + last->info.overlay->overlay->retract;
  double s_from = run_end_s(last);
  double way = along_short_way(contour, offset, s_from, next->s_start);
  *head_near = builder->pose.head + contour_at(contour, s_from + way, 0).angle -
               contour_at(contour, s_from, 0).angle;
  return way;
}

/* A head that may not turn endlessly has to come out at the turn where the next run starts. */
static double way_with_turns(const struct contour *contour, double way, double head_near,
                             double head_wanted) {
  return way + contour->perimeter * floor((head_wanted - head_near) / NUM_TURN + 0.5);
}

static int64_t wait_ticks(const struct builder *builder, const struct overlay *overlay,
                          bool further_layer, bool further_ring) {
  double wait = 0;
  if (further_layer)
    wait = overlay->wait_layers;
  if (further_ring)
    wait = fmax(wait, overlay->wait_laps);
  int64_t ticks = ticks_of(wait / builder->times, builder->tick);
  return ticks > 0 ? ticks : 1;
}

static bool weld_in(struct builder *builder, struct motion_run *run) {
  const struct procedure *procedure = run->info.layer->procedure;
  double slowest = run->info.layer->values_least.wire_feed_speed;
  if (procedure->wire_retract > 0 && procedure->wire_retract > slowest * procedure->downslope) {
    diag_error(builder->diags, DIAG_WIRE_RETRACT_LONG,
               origin_of_key(&procedure->origin, "wire_retract"),
               "drawing back %.3f mm of wire takes %.3f s; the downslope lasts %.3f s",
               procedure->wire_retract, procedure->wire_retract / slowest, procedure->downslope);
    builder->refused = true;
    return false;
  }
  builder_straight(builder, MOVE_IN, run->track.from);
  weld_run_phases(builder, run);
  return true;
}

/* -- from run to run of one overlay -------------------------------------------------------------
 */

/* The head where the crossing of a zone leads, if it goes on turning with the wall. */
static double head_across(const struct motion_run *last, const struct plan_run *next) {
  const struct contour *contour = last->track.contour;
  double s = run_end_s(last), way = 0;
  for (size_t i = 0; i < next->crossing_count; i++)
    way += next->crossing[i].s_length;
  return last->track.to.head + contour_at(contour, s + last->track.dir * way, 0).angle -
         contour_at(contour, s, 0).angle;
}

/* An endless head welds the run at whichever turn it comes to it: over a zone and the short way
 * round the wall may be a turn apart. */
static void turn_to(const struct builder *builder, struct motion_run *run, double head_near) {
  struct track *track = &run->track;
  if (!builder->cell->axis[AXIS_HEAD].endless)
    return;
  double turned = NUM_TURN * floor((head_near - track->from.head) / NUM_TURN + 0.5);
  track->head_shift += turned;
  track->from.head += turned;
  track->to.head += turned;
}

/* Over the off zone between two runs of one path; false where the head would have to be at another
 * turn, or the locus is too tight. */
static bool cross_zone(struct builder *builder, struct motion_run *run, double head_near) {
  turn_to(builder, run, head_near);
  return fabs(run->track.from.head - head_near) < NUM_TURN / 2 && builder_cross(builder, run);
}

static bool go_round(struct builder *builder, const struct motion_run *last,
                     struct motion_run *run) {
  const struct plan_overlay *overlay = run->info.overlay;
  double head_near;
  double way = way_between(builder, last, run->info.layer, run->info.run, &head_near);
  turn_to(builder, run, head_near);
  way = way_with_turns(overlay->contour, way, head_near, run->track.from.head);
  bool further_layer = last->info.layer != run->info.layer;
  back_off(builder, last);
  if (further_layer || last->info.run->path != run->info.run->path)
    builder_stand(builder, PHASE_WAIT,
                  wait_ticks(builder, overlay->overlay, further_layer,
                             overlay->overlay->pattern == PATTERN_RINGS));
  return route_between(builder, last, run, way);
}

/* From a run to the next of the same path: over the zone between them, and where that strikes
 * something, round it. */
struct hop {
  const struct motion_run *last;
  struct motion_run *run;
  double head_near;
};
static bool hop_go(struct builder *builder, const void *what, size_t k) {
  const struct hop *hop = what;
  if (k == 0)
    return cross_zone(builder, hop->run, hop->head_near);
  return go_round(builder, hop->last, hop->run);
}
static bool hop_zone(struct builder *builder, const struct motion_run *last, struct motion_run *run,
                     double head_near) {
  struct hop hop = {last, run, head_near};
  return attempt_best(builder, 2, hop_go, &hop).ways > 0 && !builder->refused;
}

/* Run r of layer k: from backed off, or from the run before it, to its end on the wall. */
static struct motion_run *run_lay(struct builder *builder, size_t index, size_t k, size_t r,
                                  const struct motion_run *last, bool at_entry) {
  const struct plan_overlay *overlay = &builder->plan->overlays[index];
  const struct plan_layer *layer = &overlay->layers[k];
  const struct plan_run *plan_run = &layer->runs[r];
  bool crosses = last && plan_run->crossing_count > 0;
  double head_near = builder->pose.head;
  if (crosses)
    head_near = head_across(last, plan_run);
  else if (last)
    way_between(builder, last, layer, plan_run, &head_near);
  else
    head_near = entry_head(builder, overlay, head_near);
  struct motion_run *run = weld_run_make(builder, overlay, layer, plan_run, head_near);
  if (!run)
    return NULL;
  label_set(builder, index, k, r);
  bool there = true;
  if (!last)
    there = route_in(builder, index, run, at_entry);
  else if (crosses)
    there = hop_zone(builder, last, run, head_near);
  else
    there = go_round(builder, last, run);
  return there && weld_in(builder, run) ? run : NULL;
}

/* All runs of one overlay, from its entry to the backed-off end of the last. */
static const struct motion_run *overlay_runs(struct builder *builder, size_t index, bool at_entry) {
  const struct plan_overlay *overlay = &builder->plan->overlays[index];
  const struct motion_run *last = NULL;
  const struct resume *resume = builder->resume;
  bool is_taken_up = resume && resume->overlay == index;
  for (size_t k = is_taken_up ? resume->layer : 0; k < overlay->layer_count; k++)
    for (size_t r = is_taken_up && k == resume->layer ? resume->run : 0;
         r < overlay->layers[k].run_count; r++) {
      last = run_lay(builder, index, k, r, last, at_entry);
      if (!last)
        return NULL;
    }
  assert(last); /* a layer without a run was refused with the plan */
  /* The back-off already leads to what comes next. */
  if (index + 1 < builder->plan->overlay_count)
    label_set(builder, index + 1, 0, 0);
  else
    builder->label = (struct label){0};
  back_off(builder, last);
  return last;
}

static void go_up(struct builder *builder) {
  struct pose up = builder->pose;
  up.z = safe_height_z(builder);
  builder_straight(builder, MOVE_UP, up);
}

static void go_park(struct builder *builder) {
  const struct cell *cell = builder->cell;
  const struct axis_limits *axis = &cell->axis[AXIS_HEAD];
  double head =
      axis->endless ? head_nearest(cell, cell->park_head, builder->pose.head) : cell->park_head;
  struct pose park = {cell->park.x, cell->park.y, cell->park.z, head};
  struct pose above = park;
  if (park.z < safe_height_z(builder)) {
    above.z = safe_height_z(builder);
    builder_straight(builder, MOVE_ACROSS, above);
  }
  builder_straight(builder, MOVE_TO_PARK, park);
}

bool sequence_build(struct builder *builder) {
  const struct plan *plan = builder->plan;
  const struct cell *cell = builder->cell;
  builder->pose = (struct pose){cell->park.x, cell->park.y, cell->park.z, cell->park_head};
  const struct resume *resume = builder->resume;
  if (resume)
    label_set(builder, resume->overlay, resume->layer, resume->run);
  else if (plan->overlay_count > 0)
    label_set(builder, 0, 0, 0);
  if (builder->pose.z < safe_height_z(builder)) {
    struct pose raised = builder->pose;
    raised.z = safe_height_z(builder);
    builder_straight(builder, MOVE_RAISE, raised);
  }
  bool at_entry = false;
  for (size_t i = resume ? resume->overlay : 0; i < plan->overlay_count; i++) {
    const struct motion_run *last = overlay_runs(builder, i, at_entry);
    if (!last || !route_out(builder, last))
      return false;
    at_entry = i + 1 < plan->overlay_count &&
               entry_is_same(builder, &plan->overlays[i], &plan->overlays[i + 1]);
    if (!at_entry)
      go_up(builder);
  }
  go_park(builder);
  return !builder->refused;
}
