/* zone_wall.c - stretches of s, and the curve in which a cross bore meets the wall. */
#include "draw/zone_wall.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

static void add_wrapped(struct stretches *set, const struct contour *contour, double from,
                        double to) {
  double turns;
  if (!(from < to))
    return;
  if (to - from >= contour->perimeter) {
    stretches_add(set, 0, contour->perimeter);
    return;
  }
  double begin = contour_wrap(contour, from, &turns);
  stretches_add(set, begin, begin + (to - from));
}

static struct stretches of_angles(struct arena *arena, const struct contour *contour,
                                  const struct zone *zone, double part_turned, double margin) {
  struct stretches set = {.arena = arena};
  struct range seen = {zone->angles.lo + part_turned, zone->angles.hi + part_turned};
  struct contour_stretch *parts;
  size_t count = contour_sector_or_place(arena, contour, seen, &parts);
  for (size_t i = 0; i < count; i++) {
    double more = parts[i].to - parts[i].from >= contour->perimeter ? 0 : margin;
    add_wrapped(&set, contour, parts[i].from - more, parts[i].to + more);
  }
  return set;
}

/* The same set with what reaches beyond the turn also at the turn's begin. */
static struct stretches unwrapped(const struct stretches *set, double perimeter) {
  struct stretches both = {.arena = set->arena};
  for (int k = -1; k <= 1; k++)
    for (size_t i = 0; i < set->count; i++)
      stretches_add(&both, set->items[i].from + k * perimeter, set->items[i].to + k * perimeter);
  return both;
}

struct stretches zone_along(struct arena *arena, const struct contour *contour,
                            const struct zone *zone, double part_turned, double margin) {
  struct stretches set = {.arena = arena};
  stretches_add(&set, 0, contour->perimeter);
  if (zone->has_along) {
    struct stretches along = {.arena = arena};
    add_wrapped(&along, contour, zone->along.lo - margin, zone->along.hi + margin);
    along = unwrapped(&along, contour->perimeter);
    set = stretches_meet(&set, &along);
  }
  if (zone->has_angles) {
    struct stretches angles = of_angles(arena, contour, zone, part_turned, margin);
    angles = unwrapped(&angles, contour->perimeter);
    set = stretches_meet(&set, &angles);
  }
  return set;
}

struct range zone_depths(const struct zone *zone, struct range band, double margin) {
  if (!zone->has_depths)
    return band;
  return (struct range){zone->depths.lo - margin, zone->depths.hi + margin};
}

/* -- cross bores ----------------------------------------------------------------------------- */

struct port {
  const struct contour *contour;
  vec2 from, toward;
  double radius, depth;
};

/* How far inside the cylinder's level width the wall lies at s; < 0: outside, or behind. */
static double inside(const struct port *port, double s) {
  vec2 at = vec2_sub(contour_at(port->contour, s, 0).at, port->from);
  double ahead = vec2_dot(at, port->toward);
  return fmin(port->radius - fabs(vec2_cross(port->toward, at)), ahead);
}

/* Edge between s = a (outside) and b (inside). */
static double edge_between(const struct port *port, double a, double b) {
  for (int i = 0; i < 60; i++) {
    double mid = (a + b) / 2;
    if (inside(port, mid) > 0)
      b = mid;
    else
      a = mid;
  }
  return b;
}

enum { MOUTH_POINTS = 48, STEPS = 2000 };

static struct mouth mouth_make(struct arena *arena, const struct port *port, double from,
                               double to) {
  struct mouth mouth = {arena_alloc(arena, 2 * MOUTH_POINTS, sizeof *mouth.points),
                        2 * MOUTH_POINTS};
  for (int i = 0; i < MOUTH_POINTS; i++) {
    /* Denser towards the ends, where the outline turns upright. */
    double c = num_sincos(NUM_PI * i / (MOUTH_POINTS - 1)).cos;
    double s = (from + to) / 2 - (to - from) / 2 * c;
    vec2 at = vec2_sub(contour_at(port->contour, s, 0).at, port->from);
    double level = vec2_cross(port->toward, at);
    double half = sqrt(fmax(port->radius * port->radius - level * level, 0));
    mouth.points[i] = (vec2){s, port->depth - half};
    mouth.points[2 * MOUTH_POINTS - 1 - i] = (vec2){s, port->depth + half};
  }
  return mouth;
}

size_t zone_mouths(struct arena *arena, const struct contour *contour, const struct zone *zone,
                   double part_turned, double margin, struct mouth **mouths) {
  struct sincos way = num_sincos(zone->bore_toward + part_turned);
  struct port port = {contour,
                      contour->centre,
                      {way.cos, way.sin},
                      zone->bore_diameter / 2 + margin,
                      zone->bore_depth};
  size_t count = 0;
  *mouths = arena_alloc(arena, STEPS, sizeof **mouths);
  double step = contour->perimeter / STEPS, first = 0;
  while (first < contour->perimeter && inside(&port, first) > 0)
    first += step; /* begin outside, so that no mouth is cut by s = 0 */
  double from = 0;
  bool in = false;
  for (int i = 1; i <= STEPS; i++) {
    double s = first + i * step;
    bool now = inside(&port, s) > 0;
    if (now && !in)
      from = edge_between(&port, s - step, s);
    else if (in && !now)
      (*mouths)[count++] = mouth_make(arena, &port, from, edge_between(&port, s, s - step));
    in = now;
  }
  return count;
}
