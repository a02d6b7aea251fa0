/* wall_make.c - walls as the job draws them.
 *
 * s = 0 lies where docs/language.md says; a side that it halves is two edges. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "verify/fit.h"
#include "verify/wall.h"

struct wall *wall_round(struct arena *arena, vec2 centre, double diameter) {
  struct edge *edge = arena_alloc(arena, 1, sizeof *edge);
  double radius = diameter / 2;
  edge->from = edge->to = (vec2){centre.x + radius, centre.y};
  edge->bend = 1;
  edge->centre = centre;
  edge->radius = radius;
  struct wall *wall = wall_from_edges(arena, edge, 1);
  wall->kind = SHAPE_ROUND;
  wall->centre = centre;
  wall->diameter = diameter;
  return wall;
}

static vec2 turn(vec2 v, double cos, double sin) {
  return (vec2){cos * v.x - sin * v.y, sin * v.x + cos * v.y};
}

struct wall *wall_rectangle(struct arena *arena, vec2 centre, double length, double width,
                            double corner, double turned) {
  double x = length / 2, y = width / 2, cx = x - corner, cy = y - corner;
  struct sincos sc = num_sincos(turned);
  /* from the middle of the side at negative y, anticlockwise; radius 0: a line */
  const struct {
    vec2 to, about;
    bool is_arc;
  } way[9] = {
      {{cx, -y}, {0, 0}, false},  {{x, -cy}, {cx, -cy}, true},   {{x, cy}, {0, 0}, false},
      {{cx, y}, {cx, cy}, true},  {{-cx, y}, {0, 0}, false},     {{-x, cy}, {-cx, cy}, true},
      {{-x, -cy}, {0, 0}, false}, {{-cx, -y}, {-cx, -cy}, true}, {{0, -y}, {0, 0}, false}};
  struct edge *edges = arena_alloc(arena, 9, sizeof *edges);
  size_t count = 0;
  vec2 at = {0, -y};
  for (size_t i = 0; i < 9; i++) {
    vec2 step = vec2_sub(way[i].to, at);
    if (num_hypot(step.x, step.y) > 1e-9) {
      struct edge *edge = &edges[count++];
      edge->from = vec2_add(centre, turn(at, sc.cos, sc.sin));
      edge->to = vec2_add(centre, turn(way[i].to, sc.cos, sc.sin));
      edge->bend = way[i].is_arc;
      edge->centre = vec2_add(centre, turn(way[i].about, sc.cos, sc.sin));
      edge->radius = corner;
    }
    at = way[i].to;
  }
  struct wall *wall = wall_from_edges(arena, edges, count);
  wall->kind = SHAPE_RECTANGLE;
  wall->centre = centre;
  wall->turned = turned;
  return wall;
}

/* -- outlines --------------------------------------------------------------------------------- */

static vec2 bend_centre(vec2 from, const struct outline_part *part) {
  vec2 chord = vec2_sub(part->to, from);
  double c = num_hypot(chord.x, chord.y);
  double beside = sqrt(fmax(part->radius * part->radius - c * c / 4, 0));
  vec2 left = {-chord.y / c, chord.x / c};
  return vec2_add(vec2_scale(vec2_add(from, part->to), 0.5),
                  vec2_scale(left, part->centre_left ? beside : -beside));
}

/* Twice the area, and the first moments, of what lies between the part and `about`. */
struct moments {
  double area, x, y;
};
static void add_part(struct moments *sum, const struct edge *edge) {
  double cross = vec2_cross(edge->from, edge->to) / 2;
  sum->area += cross;
  sum->x += cross * (edge->from.x + edge->to.x) / 3;
  sum->y += cross * (edge->from.y + edge->to.y) / 3;
  if (edge->bend == 0)
    return;
  /* the segment between chord and arc: area r^2 (w - sin w)/2, its centroid on the perpendicular at
   * 4 r sin^3(w/2) / (3 (w - sin w)) from the centre (handbooks of geometry, circular segment) */
  double w = edge->length / edge->radius, r = edge->radius;
  double lune = edge->bend * r * r * (w - num_sincos(w).sin) / 2;
  double half = num_sincos(w / 2).sin;
  double arm = 2.0 / 3.0 * r * r * r * half * half * half * edge->bend;
  struct sincos middle = num_sincos(edge->angle0 + edge->bend * w / 2);
  sum->area += lune;
  sum->x += lune * edge->centre.x + arm * middle.cos;
  sum->y += lune * edge->centre.y + arm * middle.sin;
}

static struct edge reversed(const struct edge *edge) {
  struct edge back = *edge;
  back.from = edge->to;
  back.to = edge->from;
  back.bend = -edge->bend;
  return back;
}

/* The tangent of an edge at its end. */
static vec2 end_heading(const struct edge *edge) {
  if (edge->bend == 0)
    return edge->along;
  vec2 out = vec2_sub(edge->to, edge->centre);
  return vec2_scale((vec2){-out.y, out.x}, edge->bend / edge->radius);
}

/* Joints that are not quite tangent are mended by the programme, beside the joint. */
static double joint_slack(const struct wall *wall) {
  for (size_t i = 0; i < wall->count; i++) {
    const struct edge *next = &wall->edges[(i + 1) % wall->count];
    if (fabs(vec2_cross(end_heading(&wall->edges[i]), next->along)) > 1e-9)
      return 0.005;
  }
  return 0;
}

const struct wall *wall_outline(struct arena *arena, const struct shape *shape) {
  struct edge *edges = arena_alloc(arena, shape->part_count + 1, sizeof *edges);
  size_t count = 0;
  vec2 at = shape->outline_from;
  for (size_t i = 0; i < shape->part_count; i++) {
    const struct outline_part *part = &shape->parts[i];
    vec2 rest = vec2_sub(part->to, shape->outline_from);
    bool closes = i + 1 == shape->part_count && num_hypot(rest.x, rest.y) <= 0.01;
    struct outline_part drawn = *part;
    if (closes)
      drawn.to = shape->outline_from;
    edges[count] = (struct edge){.from = at, .to = drawn.to};
    if (part->is_bend) {
      edges[count].bend = part->centre_left ? 1 : -1;
      edges[count].centre = bend_centre(at, &drawn);
      edges[count].radius = part->radius;
    }
    at = edges[count++].to;
  }
  vec2 rest = vec2_sub(at, shape->outline_from);
  if (num_hypot(rest.x, rest.y) > 0)
    edges[count++] = (struct edge){.from = at, .to = shape->outline_from};
  struct wall *wall = wall_from_edges(arena, edges, count);
  struct moments sum = {0};
  for (size_t i = 0; i < count; i++)
    add_part(&sum, &edges[i]);
  vec2 centroid = {sum.x / sum.area, sum.y / sum.area};
  if (sum.area < 0) {
    struct edge *back = arena_alloc(arena, count, sizeof *back);
    for (size_t i = 0; i < count; i++)
      back[i] = reversed(&edges[count - 1 - i]);
    wall = wall_from_edges(arena, back, count);
  }
  wall->kind = SHAPE_OUTLINE;
  wall->centre = shape->has_centre ? shape->centre : centroid;
  wall->slack = joint_slack(wall);
  return isfinite(sum.area) && sum.area != 0 ? wall : NULL;
}

/* -- from touches ----------------------------------------------------------------------------- */

static const struct wall *taught(struct arena *arena, const struct shape *shape, double reach,
                                 const struct lie *lie) {
  struct fitted fitted;
  vec2 *tips = arena_alloc(arena, shape->touch_count, sizeof *tips);
  for (size_t i = 0; i < shape->touch_count; i++)
    tips[i] = lie_to_part(lie, touched_point(&shape->touches[i], reach));
  if (shape->kind == SHAPE_ROUND)
    return fit_circle(tips, shape->touch_count, &fitted)
               ? wall_round(arena, fitted.centre, fitted.diameter)
               : NULL;
  if (shape->touch_count != 5 || !fit_track(tips, &fitted))
    return NULL;
  struct wall *wall = wall_rectangle(arena, fitted.centre, fitted.length, fitted.width,
                                     fitted.width / 2, fitted.turned);
  wall->kind = SHAPE_RACETRACK;
  return wall;
}

const struct wall *wall_make(struct arena *arena, const struct shape *shape, double reach,
                             const struct lie *lie) {
  if (shape->touch_count > 0)
    return taught(arena, shape, reach, lie);
  struct wall *wall;
  switch (shape->kind) {
  case SHAPE_ROUND:
    return wall_round(arena, shape->centre, shape->diameter);
  case SHAPE_RACETRACK:
    wall = wall_rectangle(arena, shape->centre, shape->length, shape->width, shape->width / 2,
                          shape->turned);
    wall->kind = SHAPE_RACETRACK;
    return wall;
  case SHAPE_RECTANGLE:
    return wall_rectangle(arena, shape->centre, shape->length, shape->width, shape->corner,
                          shape->turned);
  case SHAPE_OUTLINE:
    return wall_outline(arena, shape);
  }
  return NULL;
}
