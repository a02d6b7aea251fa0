/* A zone laid on its contour: every region becomes stretches of s or of depth, margin applied.
 *
 * The margin widens an off zone and narrows an on zone on every side, so it moves each end of a
 * stretch; one that takes in the whole contour has no ends. */
#include <math.h>

#include "borelay/num.h"
#include "plan/zones.h"

/* + for an off zone, - for an on zone. */
static double margin_of(const struct zone *zone) {
  return zone->is_on ? -zone->margin : zone->margin;
}

/* Adds a stretch of the contour, moved by whole turns until it begins within the first. */
static void place_on_contour(struct stretches *set, const struct contour *contour, double from,
                             double to, bool *all) {
  double turns;
  if (!(from < to))
    return;
  if (to - from >= contour->perimeter) {
    *all = true;
    return;
  }
  double begin = contour_wrap(contour, from, &turns);
  stretches_add(set, begin, begin + (to - from));
}

static void angles_lay(const struct plan_site *site, struct wall_zone *laid) {
  const struct zone *zone = laid->zone;
  struct range seen = {zone->angles.lo + site->part_turned, zone->angles.hi + site->part_turned};
  struct contour_stretch *parts;
  size_t count = contour_sector_or_place(site->arena, site->contour, seen, &parts);
  double by = margin_of(zone);
  for (size_t i = 0; i < count; i++) {
    bool whole = parts[i].to - parts[i].from >= site->contour->perimeter;
    double more = whole ? 0 : by;
    place_on_contour(&laid->angles, site->contour, parts[i].from - more, parts[i].to + more,
                     &laid->all_angles);
  }
}

static void along_lay(const struct plan_site *site, struct wall_zone *laid) {
  struct range along = laid->zone->along;
  double by = margin_of(laid->zone);
  if (along.hi - along.lo >= site->contour->perimeter)
    laid->all_along = true;
  else
    place_on_contour(&laid->along, site->contour, along.lo - by, along.hi + by, &laid->all_along);
}

struct wall_zone wall_zone_make(const struct plan_site *site, const struct zone *zone,
                                double half_sway) {
  struct wall_zone laid = {
      .zone = zone, .angles = {.arena = site->arena}, .along = {.arena = site->arena}};
  double by = margin_of(zone);
  if (zone->has_angles)
    angles_lay(site, &laid);
  if (zone->has_along)
    along_lay(site, &laid);
  double sway = zone->is_on ? -half_sway : half_sway;
  laid.depths = (struct range){zone->depths.lo - by - sway, zone->depths.hi + by + sway};
  struct sincos toward = num_sincos(zone->bore_toward + site->part_turned);
  laid.bore = (struct bore_axis){.from = site->contour->centre,
                                 .toward = {toward.cos, toward.sin},
                                 .depth = zone->bore_depth,
                                 .radius = zone->bore_diameter / 2 + by,
                                 .sway = sway};
  return laid;
}

/* -- on a piece of a path -------------------------------------------------------------------- */

static struct stretches whole_piece(struct arena *arena, const struct wall_piece *piece) {
  struct stretches all = {.arena = arena};
  stretches_add(&all, 0, piece->length);
  return all;
}

/* x where the piece's s lies in the set; a stretch of it may reach into the next turn. */
static struct stretches contour_cut(const struct plan_site *site, const struct stretches *set,
                                    const struct wall_piece *piece) {
  struct stretches cut = {.arena = site->arena};
  double s = piece->seg->s0 + piece->into, turn = site->contour->perimeter;
  for (size_t i = 0; i < set->count; i++) {
    for (int k = -1; k <= 1; k++) {
      double from = set->items[i].from + k * turn, to = set->items[i].to + k * turn;
      double a = piece->dir > 0 ? from - s : s - to, b = piece->dir > 0 ? to - s : s - from;
      stretches_add(&cut, fmax(a, 0), fmin(b, piece->length));
    }
  }
  return cut;
}

static struct stretches depths_cut(struct arena *arena, struct range depths,
                                   const struct wall_piece *piece) {
  struct stretches cut = {.arena = arena};
  double a = 0, b = piece->length;
  if (piece->sink == 0) {
    /* A lap whose centre line runs on the zone's edge is not in it. */
    if (piece->depth > depths.lo && piece->depth < depths.hi)
      stretches_add(&cut, a, b);
    return cut;
  }
  double lo = (depths.lo - piece->depth) / piece->sink;
  double hi = (depths.hi - piece->depth) / piece->sink;
  if (depths.lo < depths.hi)
    stretches_add(&cut, fmax(a, fmin(lo, hi)), fmin(b, fmax(lo, hi)));
  return cut;
}

static void narrow(struct stretches *set, struct stretches by) {
  *set = stretches_meet(set, &by);
}

struct stretches wall_zone_cut(const struct plan_site *site, const struct wall_zone *zone,
                               const struct wall_piece *piece) {
  struct stretches in = whole_piece(site->arena, piece);
  if (zone->zone->has_depths)
    narrow(&in, depths_cut(site->arena, zone->depths, piece));
  if (in.count > 0 && zone->zone->has_angles && !zone->all_angles)
    narrow(&in, contour_cut(site, &zone->angles, piece));
  if (in.count > 0 && zone->zone->has_along && !zone->all_along)
    narrow(&in, contour_cut(site, &zone->along, piece));
  if (in.count > 0 && zone->zone->has_cross_bore)
    narrow(&in, bore_cut(site, &zone->bore, piece));
  return in;
}
