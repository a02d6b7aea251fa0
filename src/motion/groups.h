/* groups.h - short segments of a contour that a track takes as one.
 *
 * Where bends are much shorter than the way on which the head can follow them one by one, their
 * tip's way and normal's angle are taken as even in the pool's path from the first one's beginning
 * to the last one's end, and only there are slopes that jump and have to be rounded.  The tip stays
 * on its locus; the torch and the pool are off what they would be by less than a fiftieth of what
 * each may be (docs/motion.md, section 2).  Every other segment is a group of its own. */
#ifndef BORELAY_MOTION_GROUPS_H
#define BORELAY_MOTION_GROUPS_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/contour.h"

struct arena;

/* On the level, per mm of the pool's path q; an arc that turns left has rates > 0. */
struct seg_rates {
  double turn;      /* of the normal, rad/mm */
  double tip;       /* of the tip on its locus, mm/mm */
  double curvature; /* of the tip's place, its second derivative, 1/mm */
};

struct seg_group {
  size_t first, count;   /* segments of the contour */
  double level;          /* mm of the pool's path */
  struct seg_rates even; /* as it is travelled; curvature: of one segment, else the largest */
  double turning;        /* the faster rate of the head and of any segment's own turn, magnitude */
  double bends[2];       /* curvatures of the first and the last segment, signed */
  double bend_jump;      /* largest jump of them inside */
  double least_tip;      /* of the segments' own */
  double tilt, slip; /* how far the torch is off the normal, rad, and the pool off its place, mm */
};

/* Where a segment begins in its group. */
struct seg_place {
  size_t group;
  double pool, tip, angle; /* mm, mm, rad behind the group's beginning */
};

struct groups {
  struct seg_group *items;
  size_t count;
  struct seg_place *places; /* contour->count of them */
};

/* Length of a segment's offset per length of its own. */
double seg_ratio(const struct contour_seg *seg, double offset);

/* For pool and tip at these offsets; what torch and pool may be off, rad and mm. */
struct groups groups_make(struct arena *arena, const struct contour *contour, double pool_offset,
                          double tip_offset, double angle, double slip);

#endif
