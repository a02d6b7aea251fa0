/* strip.c - from the one end of some edges to the other, along the longer side of their box.
 *
 * A point of an edge's chord, or of another strip's middle, is no farther from the segment than the
 * farther of its ends, for the distance from a segment is convex; an arc leaves its chord by its
 * sagitta, all of another strip its middle by half its width. */
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

/* A strip along the longer side of a box, to which points are then added. */
struct extent {
  bool wide;
  struct strip strip;
};

static struct extent extent_begin(struct box box, vec2 first) {
  return (struct extent){box.hi.x - box.lo.x >= box.hi.y - box.lo.y, {first, first, 0}};
}

static void extent_add(struct extent *extent, vec2 p) {
  struct strip *strip = &extent->strip;
  strip->a = along(p, extent->wide) < along(strip->a, extent->wide) ? p : strip->a;
  strip->b = along(p, extent->wide) > along(strip->b, extent->wide) ? p : strip->b;
}

/* All within `beyond` of the straight from p to q. */
static void take_in(struct strip *strip, vec2 p, vec2 q, double beyond) {
  struct edge middle = {.a = strip->a, .b = strip->b};
  double from_p = edge_distance_point(&middle, p), from_q = edge_distance_point(&middle, q);
  strip->half = fmax(strip->half, fmax(from_p, from_q) + beyond);
}

struct strip strip_of(const struct edge *edges, size_t count) {
  struct box box = edges[0].box;
  for (size_t i = 1; i < count; i++)
    box = box_join(box, edges[i].box);
  struct extent extent = extent_begin(box, edges[0].a);
  for (size_t i = 0; i < count; i++) {
    extent_add(&extent, edges[i].a);
    extent_add(&extent, edges[i].b);
  }
  for (size_t i = 0; i < count; i++)
    take_in(&extent.strip, edges[i].a, edges[i].b, sagitta(&edges[i]));
  return extent.strip;
}

struct strip strip_join(const struct strip *a, const struct strip *b) {
  struct extent extent = extent_begin(box_join(box_of(a->a, a->b), box_of(b->a, b->b)), a->a);
  extent_add(&extent, a->b);
  extent_add(&extent, b->a);
  extent_add(&extent, b->b);
  take_in(&extent.strip, a->a, a->b, a->half);
  take_in(&extent.strip, b->a, b->b, b->half);
  return extent.strip;
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
