/* advice.h - the band with which a clearance that fails would hold. */
#ifndef CHECK_ADVICE_H
#define CHECK_ADVICE_H

#include "check/collide.h"

/* For a part that comes too near to something below the deepest lap, or above the shallowest one
 * (a floor, a shoulder, an overhang): the deepest, or shallowest, edge of `depths` in whole tenths
 * of a mm with which the same check of that overlay holds, as a line of help.  The job has been
 * planned, moved and judged anew with that edge.  NULL: no band that is a bead wide does. */
const char *advice_band(const struct scene *scene, const struct near_miss *miss);
/* Gives both results of collide_end() their help where they fail. */
void advice_add(const struct scene *scene, const struct collide_judge *judge,
                struct check_result results[2]);

#endif
