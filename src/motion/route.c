/* Ways in, out and between runs: docs/semantics.md, "Motion", Order. */
#include "motion/route.h"

#include <math.h>

#include "motion/entry.h"
#include "motion/ways.h"

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

/* -- in and out ------------------------------------------------------------------------------- */

static double offset_at(const struct plan_overlay *overlay, const struct plan_layer *layer) {
  return layer->offset + layer->procedure->arc_length + overlay->overlay->retract;
}

/* Up or down the entry's axis. */
static void go_axis(struct builder *builder, struct pose to) {
  builder_straight(builder, to.z > builder->pose.z ? MOVE_UP : MOVE_DOWN, to);
}

/* At the entry already, at the depth of another overlay: the head goes to its new angle and depth,
 * the one first or the other. */
static bool shift_entry(struct builder *builder, const void *what, size_t k) {
  const struct pose *entry = what;
  struct pose turned = *entry, lowered = builder->pose;
  turned.z = builder->pose.z;
  lowered.z = entry->z;
  if (k == 0) {
    builder_straight(builder, MOVE_TURN, turned);
    go_axis(builder, *entry);
  } else {
    go_axis(builder, lowered);
    builder_straight(builder, MOVE_TURN, *entry);
  }
  return true;
}

bool route_in(struct builder *builder, size_t index, const struct motion_run *run, bool at_entry) {
  const struct plan_overlay *overlay = &builder->plan->overlays[index];
  const struct plan_layer *layer = run->info.layer;
  double s = run->info.run->s_start;
  /* Where a weld is taken up again a part of the layer stands already. */
  bool is_taken_up = builder->resume && builder->resume->overlay == index;
  double clad = layer->offset + (is_taken_up ? layer->thickness : 0);
  struct journey journey = {.overlay = overlay,
                            .room = room_at(overlay, layer->procedure, clad),
                            .offset = offset_at(overlay, layer),
                            .s = s};
  journey.wall = pose_backed_off(overlay->contour, s, run->track.from, overlay->overlay->retract);
  journey.entry = journey.wall;
  journey.entry.head = entry_head(builder, overlay, journey.wall.head);
  if (!entry_find(builder, overlay, journey.room, &journey.entry)) {
    entry_refuse(builder, overlay, journey.room, journey.entry.head);
    return false;
  }
  if (at_entry) {
    attempt_best(builder, 2, shift_entry, &journey.entry);
  } else {
    struct pose over = journey.entry;
    over.z = safe_height_z(builder);
    builder_straight(builder, MOVE_ACROSS, over);
    builder_straight(builder, MOVE_DOWN, journey.entry);
  }
  ways_in(builder, &journey);
  return true;
}

/* From where the head is, backed off from `run`, to the entry. */
static bool journey_out(const struct builder *builder, const struct motion_run *run,
                        struct journey *journey) {
  const struct plan_overlay *overlay = run->info.overlay;
  const struct plan_layer *layer = run->info.layer;
  *journey =
      (struct journey){.overlay = overlay,
                       .room = room_at(overlay, layer->procedure, layer->offset + layer->thickness),
                       .offset = offset_at(overlay, layer),
                       .s = run_end_s(run),
                       .entry = builder->pose,
                       .wall = builder->pose};
  journey->entry.head = entry_head(builder, overlay, builder->pose.head);
  return entry_find(builder, overlay, journey->room, &journey->entry);
}

bool route_out(struct builder *builder, const struct motion_run *run) {
  struct journey journey;
  if (!journey_out(builder, run, &journey)) {
    entry_refuse(builder, run->info.overlay, journey.room, journey.entry.head);
    return false;
  }
  ways_out(builder, &journey);
  return true;
}

/* -- from run to run -------------------------------------------------------------------------- */

struct link {
  const struct motion_run *last, *next;
  double way;        /* along the contour, mm, signed */
  double retract;    /* mm */
  struct pose start; /* backed off from next's start */
};

/* Along the backed-off contour of the next run, from z_from to z_to.  The next layer's lies farther
 * from the wall: out to it first. */
static bool along_contour(struct builder *builder, const struct link *link, double z_to) {
  const struct plan_overlay *overlay = link->next->info.overlay;
  double farther = link->next->track.tip_offset - link->last->track.tip_offset;
  double s = run_end_s(link->last);
  builder_straight(builder, MOVE_BACK_OFF,
                   pose_backed_off(overlay->contour, s, builder->pose, farther));
  struct along_way along = {overlay->contour,
                            link->next->track.tip_offset + link->retract,
                            s,
                            link->way,
                            builder->pose.z,
                            z_to,
                            builder->pose.head};
  return fabs(link->way) <= 1e-6 || builder_along(builder, &along);
}

static bool go_along(struct builder *builder, const struct link *link) {
  if (!along_contour(builder, link, link->start.z))
    return false;
  builder_straight(builder, MOVE_TO_START, link->start);
  return true;
}

static bool depth_differs(const struct builder *builder, const struct link *link) {
  return fabs(builder->pose.z - link->start.z) > 1e-9;
}

static bool go_along_then_depth(struct builder *builder, const struct link *link) {
  if (!depth_differs(builder, link) || !along_contour(builder, link, builder->pose.z))
    return false;
  builder_straight(builder, MOVE_TO_START, link->start);
  return true;
}

static bool go_depth_then_along(struct builder *builder, const struct link *link) {
  struct pose level = builder->pose;
  level.z = link->start.z;
  if (!depth_differs(builder, link))
    return false;
  builder_straight(builder, MOVE_ALONG, level);
  if (!along_contour(builder, link, level.z))
    return false;
  builder_straight(builder, MOVE_TO_START, link->start);
  return true;
}

static bool go_across(struct builder *builder, const struct link *link) {
  builder_straight(builder, MOVE_TO_START, link->start);
  return true;
}

/* Out to the entry, down or up its axis, in again: each part by the best of its ways. */
static bool go_by_entry(struct builder *builder, const struct link *link) {
  const struct plan_overlay *overlay = link->next->info.overlay;
  const struct plan_layer *layer = link->next->info.layer;
  struct journey out, in;
  if (!journey_out(builder, link->last, &out))
    return false;
  bool same_layer = layer == link->last->info.layer;
  double clad = layer->offset + (same_layer ? layer->thickness : 0);
  in = (struct journey){.overlay = overlay,
                        .room = room_at(overlay, layer->procedure, clad),
                        .offset = offset_at(overlay, layer),
                        .s = link->next->info.run->s_start,
                        .entry = out.entry,
                        .wall = link->start};
  in.entry.z = link->start.z;
  if (!entry_find(builder, overlay, in.room, &in.entry))
    return false;
  ways_out(builder, &out);
  go_axis(builder, in.entry);
  ways_in(builder, &in);
  return true;
}

static bool (*const LINKS[])(struct builder *, const struct link *) = {
    go_along, go_along_then_depth, go_depth_then_along, go_across, go_by_entry};
enum { LINK_COUNT = sizeof LINKS / sizeof LINKS[0] };

static bool go_link(struct builder *builder, const void *what, size_t k) {
  return LINKS[k](builder, what);
}

/* -- a retract that the corners do not bear --------------------------------------------------- */

/* Largest `retract` with which the backed-off contour keeps its radii. */
static double retract_bearable(const struct contour *contour, double tip_offset) {
  double smallest = INFINITY;
  for (size_t i = 0; i < contour->count; i++)
    if (contour->segs[i].turn > 0)
      smallest = fmin(smallest, contour->segs[i].radius);
  return smallest - ALONG_LEAST_RADIUS_MM - tip_offset;
}

/* Backed off that far, is the way along the contour clear? */
static bool retract_does(struct builder *builder, const struct link *asked, double retract) {
  const struct contour *contour = asked->next->info.overlay->contour;
  const struct attempt_mark mark = attempt_begin(builder);
  struct link link = *asked;
  link.retract = retract;
  builder->pose = pose_backed_off(contour, run_end_s(link.last), link.last->track.to, retract);
  bool does = along_contour(builder, &link, link.start.z) &&
              link_judge(builder, mark.phase_count).shortfall <= 0;
  attempt_undo(builder, mark);
  return does;
}

/* The largest in whole tenths of a mm that does, 0 when none is found: by halves, since farther off
 * the wall there is only less room; what is found was judged itself. */
static double retract_largest(struct builder *builder, const struct link *link) {
  double bearable =
      retract_bearable(link->next->info.overlay->contour, link->next->track.tip_offset);
  long does = 0, fails = (long)floor(fmin(bearable, link->retract) * 10) + 1;
  for (long k = fails - 1; fails - does > 1; k = does + (fails - does) / 2) {
    if (retract_does(builder, link, (double)k / 10))
      does = k;
    else
      fails = k;
  }
  return (double)does / 10;
}

static void refuse_retract(struct builder *builder, const struct link *link,
                           const struct link_near *near) {
  const struct plan_overlay *overlay = link->next->info.overlay;
  double most = retract_largest(builder, link);
  struct diag *diag = diag_error(
      builder->diags, DIAG_RETRACT_LONG, origin_of_key(&overlay->overlay->origin, "retract"),
      "backed off %.3f mm the torch cannot follow the corners of overlay `%s` to its next run, and "
      "neither the straight way across nor the way by the entry is clear",
      link->retract, overlay->overlay->name);
  diag_note(diag, overlay->overlay->origin.head, "by the better of the two, %s",
            link_text(builder, near));
  if (most > 0)
    diag_help(diag, "a retract of %.1f mm would do", most);
  builder->refused = true;
}

bool route_between(struct builder *builder, const struct motion_run *last,
                   const struct motion_run *next, double way) {
  const struct contour *contour = next->info.overlay->contour;
  double retract = next->info.overlay->overlay->retract;
  struct link link = {last, next, way, retract,
                      pose_backed_off(contour, next->info.run->s_start, next->track.from, retract)};
  double offset = next->track.tip_offset + retract;
  bool followed =
      fabs(way) <= 1e-6 || contour_vanishing_seg(contour, offset, ALONG_LEAST_RADIUS_MM) < 0;
  struct attempt_result result = attempt_best(builder, LINK_COUNT, go_link, &link);
  if (followed || result.near.shortfall <= 0)
    return true;
  refuse_retract(builder, &link, &result.near);
  return false;
}
