/* stretch.h - what tick.c and stretch.c share. */
#ifndef EMIT_STRETCH_H
#define EMIT_STRETCH_H

#include "borelay/tick.h"

/* The phase that holds the next tick, and its pieces begun; after the last one the last stays. */
const struct phase *tick_cursor_phase(struct tick_cursor *cursor);
/* The leg of a WELD or DOWNSLOPE phase on which a tick is. */
const struct plan_leg *tick_leg(const struct motion *motion, const struct phase *phase,
                                int64_t tick);

#endif
