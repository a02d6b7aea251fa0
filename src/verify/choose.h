/* choose.h - plain numbers for an overlay whose layers or overlap are `auto`. */
#ifndef VERIFY_CHOOSE_H
#define VERIFY_CHOOSE_H

#include "verify/lay.h"

/* The overlay itself where nothing is open; NULL: nothing meets what it requires. */
const struct overlay *overlay_plain(struct arena *arena, const struct overlay *asked,
                                    const struct wall *wall, const struct cell *cell);

#endif
