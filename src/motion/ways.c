/* Each way is a list of nodes from the entry to the wall; the way out goes through it backward. */
#include "motion/ways.h"

#include <math.h>

#include "motion/entry.h"

/* A torch that faces a straight wall within this angle may go out to it as it stands. */
static const double FACING_RAD = 5 * NUM_PI / 180;

enum edge { EDGE_STRAIGHT, EDGE_TURN, EDGE_ALONG };
struct way {
  struct pose nodes[4];
  enum edge edges[3]; /* edges[i] leads from nodes[i] to nodes[i + 1] */
  size_t edge_count;
  double s_facing, s_way; /* EDGE_ALONG: from where, and how far (signed), towards the wall */
};

static void way_begin(struct way *way, const struct journey *journey) {
  *way = (struct way){.nodes = {journey->entry}};
}

static void way_add(struct way *way, enum edge edge, struct pose to) {
  way->edges[way->edge_count++] = edge;
  way->nodes[way->edge_count] = to;
}

/* -- the ways --------------------------------------------------------------------------------- */

static bool heads_differ(const struct journey *journey) {
  return fabs(journey->entry.head - journey->wall.head) > 1e-9;
}

static bool way_straight(struct builder *builder, const struct journey *journey, struct way *way) {
  (void)builder;
  way_add(way, EDGE_STRAIGHT, journey->wall);
  return true;
}

static bool way_turn_at_entry(struct builder *builder, const struct journey *journey,
                              struct way *way) {
  struct pose turned = {0, 0, journey->entry.z, journey->wall.head};
  if (!heads_differ(journey) || !entry_find(builder, journey->overlay, journey->room, &turned))
    return false;
  way_add(way, EDGE_TURN, turned);
  way_add(way, EDGE_STRAIGHT, journey->wall);
  return true;
}

static bool way_turn_at_wall(struct builder *builder, const struct journey *journey,
                             struct way *way) {
  (void)builder;
  struct pose there = journey->wall;
  there.head = journey->entry.head;
  if (!heads_differ(journey))
    return false;
  way_add(way, EDGE_STRAIGHT, there);
  way_add(way, EDGE_TURN, journey->wall);
  return true;
}

static double wrapped(double angle) {
  return angle - NUM_TURN * floor(angle / NUM_TURN + 0.5);
}

/* Place on a segment that a torch at `head` faces, nearest to the tip; false: none. */
static bool seg_facing(const struct contour_seg *seg, double head, vec2 tip, double *u) {
  double off = wrapped(head - seg->normal0);
  if (seg->turn == 0) {
    *u = fmin(fmax(vec2_dot(vec2_sub(tip, seg->start), seg->tangent), 0), seg->length);
    return fabs(off) <= FACING_RAD;
  }
  double way = seg->turn * off * seg->radius, round = NUM_TURN * seg->radius;
  *u = way < 0 ? way + round : way;
  return *u <= seg->length;
}

static bool facing_find(const struct builder *builder, const struct journey *journey, double *s) {
  const struct contour *contour = journey->overlay->contour;
  struct sincos torch = num_sincos(journey->entry.head);
  double reach = builder->cell->reach, nearest = INFINITY;
  vec2 tip = {journey->entry.x + reach * torch.cos, journey->entry.y + reach * torch.sin};
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double u;
    if (!seg_facing(seg, journey->entry.head, tip, &u))
      continue;
    vec2 away = vec2_sub(contour_at(contour, seg->s0 + u, 0).at, tip);
    double distance = num_hypot(away.x, away.y);
    if (distance >= nearest)
      continue;
    nearest = distance;
    *s = seg->s0 + u;
  }
  return isfinite(nearest);
}

/* H with the tip on the backed-off contour at s, the torch along the normal, at the turn nearest to
 * `near`. */
static struct pose pose_facing(const struct builder *builder, const struct journey *journey,
                               double s, double near) {
  struct contour_point point = contour_at(journey->overlay->contour, s, journey->offset);
  double reach = builder->cell->reach;
  return (struct pose){point.at.x - reach * point.normal.x, point.at.y - reach * point.normal.y,
                       journey->entry.z, near - wrapped(near - point.angle)};
}

static bool way_along(struct builder *builder, const struct journey *journey, struct way *way) {
  const struct contour *contour = journey->overlay->contour;
  if (!facing_find(builder, journey, &way->s_facing))
    return false;
  double s = way->s_facing;
  struct pose facing = pose_facing(builder, journey, s, journey->entry.head);
  way->s_way = along_short_way(contour, journey->offset, s, journey->s);
  /* The head comes out at whatever turn the way takes it to; the wall's is the one wanted. */
  double comes_to =
      facing.head + contour_at(contour, s + way->s_way, 0).angle - contour_at(contour, s, 0).angle;
  way->s_way += contour->perimeter * floor((journey->wall.head - comes_to) / NUM_TURN + 0.5);
  if (fabs(way->s_way) < 1e-6)
    return false;
  way_add(way, EDGE_STRAIGHT, facing);
  way_add(way, EDGE_ALONG, journey->wall);
  return true;
}

/* An entry off to one side: the shape's centre leaves more room to turn. */
static bool way_by_centre(struct builder *builder, const struct journey *journey, struct way *way) {
  struct pose before = journey->entry, after = journey->wall;
  const struct plan_overlay *overlay = journey->overlay;
  after.z = before.z;
  if (!overlay->overlay->has_entry || !centre_find(builder, overlay, journey->room, &before) ||
      !centre_find(builder, overlay, journey->room, &after))
    return false;
  way_add(way, EDGE_STRAIGHT, before);
  way_add(way, EDGE_TURN, after);
  way_add(way, EDGE_STRAIGHT, journey->wall);
  return true;
}

static bool (*const WAYS[])(struct builder *, const struct journey *, struct way *) = {
    way_straight, way_turn_at_entry, way_turn_at_wall, way_along, way_by_centre};
enum { WAY_COUNT = sizeof WAYS / sizeof WAYS[0] };

/* -- walking them ----------------------------------------------------------------------------- */

static bool edge_along(struct builder *builder, const struct journey *journey, double s_from,
                       double s_way) {
  double z = builder->pose.z;
  struct along_way along = {journey->overlay->contour, journey->offset, s_from, s_way, z, z,
                            builder->pose.head};
  return builder_along(builder, &along);
}

static bool go_in(struct builder *builder, const void *what, size_t k) {
  const struct journey *journey = what;
  struct way way;
  way_begin(&way, journey);
  if (!WAYS[k](builder, journey, &way))
    return false;
  for (size_t i = 0; i < way.edge_count; i++) {
    enum edge edge = way.edges[i];
    if (edge == EDGE_ALONG && !edge_along(builder, journey, way.s_facing, way.s_way))
      return false;
    builder_straight(builder, edge == EDGE_TURN ? MOVE_TURN : MOVE_TO_START, way.nodes[i + 1]);
  }
  return true;
}

static bool go_out(struct builder *builder, const void *what, size_t k) {
  const struct journey *journey = what;
  struct way way;
  way_begin(&way, journey);
  if (!WAYS[k](builder, journey, &way))
    return false;
  for (size_t i = way.edge_count; i-- > 0;) {
    enum edge edge = way.edges[i];
    if (edge == EDGE_ALONG && !edge_along(builder, journey, journey->s, -way.s_way))
      return false;
    builder_straight(builder, edge == EDGE_TURN ? MOVE_TURN : MOVE_TO_ENTRY, way.nodes[i]);
  }
  return true;
}

struct attempt_result ways_in(struct builder *builder, const struct journey *journey) {
  return attempt_best(builder, WAY_COUNT, go_in, journey);
}

struct attempt_result ways_out(struct builder *builder, const struct journey *journey) {
  return attempt_best(builder, WAY_COUNT, go_out, journey);
}
