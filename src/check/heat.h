/* heat.h - what the arc puts into the wall along each run. */
#ifndef CHECK_HEAT_H
#define CHECK_HEAT_H

#include "borelay/check.h"

struct arena;

/* One for every run, in the order of welding. */
struct run_heat *run_heats_make(struct arena *arena, const struct motion *motion, size_t runs);

#endif
