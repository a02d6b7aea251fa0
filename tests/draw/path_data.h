/* path_data.h - path data read back: M L H V A z and their small letters as far as drawings use
 * them, to distances. */
#ifndef TESTS_DRAW_PATH_DATA_H
#define TESTS_DRAW_PATH_DATA_H

#include "support/close.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/vec.h"

struct drawn_edge {
  vec2 a, b, centre;
  double radius; /* 0: a line */
  bool sweep;    /* SVG's flag: angles rise, y down */
};
struct drawn_path {
  struct drawn_edge edges[4096];
  size_t count;
};

static inline double path_figure(const char **at) {
  while (**at == ' ' || **at == ',')
    (*at)++;
  char *end;
  double value = strtod(*at, &end);
  if (end == *at)
    fail_msg("no figure at: %.20s", *at);
  *at = end;
  return value;
}

/* Centre of an arc of less than half a turn, by SVG 1.1, F.6.5. */
static inline vec2 arc_centre(vec2 a, vec2 b, double radius, bool sweep) {
  vec2 way = vec2_sub(b, a);
  double length = hypot(way.x, way.y), up = sqrt(fmax(radius * radius - length * length / 4, 0));
  vec2 left = vec2_scale((vec2){-way.y, way.x}, (sweep ? up : -up) / length);
  return vec2_add(vec2_scale(vec2_add(a, b), 0.5), left);
}

static inline void path_add(struct drawn_path *path, struct drawn_edge edge) {
  assert_true(path->count < sizeof path->edges / sizeof path->edges[0]);
  path->edges[path->count++] = edge;
}

static inline void path_read(struct drawn_path *path, const char *data) {
  vec2 pen = {0, 0}, begin = {0, 0};
  path->count = 0;
  for (const char *at = data; *at;) {
    char letter = *at++;
    vec2 next = pen;
    struct drawn_edge edge = {.a = pen};
    if (letter == ' ' || letter == '\n')
      continue;
    if (letter == 'z') {
      next = begin;
    } else if (letter == 'H') {
      next.x = path_figure(&at);
    } else if (letter == 'h') {
      next.x += path_figure(&at);
    } else if (letter == 'V') {
      next.y = path_figure(&at);
    } else if (letter == 'v') {
      next.y += path_figure(&at);
    } else if (letter == 'A') {
      edge.radius = path_figure(&at);
      assert_true(path_figure(&at) == edge.radius);
      assert_true(path_figure(&at) == 0);
      assert_true(path_figure(&at) == 0);
      edge.sweep = path_figure(&at) != 0;
      next.x = path_figure(&at);
      next.y = path_figure(&at);
      edge.centre = arc_centre(pen, next, edge.radius, edge.sweep);
    } else {
      assert_true(letter == 'M' || letter == 'L');
      next.x = path_figure(&at);
      next.y = path_figure(&at);
    }
    if (letter == 'M')
      begin = next;
    else {
      edge.b = next;
      path_add(path, edge);
    }
    pen = next;
  }
}

static inline double edge_distance(const struct drawn_edge *edge, vec2 p) {
  if (edge->radius > 0) {
    vec2 d = vec2_sub(p, edge->centre);
    double turn = edge->sweep ? 1 : -1;
    if (turn * vec2_cross(vec2_sub(edge->a, edge->centre), d) >= 0 &&
        turn * vec2_cross(d, vec2_sub(edge->b, edge->centre)) >= 0)
      return fabs(hypot(d.x, d.y) - edge->radius);
    return fmin(hypot(p.x - edge->a.x, p.y - edge->a.y), hypot(p.x - edge->b.x, p.y - edge->b.y));
  }
  vec2 way = vec2_sub(edge->b, edge->a), d = vec2_sub(p, edge->a);
  double length2 = vec2_dot(way, way);
  double share = length2 > 0 ? fmin(fmax(vec2_dot(d, way) / length2, 0), 1) : 0;
  vec2 off = vec2_sub(d, vec2_scale(way, share));
  return hypot(off.x, off.y);
}

static inline double path_distance(const struct drawn_path *path, vec2 p) {
  double best = INFINITY;
  for (size_t i = 0; i < path->count; i++)
    best = fmin(best, edge_distance(&path->edges[i], p));
  return best;
}

#endif
