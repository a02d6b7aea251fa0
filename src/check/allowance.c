/* allowance.c - zones as depths inside them.
 *
 * Each region gives how far a place lies inside it (negative: how far outside): on the contour the
 * distance to the nearest end of its stretches, in depth that to the nearer of both depths, at a
 * cross bore its radius less the distance from the axis.  The margin is added to each for an off
 * zone and taken off for an on zone; a region without ends has none to move.  A place lies as far
 * inside a zone as inside that of its regions which holds it least.
 *
 * Where the tip sways by A, depths of an off zone reach out by A and those of an on zone are A
 * narrower; the distance in depth from a bore's axis counts less A, or nothing, for an off zone,
 * and A more for an on zone. */
#include "check/allowance.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

struct contour_region {
  bool is_whole;
  struct contour_stretch *parts;
  size_t count;
};

struct bore_region {
  vec2 from, toward; /* the axis: a level ray, cell frame */
  double depth, radius;
};

struct zone_region {
  const struct zone *zone;
  double margin; /* + off, - on */
  struct contour_region angles, along;
  struct bore_region bore;
};

struct allowance {
  const struct contour *contour;
  struct zone_region *zones;
  size_t count;
  bool any_on;
  double bend; /* 1 / smallest radius of the wall, 1/mm */
  double sway; /* to either side, mm */
};

/* -- regions laid on the wall ------------------------------------------------------------------ */

static struct contour_region angles_lay(struct arena *arena, const struct contour *contour,
                                        struct range angles, double part_turned) {
  struct range seen = {angles.lo + part_turned, angles.hi + part_turned};
  struct contour_region region = {0};
  region.count = contour_sector_or_place(arena, contour, seen, &region.parts);
  region.is_whole =
      region.count == 1 && region.parts[0].to - region.parts[0].from >= contour->perimeter;
  return region;
}

static struct contour_region along_lay(struct arena *arena, const struct contour *contour,
                                       struct range along) {
  struct contour_region region = {.parts = arena_alloc(arena, 1, sizeof *region.parts), .count = 1};
  double turns, from = contour_wrap(contour, along.lo, &turns);
  region.parts[0] = (struct contour_stretch){from, from + (along.hi - along.lo)};
  region.is_whole = along.hi - along.lo >= contour->perimeter;
  return region;
}

static struct zone_region zone_lay(struct arena *arena, const struct plan *plan,
                                   const struct contour *contour, const struct zone *zone) {
  double turned = plan->placement.turned;
  struct zone_region laid = {.zone = zone, .margin = zone->is_on ? -zone->margin : zone->margin};
  if (zone->has_angles)
    laid.angles = angles_lay(arena, contour, zone->angles, turned);
  if (zone->has_along)
    laid.along = along_lay(arena, contour, zone->along);
  if (zone->has_cross_bore) {
    struct sincos toward = num_sincos(zone->bore_toward + turned);
    laid.bore = (struct bore_region){
        contour->centre, {toward.cos, toward.sin}, zone->bore_depth, zone->bore_diameter / 2};
  }
  return laid;
}

const struct allowance *allowance_make(struct arena *arena, const struct plan *plan,
                                       const struct plan_overlay *overlay) {
  const struct overlay *source = overlay->overlay;
  if (source->zone_count == 0)
    return NULL;
  struct allowance *allowance = arena_alloc(arena, 1, sizeof *allowance);
  allowance->contour = overlay->contour;
  allowance->count = source->zone_count;
  allowance->zones = arena_alloc(arena, source->zone_count, sizeof *allowance->zones);
  for (size_t i = 0; i < overlay->contour->count; i++)
    if (overlay->contour->segs[i].turn != 0)
      allowance->bend = fmax(allowance->bend, 1 / overlay->contour->segs[i].radius);
  for (size_t i = 0; i < source->zone_count; i++) {
    allowance->zones[i] = zone_lay(arena, plan, overlay->contour, &source->zones[i]);
    allowance->any_on |= source->zones[i].is_on;
  }
  return allowance;
}

const struct allowance *allowance_swaying(struct arena *arena, const struct allowance *allowance,
                                          double half_sway) {
  if (!allowance || half_sway == 0)
    return allowance;
  struct allowance *made = arena_alloc(arena, 1, sizeof *made);
  *made = *allowance;
  made->sway = half_sway;
  return made;
}

/* -- how far inside ---------------------------------------------------------------------------- */

static struct range least_of(struct range a, struct range b) {
  return (struct range){fmin(a.lo, b.lo), fmin(a.hi, b.hi)};
}

static struct range most_of(struct range a, struct range b) {
  return (struct range){fmax(a.lo, b.lo), fmax(a.hi, b.hi)};
}

static double middle(struct range r) {
  return r.lo + (r.hi - r.lo) / 2;
}

/* Within one part the nearer end counts; the part that holds the place most decides. */
static struct range inside_contour(const struct contour *contour,
                                   const struct contour_region *region, struct range s) {
  if (region->is_whole)
    return (struct range){HUGE_VAL, HUGE_VAL};
  double turns, at = contour_wrap(contour, middle(s), &turns), most = -HUGE_VAL;
  for (size_t i = 0; i < region->count; i++)
    for (int k = -1; k <= 1; k++) {
      double from = region->parts[i].from + k * contour->perimeter;
      double to = region->parts[i].to + k * contour->perimeter;
      most = fmax(most, fmin(at - from, to - at));
    }
  double half = (s.hi - s.lo) / 2;
  return (struct range){most - half, most + half};
}

static struct range inside_depths(struct range depths, struct range at) {
  double centre = middle(depths), most = fmin(fmax(centre, at.lo), at.hi);
  double at_lo = fmin(at.lo - depths.lo, depths.hi - at.lo);
  double at_hi = fmin(at.hi - depths.lo, depths.hi - at.hi);
  return (struct range){fmin(at_lo, at_hi), fmin(most - depths.lo, depths.hi - most)};
}

static double square(double x) {
  return x * x;
}

/* Squared distance of the wall from the axis, seen from above, over a stretch of half length h
 * about s: g = v^2 beside the ray, and u^2 + v^2 behind its end.  Its slope is continuous and
 * changes by no more than M = 2 + 2 D / R per mm, D being the distance and R the smallest radius of
 * the wall; so g stays within |g'(s)| h + M h^2 / 2.  Nor does D change by more than h.  (The first
 * is what tells a wall that keeps its distance, as a round one does behind the ray's end.) */
static struct range bore_aside(const struct allowance *allowance, const struct bore_region *bore,
                               double s, double h) {
  struct contour_point at = contour_at(allowance->contour, s, 0);
  vec2 arm = vec2_sub(at.at, bore->from), way = {-at.normal.y, at.normal.x};
  double u = vec2_dot(arm, bore->toward), v = vec2_cross(bore->toward, arm);
  double g = v * v, slope = 2 * v * vec2_cross(bore->toward, way);
  if (u < 0) {
    g += u * u;
    slope += 2 * u * vec2_dot(way, bore->toward);
  }
  double off = sqrt(g), bend = 2 + 2 * (off + h) * allowance->bend;
  double by = fabs(slope) * h + bend * h * h / 2;
  return (struct range){fmax(g - by, square(fmax(off - h, 0))), fmin(g + by, square(off + h))};
}

/* sway: + an off zone's, - an on zone's */
static struct range inside_bore(const struct allowance *allowance, const struct bore_region *bore,
                                const struct wall_box *box, double sway) {
  struct range g = bore_aside(allowance, bore, middle(box->s), (box->s.hi - box->s.lo) / 2);
  double lo = box->depth.lo - bore->depth, hi = box->depth.hi - bore->depth;
  double least = fmax(fmax(fmax(lo, -hi), 0) - sway, 0), most = fmax(fmax(hi, -lo) - sway, 0);
  return (struct range){bore->radius - sqrt(g.hi + most * most),
                        bore->radius - sqrt(g.lo + least * least)};
}

static struct range inside_zone(const struct allowance *allowance, const struct zone_region *laid,
                                const struct wall_box *box) {
  const struct zone *zone = laid->zone;
  double sway = zone->is_on ? -allowance->sway : allowance->sway;
  struct range inside = {HUGE_VAL, HUGE_VAL};
  struct range depths = {zone->depths.lo - sway, zone->depths.hi + sway};
  if (zone->has_angles)
    inside = least_of(inside, inside_contour(allowance->contour, &laid->angles, box->s));
  if (zone->has_along)
    inside = least_of(inside, inside_contour(allowance->contour, &laid->along, box->s));
  if (zone->has_depths)
    inside = least_of(inside, inside_depths(depths, box->depth));
  if (zone->has_cross_bore)
    inside = least_of(inside, inside_bore(allowance, &laid->bore, box, sway));
  return (struct range){inside.lo + laid->margin, inside.hi + laid->margin};
}

struct range allowance_over(const struct allowance *allowance, struct wall_box box) {
  struct range off = {-HUGE_VAL, -HUGE_VAL}, on = off;
  for (size_t i = 0; i < allowance->count; i++) {
    struct range inside = inside_zone(allowance, &allowance->zones[i], &box);
    if (allowance->zones[i].zone->is_on)
      on = most_of(on, inside);
    else
      off = most_of(off, inside);
  }
  struct range outside_off = {-off.hi, -off.lo};
  return allowance->any_on ? least_of(on, outside_off) : outside_off;
}

static struct wall_box place(double s, double depth) {
  return (struct wall_box){{s, s}, {depth, depth}};
}

double allowance_at(const struct allowance *allowance, double s, double depth) {
  return allowance_over(allowance, place(s, depth)).lo;
}

const struct zone *allowance_zone(const struct allowance *allowance, double s, double depth) {
  struct wall_box at = place(s, depth);
  const struct zone *off = NULL, *on = NULL;
  double in_off = -HUGE_VAL, in_on = -HUGE_VAL;
  for (size_t i = 0; i < allowance->count; i++) {
    const struct zone *zone = allowance->zones[i].zone;
    double inside = inside_zone(allowance, &allowance->zones[i], &at).lo;
    if (zone->is_on && (!on || inside > in_on)) {
      on = zone;
      in_on = inside;
    } else if (!zone->is_on && (!off || inside > in_off)) {
      off = zone;
      in_off = inside;
    }
  }
  return !on || (off && -in_off <= in_on) ? off : on;
}

/* -- boxes ------------------------------------------------------------------------------------- */

static const double SMALLEST = 1e-3; /* mm: a box no larger that is not proved counts as open */

bool allowance_is_shut(const struct allowance *allowance, struct wall_box box) {
  struct range all = allowance_over(allowance, box);
  if (all.hi <= ALLOWANCE_NONE)
    return true;
  double along = box.s.hi - box.s.lo, down = box.depth.hi - box.depth.lo;
  double s = middle(box.s), depth = middle(box.depth);
  if (fmax(along, down) <= SMALLEST || allowance_at(allowance, s, depth) > ALLOWANCE_NONE)
    return false;
  struct wall_box first = box, second = box;
  if (along >= down)
    first.s.hi = second.s.lo = s;
  else
    first.depth.hi = second.depth.lo = depth;
  return allowance_is_shut(allowance, first) && allowance_is_shut(allowance, second);
}
