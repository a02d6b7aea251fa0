/* near.c - a part's distance from metal with the head standing still.
 *
 * What no product of a level and an upright extent tells is found by halves: the place along a
 * slanted axis, and the shift along the torch (docs/verify.md). */
#include "verify/near.h"

#include <math.h>

static const double ENOUGH = 3;  /* mm of room that no look goes beyond */
static const double STRUCK = -1; /* mm: what lies so deep in metal has struck, however deep */

static vec3 point_of(const struct look *look, vec3 place, double shift) {
  double out = place.x + shift;
  return (vec3){look->h.x + out * look->torch.cos - place.y * look->torch.sin,
                look->h.y + out * look->torch.sin + place.y * look->torch.cos, look->z + place.z};
}

static double point_distance(const struct look *look, vec3 p, double radius) {
  return solid_distance(look->solid, look->standing, (vec2){p.x, p.y}, p.z, p.z, radius);
}

/* By how much a distance may be told too low: of what lacks room, which is a fault anyway, by a
 * fourth of what it lacks. */
static double give_of(const struct look *look, double best) {
  return fmax(NEAR_FINEST, (look->limit - best) / 4);
}

/* Least distance along a slanted axis, by halves; at most give_of() too low, or above `enough`,
 * or anything below STRUCK. */
static double axis_distance(const struct look *look, vec3 a, vec3 b, double radius, double *best,
                            double enough) {
  vec3 middle = {(a.x + b.x) / 2, (a.y + b.y) / 2, (a.z + b.z) / 2};
  double half =
      sqrt((b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y) + (b.z - a.z) * (b.z - a.z)) / 2;
  double d = point_distance(look, middle, radius);
  *best = fmin(*best, d);
  if (*best < STRUCK)
    return *best;
  double bound = d - half;
  if (bound >= enough || bound >= *best - give_of(look, *best) || half < NEAR_FINEST / 2)
    return bound;
  return fmin(axis_distance(look, a, middle, radius, best, enough),
              axis_distance(look, middle, b, radius, best, enough));
}

static double capsule_distance(const struct look *look, const struct capsule *capsule, double shift,
                               double enough) {
  vec3 a = point_of(look, capsule->from, shift), b = point_of(look, capsule->to, shift);
  if (a.x == b.x && a.y == b.y)
    return solid_distance(look->solid, look->standing, (vec2){a.x, a.y}, fmin(a.z, b.z),
                          fmax(a.z, b.z), capsule->radius);
  double at_a = point_distance(look, a, capsule->radius);
  double at_b = point_distance(look, b, capsule->radius);
  double best = fmin(at_a, at_b);
  return fmin(best, axis_distance(look, a, b, capsule->radius, &best, enough));
}

static double bodies_distance(const struct look *look, double shift) {
  const struct cell *cell = look->cell;
  double least = INFINITY;
  vec3 axis = point_of(look, (vec3){0, 0, 0}, shift);
  for (size_t i = 0; i < cell->body_count; i++)
    least =
        fmin(least, solid_distance(look->solid, look->standing, (vec2){axis.x, axis.y},
                                   look->z + cell->bodies[i].heights.lo,
                                   look->z + cell->bodies[i].heights.hi, cell->bodies[i].radius));
  return least;
}

static double torch_distance(const struct look *look, double shift, double enough) {
  const struct cell *cell = look->cell;
  double least = capsule_distance(look, &cell->torch, shift, enough);
  for (size_t i = 0; i < cell->guard_count; i++)
    least = fmin(least, capsule_distance(look, &cell->guards[i], shift, enough));
  return least;
}

static double group_distance(const struct look *look, double shift, double enough) {
  const struct cell *cell = look->cell;
  switch (look->id) {
  case GROUP_BODIES:
    return bodies_distance(look, shift);
  case GROUP_TORCH:
    return torch_distance(look, shift, enough);
  case GROUP_ELECTRODE:
  case GROUP_COUNT:
    break;
  }
  return capsule_distance(
      look, &(struct capsule){"", cell->electrode_from, cell->electrode_to, 0, {{0}, NULL, 0}}, 0,
      enough);
}

/* Least over the shifts from .. to; *best: the least that was seen. */
static double shifted_distance(const struct look *look, double from, double to, double *best) {
  double enough = look->limit + ENOUGH;
  double half = (to - from) / 2, d = group_distance(look, from + half, enough + half);
  *best = fmin(*best, d);
  if (*best < STRUCK)
    return *best;
  double bound = d - half, give = fmax(give_of(look, *best), (*best - look->limit) / 4);
  if (bound >= enough || bound >= *best - give || half < NEAR_FINEST)
    return bound;
  return fmin(shifted_distance(look, from, from + half, best),
              shifted_distance(look, from + half, to, best));
}

double look_distance(const struct look *look) {
  double shift = look->shift, enough = look->limit + ENOUGH;
  double middle = group_distance(look, 0, enough + shift);
  if (shift == 0 || middle - shift >= enough)
    return middle - shift;
  double best = fmin(group_distance(look, -shift, enough), group_distance(look, shift, enough));
  return fmin(best, shifted_distance(look, -shift, shift, &best));
}
