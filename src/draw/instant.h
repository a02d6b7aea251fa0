/* instant.h - the stream at one time: pose, phase, what stands. */
#ifndef DRAW_INSTANT_H
#define DRAW_INSTANT_H

#include "borelay/draw.h"

struct instant {
  double t;
  struct pose pose;
  const struct phase *phase;
  const size_t *layers;            /* of each overlay, that count as metal for bodies and torch */
  const struct plan_layer *laying; /* the last of them that is not known to be finished; NULL */
};
struct instant instant_at(struct arena *arena, const struct motion *motion, double t);

/* The lap of a WELD or DOWNSLOPE phase at t, else that of the phase. */
int64_t instant_lap(const struct motion *motion, const struct instant *instant);

#endif
