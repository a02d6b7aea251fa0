/* The order of things: park, over the entry, down, to the wall, run after run, back and up.
 * docs/semantics.md, "Motion", Order. */
#include "motion/sequence.h"

#include <math.h>

static double tip_z_to_h(const struct builder *builder) {
  return builder->cell->drop;
}
static double safe_z(const struct builder *builder) {
  return builder->plan->placement.at.z + builder->plan->job->safe_height + tip_z_to_h(builder);
}
/* -- the entry -------------------------------------------------------------------------------- */

static vec2 part_to_cell(const struct placement *placement, vec2 p) {
  struct sincos turn = num_sincos(placement->turned);
  return (vec2){placement->at.x + p.x * turn.cos - p.y * turn.sin,
                placement->at.y + p.x * turn.sin + p.y * turn.cos};
}

static vec2 entry_point(const struct builder *builder, const struct plan_overlay *overlay) {
  if (!overlay->overlay->has_entry)
    return overlay->contour->centre;
  return part_to_cell(&builder->plan->placement, overlay->overlay->entry);
}

/* H at the entry with the head at `head`: moved back along the torch as far as the tip needs to
 * keep `room` from the wall.  The distance to the wall changes by no more than the way moved, so
 * stepping by what is missing never passes the nearest place that will do. */
static bool entry_place(struct builder *builder, const struct plan_overlay *overlay, double head,
                        double room, vec2 *place) {
  vec2 entry = entry_point(builder, overlay);
  struct sincos torch = num_sincos(head);
  vec2 out = {torch.cos, torch.sin};
  double reach = builder->cell->reach, back = 0;
  double farthest = 2 * reach + overlay->contour->perimeter;
  for (int i = 0; i < 1000 && back < farthest; i++) {
    vec2 tip = vec2_add(entry, vec2_scale(out, reach - back));
    double missing = contour_distance(overlay->contour, tip) + room;
    if (missing <= 1e-7) {
      *place = vec2_sub(entry, vec2_scale(out, back));
      return true;
    }
    back += missing;
  }
  diag_error(
      builder->diags, DIAG_ENTRY_NARROW, origin_of_key(&overlay->overlay->origin, "entry"),
      "at the entry of overlay `%s` the tip cannot keep %.3f mm (arc length and retract) from "
      "the wall with the head at %.1f deg",
      overlay->overlay->name, room, head * 180 / NUM_PI);
  builder->refused = true;
  return false;
}

/* The turn of `angle` nearest to `near` that the head axis can take. */
static double head_nearest(const struct cell *cell, double angle, double near) {
  const struct axis_limits *axis = &cell->axis[AXIS_HEAD];
  double turns = floor((near - angle) / NUM_TURN + 0.5);
  if (!axis->endless) {
    double lo = ceil((axis->travel.lo - angle) / NUM_TURN - 1e-12);
    double hi = floor((axis->travel.hi - angle) / NUM_TURN + 1e-12);
    if (lo <= hi)
      turns = fmin(fmax(turns, lo), hi);
  }
  return angle + NUM_TURN * turns;
}

static double entry_head(const struct builder *builder, const struct plan_overlay *overlay,
                         double otherwise) {
  if (!overlay->overlay->has_entry_angle)
    return otherwise;
  double angle = overlay->overlay->entry_angle + builder->plan->placement.turned;
  return head_nearest(builder->cell, angle, otherwise);
}

/* -- ways in ---------------------------------------------------------------------------------- */

/* H backed off from a pose on the wall, along the wall's normal at s. */
static struct pose backed_off(const struct contour *contour, double s, struct pose pose,
                              double distance) {
  vec2 n = contour_at(contour, s, 0).normal;
  return (struct pose){pose.x - distance * n.x, pose.y - distance * n.y, pose.z, pose.head};
}

static double run_end_s(const struct motion_run *run) {
  const struct track_leg *last = &run->track.legs[run->track.leg_count - 1];
  return last->s0 + run->track.dir * last->s_length;
}

static double room_at(const struct plan_overlay *overlay, const struct procedure *procedure,
                      double clad) {
  return procedure->arc_length + overlay->overlay->retract + clad;
}

static struct pose pose_at(vec2 place, double z, double head) {
  return (struct pose){place.x, place.y, z, head};
}

/* Over the entry at safe height, down, and to the backed-off start of the overlay's first run. */
static bool go_in(struct builder *builder, size_t index, const struct motion_run *run,
                  bool at_entry) {
  const struct plan_overlay *overlay = &builder->plan->overlays[index];
  const struct plan_layer *layer = &overlay->layers[0];
  struct pose start = backed_off(overlay->contour, layer->runs[0].s_start, run->track.from,
                                 overlay->overlay->retract);
  double head = entry_head(builder, overlay, start.head);
  double room = room_at(overlay, layer->procedure, 0);
  vec2 place, place_turned;
  if (!entry_place(builder, overlay, head, room, &place))
    return false;
  if (at_entry) {
    builder_straight(builder, MOVE_TURN, pose_at(place, builder->pose.z, head));
  } else {
    builder_straight(builder, MOVE_ACROSS, pose_at(place, safe_z(builder), head));
  }
  builder_straight(builder, MOVE_DOWN, pose_at(place, start.z, head));
  if (head != start.head && !link_is_clear(builder, index, 0, builder->pose, start)) {
    if (!entry_place(builder, overlay, start.head, room, &place_turned))
      return false;
    builder_straight(builder, MOVE_TURN, pose_at(place_turned, start.z, start.head));
  }
  builder_straight(builder, MOVE_TO_START, start);
  return true;
}

/* From the backed-off end of the overlay's last run to its entry, at the same depth. */
static bool go_out(struct builder *builder, size_t index) {
  const struct plan_overlay *overlay = &builder->plan->overlays[index];
  const struct plan_layer *layer = &overlay->layers[overlay->layer_count - 1];
  struct pose now = builder->pose;
  double head = entry_head(builder, overlay, now.head);
  double room = room_at(overlay, layer->procedure, layer->offset + layer->thickness);
  vec2 place, place_unturned;
  if (!entry_place(builder, overlay, head, room, &place))
    return false;
  struct pose entry = pose_at(place, now.z, head);
  if (head != now.head && !link_is_clear(builder, index, overlay->layer_count, now, entry)) {
    if (!entry_place(builder, overlay, now.head, room, &place_unturned))
      return false;
    builder_straight(builder, MOVE_TO_ENTRY, pose_at(place_unturned, now.z, now.head));
    builder_straight(builder, MOVE_TURN, entry);
  }
  builder_straight(builder, MOVE_TO_ENTRY, entry);
  return true;
}

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
      backed_off(overlay->contour, run_end_s(run), builder->pose, overlay->overlay->retract));
}

/* Largest `retract` with which the backed-off contour keeps its radii. */
static double retract_largest(const struct contour *contour, double tip_offset) {
  double smallest = INFINITY;
  for (size_t i = 0; i < contour->count; i++)
    if (contour->segs[i].turn > 0)
      smallest = fmin(smallest, contour->segs[i].radius);
  return smallest - ALONG_LEAST_RADIUS_MM - tip_offset;
}

static void refuse_retract(struct builder *builder, const struct motion_run *next) {
  const struct plan_overlay *overlay = next->info.overlay;
  double most = retract_largest(overlay->contour, next->track.tip_offset);
  struct diag *diag = diag_error(
      builder->diags, DIAG_RETRACT_LONG, origin_of_key(&overlay->overlay->origin, "retract"),
      "backed off %.3f mm the torch cannot follow the corners of overlay `%s` to its next run, and "
      "the straight way across is not clear",
      overlay->overlay->retract, overlay->overlay->name);
  if (most > 0 && most < overlay->overlay->retract)
    diag_help(diag, "a retract of %.1f mm would do", floor(most * 10) / 10);
  builder->refused = true;
}

/* Between runs of one overlay: the head has backed off from `last` and waited. */
static bool go_along(struct builder *builder, size_t index, const struct motion_run *last,
                     const struct motion_run *next, double way) {
  const struct plan_overlay *overlay = next->info.overlay;
  const struct contour *contour = overlay->contour;
  double retract = overlay->overlay->retract;
  double offset = next->track.tip_offset + retract;
  double s_from = run_end_s(last), s_to = next->info.run->s_start;
  struct pose start = backed_off(contour, s_to, next->track.from, retract);
  /* The next layer's backed-off contour lies farther from the wall. */
  builder_straight(
      builder, MOVE_BACK_OFF,
      backed_off(contour, s_from, builder->pose, offset - last->track.tip_offset - retract));
  struct along_way along = {contour,           offset, s_from, way, builder->pose.z, start.z,
                            builder->pose.head};
  if (fabs(way) > 1e-6 && !builder_along(builder, &along)) {
    size_t laid = (size_t)next->info.layer->number - 1;
    if (!link_is_clear(builder, index, laid, builder->pose, start)) {
      refuse_retract(builder, next);
      return false;
    }
  }
  builder_straight(builder, MOVE_TO_START, start);
  return true;
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
  int64_t ticks = ticks_of(wait, builder->tick);
  return ticks > 0 ? ticks : 1;
}

static bool weld_in(struct builder *builder, struct motion_run *run) {
  const struct procedure *procedure = run->info.layer->procedure;
  if (procedure->wire_retract > 0 &&
      procedure->wire_retract > procedure->wire_feed_speed * procedure->downslope) {
    diag_error(builder->diags, DIAG_WIRE_RETRACT_LONG,
               origin_of_key(&procedure->origin, "wire_retract"),
               "drawing back %.3f mm of wire takes %.3f s; the downslope lasts %.3f s",
               procedure->wire_retract, procedure->wire_retract / procedure->wire_feed_speed,
               procedure->downslope);
    builder->refused = true;
    return false;
  }
  builder_straight(builder, MOVE_IN, run->track.from);
  weld_run_phases(builder, run);
  return true;
}

/* All runs of one overlay, from its entry to the backed-off end of the last. */
static const struct motion_run *overlay_runs(struct builder *builder, size_t index, bool at_entry) {
  const struct plan_overlay *overlay = &builder->plan->overlays[index];
  const struct motion_run *last = NULL;
  bool rings = overlay->overlay->pattern == PATTERN_RINGS;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    for (size_t r = 0; r < layer->run_count; r++) {
      double head_near = builder->pose.head, way = 0;
      if (last)
        way = way_between(builder, last, layer, &layer->runs[r], &head_near);
      else
        head_near = entry_head(builder, overlay, head_near);
      struct motion_run *run = weld_run_make(builder, overlay, layer, &layer->runs[r], head_near);
      if (!run)
        return NULL;
      label_set(builder, index, k, r);
      if (last) {
        way = way_with_turns(overlay->contour, way, head_near, run->track.from.head);
        builder_stand(builder, PHASE_WAIT, wait_ticks(builder, overlay->overlay, r == 0, rings));
        if (!go_along(builder, index, last, run, way))
          return NULL;
      } else if (!go_in(builder, index, run, at_entry)) {
        return NULL;
      }
      if (!weld_in(builder, run))
        return NULL;
      /* The back-off already leads to what comes next. */
      if (r + 1 < layer->run_count)
        label_set(builder, index, k, r + 1);
      else if (k + 1 < overlay->layer_count)
        label_set(builder, index, k + 1, 0);
      else if (index + 1 < builder->plan->overlay_count)
        label_set(builder, index + 1, 0, 0);
      else
        builder->label = (struct label){0};
      back_off(builder, run);
      last = run;
    }
  }
  return last;
}

static bool same_entry(const struct builder *builder, const struct plan_overlay *a,
                       const struct plan_overlay *b) {
  vec2 p = entry_point(builder, a), q = entry_point(builder, b);
  return a->overlay->wall == b->overlay->wall && fabs(p.x - q.x) < 1e-9 && fabs(p.y - q.y) < 1e-9;
}

static void go_up(struct builder *builder) {
  struct pose up = builder->pose;
  up.z = safe_z(builder);
  builder_straight(builder, MOVE_UP, up);
}

static void go_park(struct builder *builder) {
  const struct cell *cell = builder->cell;
  const struct axis_limits *axis = &cell->axis[AXIS_HEAD];
  double head =
      axis->endless ? head_nearest(cell, cell->park_head, builder->pose.head) : cell->park_head;
  struct pose park = {cell->park.x, cell->park.y, cell->park.z, head};
  struct pose above = park;
  if (park.z < safe_z(builder)) {
    above.z = safe_z(builder);
    builder_straight(builder, MOVE_ACROSS, above);
  }
  builder_straight(builder, MOVE_TO_PARK, park);
}

bool sequence_build(struct builder *builder) {
  const struct plan *plan = builder->plan;
  const struct cell *cell = builder->cell;
  builder->pose = (struct pose){cell->park.x, cell->park.y, cell->park.z, cell->park_head};
  if (plan->overlay_count > 0)
    label_set(builder, 0, 0, 0);
  if (builder->pose.z < safe_z(builder)) {
    struct pose raised = builder->pose;
    raised.z = safe_z(builder);
    builder_straight(builder, MOVE_RAISE, raised);
  }
  bool at_entry = false;
  for (size_t i = 0; i < plan->overlay_count; i++) {
    if (!overlay_runs(builder, i, at_entry) || !go_out(builder, i))
      return false;
    at_entry = i + 1 < plan->overlay_count &&
               same_entry(builder, &plan->overlays[i], &plan->overlays[i + 1]);
    if (!at_entry)
      go_up(builder);
  }
  go_park(builder);
  return !builder->refused;
}
