/* brute_shape.h - contours from the job file's own figures: lines and arcs, and what is inside.
 *
 * Part frame, mm.  Shares no code with src/shape.  Rounds and racetracks are rectangles with
 * rounded corners; an outline is walked as it is written. */
#ifndef TESTS_CHECK_BRUTE_SHAPE_H
#define TESTS_CHECK_BRUTE_SHAPE_H

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/plan.h"
#include "support/close.h"

#define BRUTE_PI 3.14159265358979323846

struct brute_seg {
  vec2 a, b;
  int turn; /* 0 line, +1 bends left: concave, -1 bends right: convex */
  vec2 centre;
  double radius, from, sweep; /* rad, from the centre; sweep > 0 */
  double length;
};

enum { BRUTE_SEGS = 64 };
struct brute_shape {
  struct brute_seg segs[BRUTE_SEGS]; /* anticlockwise */
  size_t count;
  bool rounded; /* a rectangle with rounded corners, of which round and racetrack are special */
  double half_length, half_width, corner, c, s; /* c, s: of its turn */
  vec2 centre;
  double least_radius;
};

static inline void brute_line(struct brute_shape *shape, vec2 a, vec2 b) {
  double length = hypot(b.x - a.x, b.y - a.y);
  assert_true(shape->count < BRUTE_SEGS);
  if (length > 1e-9)
    shape->segs[shape->count++] = (struct brute_seg){.a = a, .b = b, .length = length};
}

static inline void brute_arc(struct brute_shape *shape, vec2 a, vec2 b, vec2 centre, int turn) {
  double radius = hypot(a.x - centre.x, a.y - centre.y);
  double from = atan2(a.y - centre.y, a.x - centre.x), to = atan2(b.y - centre.y, b.x - centre.x);
  double sweep = fmod(turn * (to - from) + 8 * BRUTE_PI, 2 * BRUTE_PI);
  assert_true(shape->count < BRUTE_SEGS);
  shape->segs[shape->count++] =
      (struct brute_seg){a, b, turn, centre, radius, from, sweep, radius * sweep};
  shape->least_radius = fmin(shape->least_radius, radius);
}

static inline vec2 brute_placed(const struct brute_shape *shape, double x, double y) {
  return (vec2){shape->centre.x + x * shape->c - y * shape->s,
                shape->centre.y + x * shape->s + y * shape->c};
}

static inline void brute_rounded(struct brute_shape *shape) {
  double l = shape->half_length, w = shape->half_width, r = shape->corner, x = l - r, y = w - r;
  const double ends[8][2] = {{-x, -w}, {x, -w}, {l, -y}, {l, y},
                             {x, w},   {-x, w}, {-l, y}, {-l, -y}};
  const double centres[4][2] = {{x, -y}, {x, y}, {-x, y}, {-x, -y}};
  shape->rounded = true;
  for (int i = 0; i < 4; i++) {
    vec2 a = brute_placed(shape, ends[2 * i][0], ends[2 * i][1]);
    vec2 b = brute_placed(shape, ends[2 * i + 1][0], ends[2 * i + 1][1]);
    vec2 next = brute_placed(shape, ends[(2 * i + 2) % 8][0], ends[(2 * i + 2) % 8][1]);
    brute_line(shape, a, b);
    brute_arc(shape, b, next, brute_placed(shape, centres[i][0], centres[i][1]), 1);
  }
}

/* The centre of a bend from a to b, on the side named, seen along the path. */
static inline vec2 brute_bend_centre(vec2 a, vec2 b, double radius, bool left) {
  double dx = b.x - a.x, dy = b.y - a.y, length = hypot(dx, dy);
  double off = sqrt(fmax(0, radius * radius - length * length / 4)) * (left ? 1 : -1);
  return (vec2){(a.x + b.x) / 2 - off * dy / length, (a.y + b.y) / 2 + off * dx / length};
}

static inline void brute_outline(struct brute_shape *shape, const struct shape *source) {
  double area = 0;
  vec2 at = source->outline_from;
  for (size_t i = 0; i < source->part_count; i++) {
    const struct outline_part *part = &source->parts[i];
    vec2 to = part->to;
    if (i + 1 == source->part_count)
      to = source->outline_from;
    if (part->is_bend)
      brute_arc(shape, at, to, brute_bend_centre(at, to, part->radius, part->centre_left),
                part->centre_left ? 1 : -1);
    else
      brute_line(shape, at, to);
    area += at.x * to.y - to.x * at.y;
    at = to;
  }
  if (area > 0)
    return;
  struct brute_shape drawn = *shape; /* clockwise: walked the other way round */
  for (size_t i = 0; i < drawn.count; i++) {
    struct brute_seg seg = drawn.segs[drawn.count - 1 - i];
    vec2 a = seg.a;
    seg.a = seg.b;
    seg.b = a;
    seg.from += seg.turn * seg.sweep;
    seg.turn = -seg.turn;
    shape->segs[i] = seg;
  }
}

static inline void brute_shape_make(struct brute_shape *shape, const struct shape *source) {
  *shape = (struct brute_shape){.c = cos(source->turned),
                                .s = sin(source->turned),
                                .centre = source->centre,
                                .least_radius = HUGE_VAL};
  if (source->kind == SHAPE_OUTLINE) {
    brute_outline(shape, source);
    return;
  }
  shape->half_length = source->length / 2;
  shape->half_width = source->width / 2;
  shape->corner = source->kind == SHAPE_RECTANGLE ? source->corner : source->width / 2;
  if (source->kind == SHAPE_ROUND)
    shape->half_length = shape->half_width = shape->corner = source->diameter / 2;
  brute_rounded(shape);
}

/* Angle that a segment sweeps as seen from p: that of its chord, and a whole turn more where p lies
 * between chord and arc. */
static inline double brute_seen(const struct brute_seg *seg, vec2 p) {
  double ax = seg->a.x - p.x, ay = seg->a.y - p.y, bx = seg->b.x - p.x, by = seg->b.y - p.y;
  double angle = atan2(ax * by - ay * bx, ax * bx + ay * by);
  if (seg->turn == 0 || hypot(p.x - seg->centre.x, p.y - seg->centre.y) >= seg->radius)
    return angle;
  double side = (seg->b.x - seg->a.x) * -ay - (seg->b.y - seg->a.y) * -ax; /* > 0: p left of it */
  return side * seg->turn < 0 ? angle + 2 * BRUTE_PI * seg->turn : angle;
}

static inline bool brute_inside(const struct brute_shape *shape, vec2 p) {
  if (shape->rounded) {
    double dx = p.x - shape->centre.x, dy = p.y - shape->centre.y;
    double x = fabs(dx * shape->c + dy * shape->s), y = fabs(dy * shape->c - dx * shape->s);
    double out_x = x - (shape->half_length - shape->corner);
    double out_y = y - (shape->half_width - shape->corner);
    if (out_x > 0 && out_y > 0)
      return out_x * out_x + out_y * out_y < shape->corner * shape->corner;
    return out_x < shape->corner && out_y < shape->corner;
  }
  double turns = 0;
  for (size_t i = 0; i < shape->count; i++)
    turns += brute_seen(&shape->segs[i], p);
  return turns > BRUTE_PI;
}

#endif
