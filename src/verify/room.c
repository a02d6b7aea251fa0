/* room.c - zones as distances.  Every region tells how deep a place lies in it; the least of a
 * zone's regions is the zone's, and zones combine as docs/language.md says. */
#include "verify/room.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

enum { ENDS = 130 };

struct sight { /* the contour seen between two rays: ends[i] .. ends[i + 1] lies inside as told */
  double ends[ENDS];
  bool inside[ENDS];
  size_t count;
  bool is_all;
};

struct arc_room {
  const struct overlay *overlay;
  const struct wall *wall;
  struct sight *sights; /* one a zone; of those with angles */
};

static void sort(double *values, size_t count) {
  for (size_t i = 1; i < count; i++)
    for (size_t k = i; k > 0 && values[k] < values[k - 1]; k--) {
      double keep = values[k];
      values[k] = values[k - 1];
      values[k - 1] = keep;
    }
}

static double turned_into(double value, double whole) {
  return value - whole * floor(value / whole);
}

static bool sees(const struct wall *wall, struct range angles, double s) {
  vec2 v = vec2_sub(wall_spot(wall, s).at, wall->centre);
  return turned_into(num_atan2(v.y, v.x) - angles.lo, NUM_TURN) <= angles.hi - angles.lo;
}

/* A ray alone holds its own places and nothing between them; two ends so near are one place. */
static const double RAY_RAD = 1e-9, SAME_PLACE = 1e-6;

static void sight_make(struct sight *sight, const struct wall *wall, struct range angles) {
  sight->is_all = angles.hi - angles.lo >= NUM_TURN - 1e-12;
  size_t lo = wall_ray(wall, angles.lo, sight->ends, ENDS / 2);
  lo = lo < ENDS / 2 ? lo : ENDS / 2;
  size_t hi = wall_ray(wall, angles.hi, sight->ends + lo, ENDS / 2);
  sight->count = lo + (hi < ENDS / 2 ? hi : ENDS / 2);
  sort(sight->ends, sight->count);
  for (size_t i = 0; i < sight->count; i++) {
    double next = i + 1 < sight->count ? sight->ends[i + 1] : sight->ends[0] + wall->perimeter;
    bool is_ray = angles.hi - angles.lo <= RAY_RAD;
    sight->inside[i] = is_ray ? next - sight->ends[i] <= SAME_PLACE
                              : sees(wall, angles, (sight->ends[i] + next) / 2);
  }
}

const struct arc_room *arc_room_make(struct arena *arena, const struct overlay *overlay,
                                     const struct wall *wall) {
  if (overlay->zone_count == 0)
    return NULL;
  struct arc_room *room = arena_alloc(arena, 1, sizeof *room);
  room->overlay = overlay;
  room->wall = wall;
  room->sights = arena_alloc(arena, overlay->zone_count, sizeof *room->sights);
  for (size_t i = 0; i < overlay->zone_count; i++)
    if (overlay->zones[i].has_angles)
      sight_make(&room->sights[i], wall, overlay->zones[i].angles);
  return room;
}

/* Positive inside the stretch lo .. hi of a closed contour. */
static double in_stretch(double s, double lo, double hi, double whole) {
  if (hi - lo >= whole - 1e-9)
    return INFINITY;
  double from = turned_into(s - lo, whole), width = hi - lo;
  return from <= width ? fmin(from, width - from) : -fmin(from - width, whole - from);
}

static double in_sight(const struct sight *sight, const struct wall *wall, double s) {
  if (sight->is_all)
    return INFINITY;
  double nearest = INFINITY, at = turned_into(s, wall->perimeter);
  bool inside = false;
  for (size_t i = 0; i < sight->count; i++) {
    size_t after = (i + 1) % sight->count;
    double width = turned_into(sight->ends[after] - sight->ends[i], wall->perimeter);
    double from = turned_into(at - sight->ends[i], wall->perimeter);
    size_t before = (i + sight->count - 1) % sight->count;
    if (from < width || sight->count == 1)
      inside = sight->inside[i];
    if (sight->inside[i] != sight->inside[before]) /* an edge in truth */
      nearest = fmin(nearest, fmin(from, wall->perimeter - from));
  }
  return inside ? nearest : -nearest;
}

/* Radius less the distance from the bore's axis, a ray from the shape's centre. */
static double in_bore(const struct zone *zone, const struct wall *wall, double s, double depth) {
  vec2 v = vec2_sub(wall_spot(wall, s).at, wall->centre);
  struct sincos sc = num_sincos(zone->bore_toward);
  double ahead = v.x * sc.cos + v.y * sc.sin, beside = v.y * sc.cos - v.x * sc.sin;
  double back = ahead < 0 ? ahead : 0, below = depth - zone->bore_depth;
  return zone->bore_diameter / 2 - sqrt(beside * beside + back * back + below * below);
}

/* Of the depths that a sway about `depth` reaches, the one that lies deepest in a region about
 * `middle`, for a zone that keeps the arc out; for one that lets it be on, the one that lies least
 * in it. */
static double reached(double depth, double half_sway, double middle, bool is_on) {
  double off = depth - middle, far = fabs(off) + half_sway;
  if (is_on)
    return off < 0 ? middle - far : middle + far;
  double near = fabs(off) - half_sway;
  return near <= 0 ? middle : off < 0 ? middle - near : middle + near;
}

static double in_zone(const struct arc_room *room, size_t index, double s, double depth,
                      double half_sway) {
  const struct zone *zone = &room->overlay->zones[index];
  const struct wall *wall = room->wall;
  double in = INFINITY;
  if (zone->has_angles)
    in = fmin(in, in_sight(&room->sights[index], wall, s));
  if (zone->has_along)
    in = fmin(in, in_stretch(s, zone->along.lo, zone->along.hi, wall->perimeter));
  if (zone->has_depths) {
    double edge = fmin(depth - zone->depths.lo, zone->depths.hi - depth);
    in = fmin(in, zone->is_on ? edge - half_sway : edge + half_sway);
  }
  if (zone->has_cross_bore)
    in = fmin(in, in_bore(zone, wall, s,
                          half_sway > 0 ? reached(depth, half_sway, zone->bore_depth, zone->is_on)
                                        : depth));
  return in + (zone->is_on ? -zone->margin : zone->margin);
}

double arc_room_at(const struct arc_room *room, double s, double depth,
                   const struct zone **decides) {
  return arc_room_about(room, s, depth, 0, decides);
}

double arc_room_about(const struct arc_room *room, double s, double depth, double half_sway,
                      const struct zone **decides) {
  double on = -INFINITY, off = INFINITY;
  const struct zone *on_zone = NULL, *off_zone = NULL;
  for (size_t i = 0; room && i < room->overlay->zone_count; i++) {
    const struct zone *zone = &room->overlay->zones[i];
    double in = in_zone(room, i, s, depth, half_sway);
    if (zone->is_on && (!on_zone || in > on)) {
      on = in;
      on_zone = zone;
    } else if (!zone->is_on && (!off_zone || -in < off)) {
      off = -in;
      off_zone = zone;
    }
  }
  bool on_decides = on_zone && on < off;
  if (decides)
    *decides = on_decides ? on_zone : off_zone;
  return on_decides ? on : off;
}
