/* sums.h - duration, wire, gas, and what each layer comes to. */
#ifndef CHECK_SUMS_H
#define CHECK_SUMS_H

#include "check/bare.h"

struct quantities sums_make(struct arena *arena, const struct motion *motion,
                            const struct bare_list *bare);

#endif
