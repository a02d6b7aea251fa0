/* Ways in, out and between runs: docs/semantics.md, "Motion", Order. */
#include "motion/route.h"

#include <math.h>

#include "motion/entry.h"

/* H backed off from a pose on the wall, along the wall's normal at s. */
struct pose pose_backed_off(const struct contour *contour, double s, struct pose pose,
                            double distance) {
  vec2 n = contour_at(contour, s, 0).normal;
  return (struct pose){pose.x - distance * n.x, pose.y - distance * n.y, pose.z, pose.head};
}

double run_end_s(const struct motion_run *run) {
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
bool route_in(struct builder *builder, size_t index, const struct motion_run *run, bool at_entry) {
  const struct plan_overlay *overlay = &builder->plan->overlays[index];
  const struct plan_layer *layer = &overlay->layers[0];
  struct pose start = pose_backed_off(overlay->contour, layer->runs[0].s_start, run->track.from,
                                      overlay->overlay->retract);
  double head = entry_head(builder, overlay, start.head);
  double room = room_at(overlay, layer->procedure, 0);
  vec2 place, place_turned;
  if (!entry_place(builder, overlay, head, room, &place))
    return false;
  if (at_entry) {
    builder_straight(builder, MOVE_TURN, pose_at(place, builder->pose.z, head));
  } else {
    builder_straight(builder, MOVE_ACROSS, pose_at(place, safe_height_z(builder), head));
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
bool route_out(struct builder *builder, size_t index) {
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
bool route_between(struct builder *builder, size_t index, const struct motion_run *last,
                   const struct motion_run *next, double way) {
  const struct plan_overlay *overlay = next->info.overlay;
  const struct contour *contour = overlay->contour;
  double retract = overlay->overlay->retract;
  double offset = next->track.tip_offset + retract;
  double s_from = run_end_s(last), s_to = next->info.run->s_start;
  struct pose start = pose_backed_off(contour, s_to, next->track.from, retract);
  /* The next layer's backed-off contour lies farther from the wall. */
  builder_straight(
      builder, MOVE_BACK_OFF,
      pose_backed_off(contour, s_from, builder->pose, offset - last->track.tip_offset - retract));
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
