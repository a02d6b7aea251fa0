/* sums.h - duration, wire, gas, what each layer comes to, starts and stops. */
#ifndef CHECK_SUMS_H
#define CHECK_SUMS_H

#include "check/bare.h"

struct quantities sums_make(struct arena *arena, const struct motion *motion,
                            const struct bare_list *bare);

/* Starts and stops, in the order of welding. */
struct arc_run *arc_runs_make(struct arena *arena, const struct motion *motion, size_t *count);

#endif
