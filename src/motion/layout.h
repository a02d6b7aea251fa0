/* layout.h - the nominal path around one leg of a track: where slopes jump, what the tip is on. */
#ifndef BORELAY_MOTION_LAYOUT_H
#define BORELAY_MOTION_LAYOUT_H

#include "motion/track.h"

/* One slope and one group of segments: all is linear in q. */
struct stretch {
  double q0, q1;
  double tip, angle, z;       /* at q0: progress of the tip on its locus, head's angle, H's z */
  double d_tip, d_angle, d_z; /* per q */
  size_t place;               /* its first, or only one */
  bool is_single;             /* one segment, not a group */
};

/* One segment, or what of it lies in one leg. */
struct place {
  double pass;           /* q at which the tip comes from the one before */
  double tip, angle;     /* where it begins: progress of the tip, the wall's normal */
  double d_tip, d_angle; /* per q, were there no group */
  size_t stretch;
  bool is_line;
  vec2 at;        /* line: nominal tip where it begins; arc: centre */
  vec2 direction; /* line, in the direction of travel */
  double radius;  /* arc: of the tip's locus, signed so that centre + radius e(angle) is the tip */
};

/* Between stretch k and k + 1. */
struct knot {
  double q, head_half, tip_half, z_half;
  double d_tip, d_angle, d_z; /* jumps */
};

struct layout {
  struct stretch *stretches;
  struct knot *knots;
  size_t count, capacity; /* of stretches; one knot fewer */
  struct place *places;
  size_t place_count, place_capacity;
  size_t last_seg; /* contour segment of the last place */
  double tip;      /* where the last place ends */
};

/* All of the leg, and of its neighbours what lies within track->widest of it.  The layout is all
 * zero before, or one whose memory is used again. */
void layout_build(struct layout *layout, const struct track *track, size_t leg);
void layout_release(struct layout *layout);

/* Scratch of a few kilobytes a contour; running out of it ends the process as any allocation does.
 */
void *scratch_grow(void *old, size_t count, size_t size);

#endif
