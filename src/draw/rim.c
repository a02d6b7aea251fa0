/* rim.c - contours as edges.  An arc is split into quarters at most: text with two decimals then
 * still draws it within a hundredth. */
#include "draw/rim.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/num.h"

enum { PARTS_MOST = 5 }; /* of one segment: a whole turn in quarters, and one for rounding */

static vec2 at_angle(vec2 from, double angle, double by) {
  struct sincos d = num_sincos(angle);
  return (vec2){from.x + by * d.cos, from.y + by * d.sin};
}

static size_t put_line(struct rim_edge *to, vec2 a, vec2 b) {
  *to = (struct rim_edge){.a = a, .b = b};
  return a.x != b.x || a.y != b.y;
}

/* One segment under an offset, as edges; how many. */
static size_t put_segment(struct rim_edge *to, const struct contour_seg *seg, double offset) {
  if (seg->turn == 0) {
    vec2 a = at_angle(seg->start, seg->normal0, -offset);
    vec2 b = vec2_add(a, vec2_scale(seg->tangent, seg->length));
    return put_line(to, a, b);
  }
  /* The normal of a concave arc points away from its centre, of a convex one towards it. */
  double radius = seg->turn * (seg->radius - seg->turn * offset);
  double turned = seg->turn * seg->length / seg->radius;
  size_t parts = (size_t)ceil(fabs(turned) / (NUM_PI / 2) - 1e-9);
  if (parts < 1)
    parts = 1;
  for (size_t i = 0; i < parts; i++) {
    double from = seg->normal0 + turned * (double)i / (double)parts;
    double end = seg->normal0 + turned * (double)(i + 1) / (double)parts;
    to[i] = (struct rim_edge){.a = at_angle(seg->centre, from, radius),
                              .b = at_angle(seg->centre, end, radius),
                              .centre = seg->centre,
                              .radius = fabs(radius),
                              .turn = seg->turn};
  }
  return parts;
}

struct rim rim_of_contour(struct arena *arena, const struct contour *contour, double offset) {
  struct rim rim = {arena_alloc(arena, contour->count * PARTS_MOST, sizeof *rim.edges), 0};
  for (size_t i = 0; i < contour->count; i++)
    rim.count += put_segment(rim.edges + rim.count, &contour->segs[i], offset);
  return rim;
}

struct rim rim_of_clad(struct arena *arena, const struct plan_overlay *overlay, size_t layers,
                       bool nominal) {
  const struct contour *contour = overlay->contour;
  struct rim rim = {arena_alloc(arena, contour->count * (PARTS_MOST + 1) + 1, sizeof *rim.edges),
                    0};
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double offset =
        nominal ? plan_clad_nominal(overlay, layers) : plan_clad_true(overlay, layers, seg);
    struct rim_edge *next = rim.edges + rim.count + 1;
    size_t put = put_segment(next, seg, offset);
    if (put == 0)
      continue;
    /* The step from the segment before. */
    if (rim.count > 0 && put_line(rim.edges + rim.count, next[-2].b, next[0].a)) {
      rim.count++;
    } else {
      for (size_t k = 0; k < put; k++)
        next[(ptrdiff_t)k - 1] = next[k];
    }
    rim.count += put;
  }
  if (rim.count > 0)
    rim.count += put_line(rim.edges + rim.count, rim.edges[rim.count - 1].b, rim.edges[0].a);
  return rim;
}

void rim_put(struct drawing *drawing, const struct rim *rim) {
  if (rim->count == 0)
    return;
  pen(drawing, "M%f %f", rim->edges[0].a.x, -rim->edges[0].a.y);
  for (size_t i = 0; i < rim->count; i++) {
    const struct rim_edge *edge = &rim->edges[i];
    if (edge->radius > 0)
      pen(drawing, "A%f %f 0 0 %d %f %f", edge->radius, edge->radius, edge->turn < 0, edge->b.x,
          -edge->b.y);
    else
      pen(drawing, "L%f %f", edge->b.x, -edge->b.y);
  }
  pen_raw(drawing, "z");
}

static void box_take(struct draw_box *box, double x, double y) {
  *box = draw_box_join(*box, (struct draw_box){x, -y, x, -y});
}

static bool arc_holds(const struct rim_edge *edge, vec2 direction) {
  vec2 a = vec2_sub(edge->a, edge->centre), b = vec2_sub(edge->b, edge->centre);
  return edge->turn * vec2_cross(a, direction) >= 0 && edge->turn * vec2_cross(direction, b) >= 0;
}

struct draw_box rim_box(const struct rim *rim) {
  vec2 first = rim->edges[0].a;
  struct draw_box box = {first.x, -first.y, first.x, -first.y};
  for (size_t i = 0; i < rim->count; i++) {
    const struct rim_edge *edge = &rim->edges[i];
    box_take(&box, edge->b.x, edge->b.y);
    static const vec2 ways[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    for (size_t k = 0; edge->radius > 0 && k < 4; k++)
      if (arc_holds(edge, ways[k]))
        box_take(&box, edge->centre.x + edge->radius * ways[k].x,
                 edge->centre.y + edge->radius * ways[k].y);
  }
  return box;
}

/* -- cutting --------------------------------------------------------------------------------- */

struct cut {
  vec2 from, along;
  double *outs;
  size_t count;
};

/* Height above the line.  A point on it counts as above everywhere, so that crossings come in
 * pairs. */
static double height(const struct cut *cut, vec2 p) {
  return vec2_cross(cut->along, vec2_sub(p, cut->from));
}

static void cut_line(struct cut *cut, vec2 a, vec2 b) {
  double ha = height(cut, a), hb = height(cut, b);
  if ((ha >= 0) == (hb >= 0))
    return;
  double share = ha / (ha - hb);
  vec2 p = vec2_add(a, vec2_scale(vec2_sub(b, a), share));
  cut->outs[cut->count++] = vec2_dot(cut->along, vec2_sub(p, cut->from));
}

/* A part of an arc that lies on one side of the centre, along the line: right (+1) or left. */
static void cut_half(struct cut *cut, const struct rim_edge *edge, vec2 a, vec2 b, int side) {
  if ((height(cut, a) >= 0) == (height(cut, b) >= 0))
    return;
  double h = height(cut, edge->centre);
  double half = sqrt(fmax(edge->radius * edge->radius - h * h, 0));
  cut->outs[cut->count++] = vec2_dot(cut->along, vec2_sub(edge->centre, cut->from)) + side * half;
}

static void cut_arc(struct cut *cut, const struct rim_edge *edge) {
  vec2 up = {-cut->along.y, cut->along.x}, a = edge->a;
  int side =
      vec2_dot(cut->along, vec2_sub(vec2_add(edge->a, edge->b), vec2_scale(edge->centre, 2))) >= 0
          ? 1
          : -1;
  /* A quarter meets the upright through its centre once at most. */
  for (int k = -1; k <= 1; k += 2) {
    vec2 way = vec2_scale(up, k);
    if (!arc_holds(edge, way))
      continue;
    vec2 top = vec2_add(edge->centre, vec2_scale(way, edge->radius));
    /* Anticlockwise over the top goes from right to left. */
    int first = edge->turn * k;
    cut_half(cut, edge, a, top, first);
    cut_half(cut, edge, top, edge->b, -first);
    return;
  }
  cut_half(cut, edge, a, edge->b, side);
}

static int by_figure(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

size_t rim_cut(struct arena *arena, const struct rim *rim, vec2 from, vec2 along, double **outs) {
  struct cut cut = {from, along, arena_alloc(arena, 2 * rim->count + 1, sizeof(double)), 0};
  for (size_t i = 0; i < rim->count; i++) {
    /* From where the edge before ended, bit by bit: a line between the two would cross only once.
     */
    struct rim_edge edge = rim->edges[i];
    edge.a = rim->edges[(i > 0 ? i : rim->count) - 1].b;
    if (edge.radius > 0)
      cut_arc(&cut, &edge);
    else
      cut_line(&cut, edge.a, edge.b);
  }
  qsort(cut.outs, cut.count, sizeof *cut.outs, by_figure);
  *outs = cut.outs;
  return cut.count;
}
