/* strip.c - from the one end of some edges to the other, along the longer side of their box.
 *
 * A point of an edge's chord is no farther from the segment than the farther of the chord's ends,
 * for the distance from a segment is convex; an arc leaves its chord by its sagitta. */
#include "metal/strip.h"

#include <math.h>

#include "borelay/num.h"

static double sagitta(const struct edge *edge) {
  vec2 chord = vec2_sub(edge->b, edge->a);
  double half2 = vec2_dot(chord, chord) / 4, radius = edge->radius;
  return radius == 0 ? 0 : radius - sqrt(fmax(0, radius * radius - half2));
}

static double along(vec2 p, bool wide) {
  return wide ? p.x : p.y;
}

struct strip strip_of(const struct edge *edges, size_t count) {
  struct box box = edges[0].box;
  for (size_t i = 1; i < count; i++)
    box = box_join(box, edges[i].box);
  bool wide = box.hi.x - box.lo.x >= box.hi.y - box.lo.y;
  struct strip strip = {edges[0].a, edges[0].a, 0};
  for (size_t i = 0; i < count; i++) {
    const vec2 ends[2] = {edges[i].a, edges[i].b};
    for (int k = 0; k < 2; k++) {
      strip.a = along(ends[k], wide) < along(strip.a, wide) ? ends[k] : strip.a;
      strip.b = along(ends[k], wide) > along(strip.b, wide) ? ends[k] : strip.b;
    }
  }
  struct edge middle = edge_line(strip.a, strip.b);
  for (size_t i = 0; i < count; i++) {
    double a = edge_distance_point(&middle, edges[i].a);
    double b = edge_distance_point(&middle, edges[i].b);
    strip.half = fmax(strip.half, fmax(a, b) + sagitta(&edges[i]));
  }
  return strip;
}

double strip_nearest(const struct strip *strip, vec2 p) {
  struct edge middle = {.a = strip->a, .b = strip->b};
  return fmax(0, edge_distance_point(&middle, p) - strip->half);
}

double strip_farthest(const struct strip *strip, vec2 p) {
  double a = num_hypot(strip->a.x - p.x, strip->a.y - p.y);
  double b = num_hypot(strip->b.x - p.x, strip->b.y - p.y);
  return fmax(a, b) + strip->half;
}
