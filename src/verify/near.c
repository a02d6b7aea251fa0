/* near.c - a part's distance from metal with the head standing still.
 *
 * What no product of a level and an upright extent tells is found by halves: the place along a
 * slanted axis, and the shift along the torch.  Half a stretch is four times as sure of its least,
 * so that few halves do, however much of a part lies beside the metal (docs/verify.md). */
#include "verify/near.h"

#include <math.h>

static const double ENOUGH = 3;  /* mm of room that no look goes beyond */
static const double STRUCK = -1; /* mm: what lies so deep in metal has struck, however deep */

static vec3 point_of(const struct look *look, vec3 place, double shift) {
  double out = place.x + shift;
  return (vec3){look->h.x + out * look->torch.cos - place.y * look->torch.sin,
                look->h.y + out * look->torch.sin + place.y * look->torch.cos, look->z + place.z};
}

/* -- bounds ------------------------------------------------------------------------------------ */

/* Least of a distance that is at_from and at_to at the ends of a way along which all points of the
 * part go straight; both may be told too low.  radius: of a round part, which both leave out.
 * docs/verify.md, "Clearance". */
static double least_between(double way, double at_from, double at_to, double radius) {
  double least = (at_from + at_to - way) / 2, axis = least + radius;
  if (!(axis > 0))
    return least;
  double sag = way * way / (2 * axis), apart = fabs(at_to - at_from);
  double below = sag > apart ? (sag - apart) * (sag - apart) / (4 * sag) : 0;
  return fmax(least, fmin(at_from, at_to) - below);
}

/* By how much a distance may be told too low: of what lacks room, which is a fault anyway, by a
 * fourth of what it lacks; of the room, by an eighth along an axis and as much over the shifts. */
static double give_of(const struct look *look, double best) {
  double lacks = (look->limit - best) / 4, room = (best - look->limit) / 8;
  return fmax(NEAR_FINEST, fmax(lacks, room));
}

/* Nothing nearer than what was seen is to be looked for on a way with this bound. */
static bool is_settled(const struct look *look, double bound, double best, double enough,
                       double way) {
  return bound >= enough || bound >= best - give_of(look, best) || way < NEAR_FINEST;
}

/* -- along an axis ----------------------------------------------------------------------------- */

/* A capsule is its axis with a ball added. */
static double axis_place(const struct look *look, vec3 p, double radius) {
  return solid_distance(look->solid, look->standing, (vec2){p.x, p.y}, p.z, p.z, 0) - radius;
}

/* Part of a capsule's axis, and the capsule's distance at both ends. */
struct piece {
  vec3 from, to;
  double at_from, at_to, radius;
};

static double length_of(const struct piece *piece) {
  double x = piece->to.x - piece->from.x, y = piece->to.y - piece->from.y,
         z = piece->to.z - piece->from.z;
  return sqrt(x * x + y * y + z * z);
}

static vec3 middle_of(const struct piece *piece) {
  return (vec3){(piece->from.x + piece->to.x) / 2, (piece->from.y + piece->to.y) / 2,
                (piece->from.z + piece->to.z) / 2};
}

/* The piece lies in an upright cylinder about its middle, which over or under metal is as near as
 * the piece itself. */
static double cylinder_distance(const struct look *look, const struct piece *piece) {
  vec3 middle = middle_of(piece);
  double x = piece->to.x - middle.x, y = piece->to.y - middle.y;
  return solid_distance(look->solid, look->standing, (vec2){middle.x, middle.y},
                        fmin(piece->from.z, piece->to.z), fmax(piece->from.z, piece->to.z),
                        sqrt(x * x + y * y)) -
         piece->radius;
}

/* Least distance along the axis, by halves; *best: the least that was seen.  At most give_of() too
 * low, or above `enough`, or anything below STRUCK. */
static double axis_distance(const struct look *look, const struct piece *piece, double *best,
                            double enough) {
  if (*best < STRUCK)
    return *best;
  double way = length_of(piece);
  double bound = least_between(way, piece->at_from, piece->at_to, piece->radius);
  if (is_settled(look, bound, *best, enough, way))
    return bound;
  bound = fmax(bound, cylinder_distance(look, piece));
  if (is_settled(look, bound, *best, enough, way))
    return bound;
  struct piece first = *piece, second = *piece;
  first.to = second.from = middle_of(piece);
  first.at_to = second.at_from = axis_place(look, first.to, piece->radius);
  *best = fmin(*best, first.at_to);
  double least = axis_distance(look, &first, best, enough);
  return fmin(least, axis_distance(look, &second, best, enough));
}

/* As far as it may be less than `best`, which others have met. */
static double capsule_distance(const struct look *look, const struct capsule *capsule, double shift,
                               double best, double enough) {
  struct piece piece = {.from = point_of(look, capsule->from, shift),
                        .to = point_of(look, capsule->to, shift),
                        .radius = capsule->radius};
  if (piece.from.x == piece.to.x && piece.from.y == piece.to.y)
    return solid_distance(look->solid, look->standing, (vec2){piece.from.x, piece.from.y},
                          fmin(piece.from.z, piece.to.z), fmax(piece.from.z, piece.to.z), 0) -
           piece.radius;
  piece.at_from = axis_place(look, piece.from, piece.radius);
  piece.at_to = axis_place(look, piece.to, piece.radius);
  best = fmin(best, fmin(piece.at_from, piece.at_to));
  double least = axis_distance(look, &piece, &best, enough);
  return fmin(best, least);
}

/* -- groups ------------------------------------------------------------------------------------ */

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
  double least = capsule_distance(look, &cell->torch, shift, INFINITY, enough);
  for (size_t i = 0; i < cell->guard_count; i++)
    least = fmin(least, capsule_distance(look, &cell->guards[i], shift, least, enough));
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
  struct capsule electrode = {.from = cell->electrode_from, .to = cell->electrode_to};
  return capsule_distance(look, &electrode, 0, INFINITY, enough);
}

/* -- shifts ------------------------------------------------------------------------------------ */

/* The least radius of those parts of the group that are round all about. */
static double radius_of(const struct look *look) {
  const struct cell *cell = look->cell;
  double least = look->id == GROUP_TORCH ? cell->torch.radius : 0;
  for (size_t i = 0; i < cell->guard_count; i++)
    least = fmin(least, cell->guards[i].radius);
  return least;
}

/* Shifts from .. to, and the group's distance at both. */
struct shifts {
  double from, to, at_from, at_to;
};

static double shifted_distance(const struct look *look, const struct shifts *shifts, double *best) {
  double enough = look->limit + ENOUGH, way = shifts->to - shifts->from;
  if (*best < STRUCK)
    return *best;
  double bound = least_between(way, shifts->at_from, shifts->at_to, radius_of(look));
  if (is_settled(look, bound, *best, enough, way))
    return bound;
  struct shifts first = *shifts, second = *shifts;
  first.to = second.from = (shifts->from + shifts->to) / 2;
  first.at_to = second.at_from = group_distance(look, first.to, enough);
  *best = fmin(*best, first.at_to);
  double least = shifted_distance(look, &first, best);
  return fmin(least, shifted_distance(look, &second, best));
}

double look_distance(const struct look *look) {
  double shift = look->shift, enough = look->limit + ENOUGH;
  double middle = group_distance(look, 0, enough + shift);
  if (shift == 0 || middle - shift >= enough)
    return middle - shift;
  struct shifts in = {-shift, 0, group_distance(look, -shift, enough), middle};
  struct shifts out = {0, shift, middle, group_distance(look, shift, enough)};
  double best = fmin(middle, fmin(in.at_from, out.at_to));
  double least = shifted_distance(look, &in, &best);
  return fmin(best, fmin(least, shifted_distance(look, &out, &best)));
}
