/* axes.h - travel, speed, acceleration and jerk of every axis. */
#ifndef CHECK_AXES_H
#define CHECK_AXES_H

#include "check/finding.h"
#include "check/steps.h"

struct axes_judge {
  const struct scene *scene;
  struct search search; /* [4 axis + k]; see axes.c */
  struct steps steps;
};

struct axes_judge axes_begin(const struct scene *scene);
/* Pieces in order of time, without gap; whole: over all of the piece. */
void axes_piece(struct axes_judge *judge, const struct phase *phase, const struct piece *piece,
                const struct jet_stretch *whole);
/* Instead of the pieces of many half sways. */
void axes_swings(struct axes_judge *judge, const struct phase *phase, const struct swings *swings);
/* axis-travel, axis-speed, axis-accel, axis-jerk */
void axes_end(struct axes_judge *judge, struct check_result results[4]);

#endif
