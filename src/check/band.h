/* band.h - whether the laps of a layer lie across its whole band with the overlap asked for. */
#ifndef CHECK_BAND_H
#define CHECK_BAND_H

#include "borelay/plan.h"

struct arena;

struct band_gap {
  double missing;   /* mm by which the worst place falls short; <= 0: none */
  const char *what; /* where, in words */
};
struct band_gap band_gap_find(struct arena *arena, const struct plan_overlay *overlay,
                              const struct plan_layer *layer);

#endif
