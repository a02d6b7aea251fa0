/* part.c - bodies, capsules and the electrode at one pose, over all shifts.
 *
 * What a part sweeps when it shifts is an upright solid again where its axis stands upright or lies
 * along the shift, and then the distance is exact.  Elsewhere the shift is searched by halves. */
#include "clear/part.h"

#include <math.h>

#include "borelay/num.h"

static double capsule_lever(const struct part *part) {
  double lever = 0;
  const vec3 ends[2] = {part->from, part->to};
  for (int i = 0; i < 2; i++) {
    double out = fabs(ends[i].x) + part->shift, far = num_hypot(out, ends[i].y);
    if (far > lever)
      lever = far;
  }
  return lever;
}

static struct part part_capsule(const struct capsule *capsule, enum clear_part kind, size_t index,
                                double shift) {
  struct part part = {kind, index, capsule->from, capsule->to, capsule->radius, shift, 0};
  part.lever = capsule_lever(&part);
  return part;
}

struct part part_body(const struct cell *cell, size_t index, bool shifted) {
  const struct body *body = &cell->bodies[index];
  double shift = shifted ? cell->correction : 0;
  return (struct part){
      CLEAR_BODY, index, {0, 0, body->heights.lo}, {0, 0, body->heights.hi}, body->radius,
      shift,      shift};
}

struct part part_torch(const struct cell *cell, bool shifted) {
  return part_capsule(&cell->torch, CLEAR_TORCH, 0, shifted ? cell->correction : 0);
}

struct part part_guard(const struct cell *cell, size_t index, bool shifted) {
  return part_capsule(&cell->guards[index], CLEAR_GUARD, index, shifted ? cell->correction : 0);
}

struct part part_electrode(const struct cell *cell) {
  struct capsule line = {.from = cell->electrode_from, .to = cell->electrode_to};
  return part_capsule(&line, CLEAR_ELECTRODE, 0, 0);
}

/* -- at a pose ------------------------------------------------------------------ */

struct stand { /* the head at a pose */
  struct pose pose;
  struct sincos along;
};

static vec3 carried(const struct stand *stand, vec3 local) {
  double c = stand->along.cos, s = stand->along.sin;
  return (vec3){stand->pose.x + local.x * c - local.y * s,
                stand->pose.y + local.x * s + local.y * c, stand->pose.z + local.z};
}

static vec3 pushed(vec3 local, double out) {
  return (vec3){local.x + out, local.y, local.z};
}
static vec2 level(vec3 p) {
  return (vec2){p.x, p.y};
}

static struct metal_hit at_shift(const struct part *part, const struct metal *metal,
                                 const struct stand *stand, double shift, double tolerance) {
  return metal_distance_segment(metal, carried(stand, pushed(part->from, shift)),
                                carried(stand, pushed(part->to, shift)), tolerance);
}

struct search {
  const struct part *part;
  const struct metal *metal;
  const struct stand *stand;
  double tolerance;
  struct metal_hit least;
  double floor; /* least bound of what was left unsearched */
};

static double visit(struct search *search, double shift) {
  struct metal_hit hit =
      at_shift(search->part, search->metal, search->stand, shift, search->tolerance);
  if (hit.distance < search->least.distance)
    search->least = hit;
  return hit.distance;
}

static void halve(struct search *search, double c0, double d0, double c1, double d1) {
  double lower = distance_dip(d0, d1, c1 - c0, 1, 0);
  if (lower >= search->least.distance - search->tolerance) {
    search->floor = lower < search->floor ? lower : search->floor;
    return;
  }
  double c = 0.5 * (c0 + c1);
  if (!(c0 < c && c < c1)) { /* no distance that is a number gets here */
    search->least.distance = search->floor = 0;
    return;
  }
  double d = visit(search, c);
  halve(search, c0, d0, c, d);
  halve(search, c, d, c1, d1);
}

static struct metal_hit over_shifts(const struct part *part, const struct metal *metal,
                                    const struct stand *stand, double tolerance) {
  struct search search = {part, metal, stand, 0.5 * tolerance, {.distance = HUGE_VAL}, HUGE_VAL};
  double out = visit(&search, part->shift), back = visit(&search, -part->shift);
  if (!isinf(out))
    halve(&search, -part->shift, back, part->shift, out);
  if (search.floor < search.least.distance)
    search.least.distance = search.floor;
  return search.least;
}

struct metal_hit part_distance(const struct part *part, const struct metal *metal, struct pose pose,
                               double tolerance) {
  struct stand stand = {pose, num_sincos(pose.head)};
  bool is_body = part->kind == CLEAR_BODY, from_inner = part->from.x < part->to.x;
  vec3 inner = from_inner ? part->from : part->to, outer = from_inner ? part->to : part->from;
  bool upright = part->from.x == part->to.x && part->from.y == part->to.y;
  bool lies_along = part->from.y == part->to.y && part->from.z == part->to.z;
  if (part->shift == 0 && !is_body)
    return at_shift(part, metal, &stand, 0, tolerance);
  if (!upright && !lies_along)
    return over_shifts(part, metal, &stand, tolerance);
  double z_lo = fmin(inner.z, outer.z), z_hi = fmax(inner.z, outer.z);
  return metal_distance_upright(metal, level(carried(&stand, pushed(inner, -part->shift))),
                                level(carried(&stand, pushed(outer, part->shift))),
                                is_body ? part->radius : 0, pose.z + z_lo, pose.z + z_hi);
}
