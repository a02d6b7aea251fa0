/* zones.h - where on a path the arc may be on, in closed form or from proved roots. */
#ifndef PLAN_ZONES_H
#define PLAN_ZONES_H

#include "borelay/stretches.h"
#include "plan/plan_parts.h"

/* A stretch of a path on one segment of the contour and one leg: x runs 0 .. length from where it
 * begins, in the direction of travel. */
struct wall_piece {
  const struct contour_seg *seg;
  int dir;
  double into;        /* mm from the segment's start, at x = 0 */
  double length;      /* > 0, mm of contour */
  double depth, sink; /* at x = 0; per mm of x */
  double sigma;       /* of the path, at x = 0 */
};

/* The axis of a cross bore, cell frame: a level ray. */
struct bore_axis {
  vec2 from, toward; /* toward: unit */
  double depth;
  double radius; /* of what counts as near it, margin applied; <= 0: nothing does */
  /* How far the tip sways to either side.  + : near where any place of the sway is; - : only where
   * every place of it is. */
  double sway;
};

/* bore_cut.c: x where the piece lies nearer to the axis than its radius. */
struct stretches bore_cut(const struct plan_site *site, const struct bore_axis *axis,
                          const struct wall_piece *piece);

/* A zone of the overlay, laid on its contour with its margin. */
struct wall_zone {
  const struct zone *zone;
  struct stretches angles, along; /* of s within one turn and beyond; see zone_wall.c */
  bool all_angles, all_along;     /* these take in the whole contour */
  struct range depths;
  struct bore_axis bore;
};

/* zone_wall.c.  half_sway: how far the tip goes to either side of the lap's centre line, in depth:
 * an off zone is to keep all of the sway out, an on zone to hold all of it. */
struct wall_zone wall_zone_make(const struct plan_site *site, const struct zone *zone,
                                double half_sway);
/* x where the piece lies in the zone. */
struct stretches wall_zone_cut(const struct plan_site *site, const struct wall_zone *zone,
                               const struct wall_piece *piece);

/* zones.c: where on the legs, from sigma = 0 to their end, the arc may be on. */
struct stretches zones_leave(const struct plan_site *site, const struct plan_layer *layer,
                             double s_start, const struct plan_leg *legs, size_t leg_count);

/* What is shorter than this (mm) is rounding: no break of the arc, and no run. */
#define ZONE_SLIVER 1e-6

#endif
