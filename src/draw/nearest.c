/* nearest.c - rectangles of metal against rectangles and capsules of the head, in the plane. */
#include "draw/nearest.h"

#include <math.h>

#include "borelay/num.h"

static double clamp(double x, struct range range) {
  return fmin(fmax(x, range.lo), range.hi);
}

static void take(struct nearest *best, vec2 head, vec2 metal, double less, const char *part,
                 bool is_body) {
  vec2 way = vec2_sub(metal, head);
  double length = num_hypot(way.x, way.y);
  if (length - less >= best->distance)
    return;
  if (length > 1e-12) /* from the surface, not from the axis */
    head = vec2_add(head, vec2_scale(way, fmin(less / length, 1)));
  *best = (struct nearest){fmax(length - less, 0), head, metal, part, is_body};
}

/* A place of a against the nearest of b, where both are stretches of one axis. */
static double facing(struct range a, struct range b) {
  if (a.hi < b.lo)
    return a.hi;
  if (b.hi < a.lo)
    return a.lo;
  return (fmax(a.lo, b.lo) + fmin(a.hi, b.hi)) / 2;
}

static void body_take(struct nearest *best, const struct body *body, double z,
                      const struct slab_part *part) {
  struct range out = {-body->radius, body->radius};
  struct range depths = {-z - body->heights.hi, -z - body->heights.lo};
  vec2 head = {facing(out, part->out), facing(depths, part->depths)};
  vec2 metal = {clamp(head.x, part->out), clamp(head.y, part->depths)};
  take(best, head, metal, 0, body->name, true);
}

static vec2 on_segment(vec2 a, vec2 b, vec2 p) {
  vec2 way = vec2_sub(b, a);
  double length2 = vec2_dot(way, way);
  double share = length2 > 0 ? vec2_dot(vec2_sub(p, a), way) / length2 : 0;
  return vec2_add(a, vec2_scale(way, fmin(fmax(share, 0), 1)));
}

/* Nearest pairs of a straight and a rectangle that do not meet: an end of the straight, or a corner
 * of the rectangle.  Where they meet, a place of the straight inside it. */
static void straight_take(struct nearest *best, vec2 a, vec2 b, double radius,
                          const struct slab_part *part, const char *name) {
  const vec2 ends[] = {a, b, vec2_scale(vec2_add(a, b), 0.5)};
  for (size_t i = 0; i < 3; i++)
    take(best, ends[i], (vec2){clamp(ends[i].x, part->out), clamp(ends[i].y, part->depths)}, radius,
         name, false);
  for (int i = 0; i < 4; i++) {
    vec2 corner = {i & 1 ? part->out.lo : part->out.hi, i & 2 ? part->depths.lo : part->depths.hi};
    take(best, on_segment(a, b, corner), corner, radius, name, false);
  }
}

struct nearest nearest_find(const struct cell *cell, double z, const struct slab_part *parts,
                            size_t count) {
  struct nearest best = {.distance = HUGE_VAL};
  for (size_t i = 0; i < count; i++) {
    for (size_t k = 0; k < cell->body_count; k++)
      body_take(&best, &cell->bodies[k], z, &parts[i]);
    vec2 a = {cell->torch.from.x, -z - cell->torch.from.z};
    vec2 b = {cell->torch.to.x, -z - cell->torch.to.z};
    straight_take(&best, a, b, cell->torch.radius, &parts[i], "torch body");
  }
  return best;
}
