/* zone_wall.h - zones of an overlay as regions of its unrolled wall. */
#ifndef DRAW_ZONE_WALL_H
#define DRAW_ZONE_WALL_H

#include "borelay/plan.h"
#include "borelay/stretches.h"

struct arena;

/* s where a zone's angles and along hold, margin (mm; < 0 narrows) applied on every side; within
 * one turn and beyond.  The whole contour where it has neither. */
struct stretches zone_along(struct arena *arena, const struct contour *contour,
                            const struct zone *zone, double part_turned, double margin);
/* Depths likewise; band where it has none. */
struct range zone_depths(const struct zone *zone, struct range band, double margin);

/* The mouth of a cross bore on the wall: closed outlines of (s, depth), s rising over the upper and
 * falling over the lower half; count of points each. */
struct mouth {
  vec2 *points;
  size_t count;
};
size_t zone_mouths(struct arena *arena, const struct contour *contour, const struct zone *zone,
                   double part_turned, double margin, struct mouth **mouths);

#endif
