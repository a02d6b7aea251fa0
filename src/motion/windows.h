/* windows.h - how wide the joints of a track are rounded, and how fast it may be travelled. */
#ifndef BORELAY_MOTION_WINDOWS_H
#define BORELAY_MOTION_WINDOWS_H

#include "motion/track.h"

/* The pool's mean speed is judged over any stretch of this length (docs/semantics.md). */
#define SPEED_WINDOW_MM 0.5

/* What a rounding may cost. */
struct rounding_limits {
  const struct cell *cell;
  double angle;     /* largest angle between torch and normal, rad */
  double pool_slip; /* largest distance of the pool from its place at constant speed, mm; INFINITY:
                       none asked */
  double rise; /* largest distance from the depth at which a slope begins or ends, mm; INFINITY:
                  none asked */
  bool sways;  /* the tip sways: axis z gives most of what it has to that */
};

/* Parts of the acceleration and jerk of axis z that easing a slope and swaying may take. */
#define SINK_PART_SWAYING 0.1
#define SWAY_PART         0.88

/* What it does cost (bounds). */
struct rounding_cost {
  double angle;     /* rad */
  double pool_slip; /* mm: how much the pool can gain or lose over a stretch of 0.5 mm */
};

enum speed_bar { /* what forbids a speed */
                 SPEED_FITS,
                 SPEED_AXIS,  /* an axis's speed, acceleration or jerk on an arc itself */
                 SPEED_ANGLE, /* rounding a joint would turn the torch too far off the normal */
                 SPEED_SLIP,  /* rounding a joint would change the pool's speed too much */
                 SPEED_SLOPE  /* beginning to sink asks more of an axis than it has */
};
struct speed_verdict {
  enum speed_bar bar;
  size_t seg; /* of the contour: where */
};

/* Sets track->windows, slope_window and widest for a cruise at `speed`; legs, groups and room for
 * the windows must be there already.  On SPEED_FITS every axis stays within its limits in
 * cruise, roundings of neighbours that overlap included; *cost tells the rest. */
struct speed_verdict windows_size(struct track *track, double speed,
                                  const struct rounding_limits *limits, struct rounding_cost *cost);

/* The highest speed <= wanted for which windows_size fits (within 0.01 %); 0 when none. */
double windows_highest_speed(struct track *track, double wanted,
                             const struct rounding_limits *limits);

#endif
