/* The entry: docs/semantics.md, "Motion", Order. */
#include "motion/entry.h"

#include <math.h>

double safe_height_z(const struct builder *builder) {
  return builder->plan->placement.at.z + builder->plan->job->safe_height + builder->cell->drop;
}

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

/* H about `point`, moved back along the torch until the tip keeps `room` from the wall.  The
 * distance to the wall changes by no more than the way moved, so stepping by what is missing never
 * passes the nearest place that will do. */
static bool place_find(const struct builder *builder, const struct contour *contour, vec2 point,
                       double room, struct pose *pose) {
  struct sincos torch = num_sincos(pose->head);
  vec2 out = {torch.cos, torch.sin};
  double reach = builder->cell->reach, back = 0;
  double farthest = 2 * reach + contour->perimeter;
  for (int i = 0; i < 1000 && back < farthest; i++) {
    vec2 tip = vec2_add(point, vec2_scale(out, reach - back));
    double missing = contour_distance(contour, tip) + room;
    if (missing <= 1e-7) {
      pose->x = point.x - back * out.x;
      pose->y = point.y - back * out.y;
      return true;
    }
    back += missing;
  }
  return false;
}

bool entry_find(const struct builder *builder, const struct plan_overlay *overlay, double room,
                struct pose *pose) {
  return place_find(builder, overlay->contour, entry_point(builder, overlay), room, pose);
}

bool centre_find(const struct builder *builder, const struct plan_overlay *overlay, double room,
                 struct pose *pose) {
  return place_find(builder, overlay->contour, overlay->contour->centre, room, pose);
}

void entry_refuse(struct builder *builder, const struct plan_overlay *overlay, double room,
                  double head) {
  double bare = overlay->overlay->retract;
  for (size_t k = 0; k < overlay->layer_count; k++)
    bare = fmax(bare, overlay->overlay->retract + overlay->layers[k].procedure->arc_length);
  diag_error(builder->diags, DIAG_ENTRY_NARROW, origin_of_key(&overlay->overlay->origin, "entry"),
             "at the entry of overlay `%s` the tip cannot keep %.3f mm (%s) from "
             "the wall with the head at %.1f deg",
             overlay->overlay->name, room,
             room > bare + 1e-6 ? "arc length, retract and clad" : "arc length and retract",
             num_degrees(head - NUM_TURN * floor(head / NUM_TURN + 0.5)));
  builder->refused = true;
}

/* The turn of `angle` nearest to `near` that the head axis can take. */
double head_nearest(const struct cell *cell, double angle, double near) {
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

double entry_head(const struct builder *builder, const struct plan_overlay *overlay,
                  double otherwise) {
  if (!overlay->overlay->has_entry_angle)
    return otherwise;
  double angle = overlay->overlay->entry_angle + builder->plan->placement.turned;
  return head_nearest(builder->cell, angle, otherwise);
}

bool entry_is_same(const struct builder *builder, const struct plan_overlay *a,
                   const struct plan_overlay *b) {
  vec2 p = entry_point(builder, a), q = entry_point(builder, b);
  return a->overlay->wall == b->overlay->wall && fabs(p.x - q.x) < 1e-9 && fabs(p.y - q.y) < 1e-9;
}
