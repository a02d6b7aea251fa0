/* drawn.h - outlines put together at random, as a programmer would draw them: exact, or with points
 * written to some digits. */
#ifndef TESTS_SHAPE_DRAWN_H
#define TESTS_SHAPE_DRAWN_H

#include <math.h>
#include <string.h>

#include "borelay/contour.h"
#include "borelay/num.h"
#include "support/random.h"
#include "support/told.h"

enum { DRAWN_CORNERS = 14, DRAWN_PARTS = 3 * DRAWN_CORNERS };

struct drawn {
  struct shape shape;
  struct outline_part parts[DRAWN_PARTS];
  double smallest; /* concave radius */
};

static inline void drawn_add(struct drawn *drawn, bool is_bend, vec2 to, double radius, bool left) {
  drawn->parts[drawn->shape.part_count++] =
      (struct outline_part){.is_bend = is_bend, .to = to, .radius = radius, .centre_left = left};
}

/* A line, every third one drawn in two pieces. */
static inline void drawn_line(struct drawn *drawn, size_t corner, vec2 at, vec2 to) {
  double length = hypot(to.x - at.x, to.y - at.y);
  if (length <= 0.02)
    return;
  if (corner % 3 == 1 && length > 1)
    drawn_add(drawn, false, vec2_add(vec2_scale(at, 0.4), vec2_scale(to, 0.6)), 0, false);
  drawn_add(drawn, false, to, 0, false);
}

/* Corners of a polygon about `middle`, some of which stand inward, each rounded by an arc that
 * begins `cut` before it; where two cuts fill a side, bend meets bend.  Starts on a side's end. */
static inline void drawn_rounded(struct drawn *drawn, const vec2 *corner, const double *cut,
                                 size_t n) {
  memset(drawn, 0, sizeof *drawn);
  drawn->shape.name = "drawn";
  drawn->shape.kind = SHAPE_OUTLINE;
  drawn->shape.parts = drawn->parts;
  drawn->smallest = 1e9;
  vec2 at = {0, 0};
  for (size_t i = 0; i < n; i++) {
    vec2 u = vec2_sub(corner[i], corner[(i + n - 1) % n]);
    vec2 v = vec2_sub(corner[(i + 1) % n], corner[i]);
    u = vec2_scale(u, 1 / hypot(u.x, u.y));
    v = vec2_scale(v, 1 / hypot(v.x, v.y));
    vec2 in = vec2_sub(corner[i], vec2_scale(u, cut[i]));
    vec2 out = vec2_add(corner[i], vec2_scale(v, cut[i]));
    double bend = atan2(vec2_cross(u, v), vec2_dot(u, v));
    double radius = cut[i] / tan(fabs(bend) / 2);
    if (i == 0)
      drawn->shape.outline_from = in;
    else
      drawn_line(drawn, i, at, in);
    drawn_add(drawn, true, out, radius, bend > 0);
    if (bend > 0)
      drawn->smallest = fmin(drawn->smallest, radius);
    at = out;
  }
  drawn_line(drawn, n, at, drawn->shape.outline_from);
}

static inline void drawn_random(struct drawn *drawn, struct random *random) {
  size_t n = (size_t)random_whole(random, 3, DRAWN_CORNERS);
  double size = random_between(random, 30, 300), length[DRAWN_CORNERS], cut[DRAWN_CORNERS];
  double first = random_between(random, -4, 4);
  vec2 corner[DRAWN_CORNERS];
  for (size_t i = 0; i < n; i++) {
    double out =
        size * (n > 3 ? random_between(random, 0.55, 1.4) : random_between(random, 0.8, 1));
    double angle = first + NUM_TURN * ((double)i + random_between(random, -0.2, 0.2)) / (double)n;
    corner[i] = (vec2){17 + out * cos(angle), -40 + out * sin(angle)};
  }
  for (size_t i = 0; i < n; i++) {
    vec2 side = vec2_sub(corner[(i + 1) % n], corner[i]);
    length[i] = hypot(side.x, side.y);
  }
  bool fills = random_whole(random, 0, 2) == 0; /* bend meets bend on the shorter sides */
  for (size_t i = 0; i < n; i++) {
    double room = fmin(length[i], length[(i + n - 1) % n]) / 2;
    cut[i] = room * (fills ? 1 : random_between(random, 0.1, 0.97));
  }
  drawn_rounded(drawn, corner, cut, n);
}

/* Points and radii written to so many decimals. */
static inline void drawn_round_off(struct drawn *drawn, int decimals) {
  double unit = pow(10, -decimals);
  vec2 *from = &drawn->shape.outline_from;
  *from = (vec2){round(from->x / unit) * unit, round(from->y / unit) * unit};
  for (size_t i = 0; i < drawn->shape.part_count; i++) {
    struct outline_part *part = &drawn->parts[i];
    part->to = (vec2){round(part->to.x / unit) * unit, round(part->to.y / unit) * unit};
    part->radius = round(part->radius / unit) * unit;
  }
}

/* The same outline drawn the other way round. */
static inline void drawn_turn_back(const struct drawn *drawn, struct drawn *back) {
  *back = *drawn;
  back->shape.parts = back->parts;
  size_t n = drawn->shape.part_count;
  for (size_t i = 0; i < n; i++) {
    const struct outline_part *part = &drawn->parts[n - 1 - i];
    back->parts[i] = *part;
    back->parts[i].centre_left = part->is_bend && !part->centre_left;
    back->parts[i].to = n - 1 - i > 0 ? drawn->parts[n - 2 - i].to : drawn->shape.outline_from;
  }
}

/* NULL where something was told. */
static inline const struct contour *drawn_contour(struct told *told, const struct drawn *drawn,
                                                  const struct placement *placement) {
  struct fit fit;
  bool has_fit;
  return contour_make(told->arena, &drawn->shape, placement, 30, told->diags, &fit, &has_fit);
}

#endif
