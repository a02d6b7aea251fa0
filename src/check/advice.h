/* advice.h - what would do where a clearance fails. */
#ifndef CHECK_ADVICE_H
#define CHECK_ADVICE_H

#include "check/collide.h"

/* Gives both results of collide_end() a line of help where they fail and help is found.
 *
 * For a part that comes too near to something below the deepest lap, or above the shallowest one
 * (a floor, a shoulder, an overhang): the deepest, or shallowest, edge of `depths` in whole tenths
 * of a mm with which the same check of that overlay holds.  For an electrode that backs off by less
 * than the layer that it laid is thick: the retract with which it does; for a body that no band
 * helps, a shorter retract.  The job has been planned, moved and judged anew with what is advised.
 */
void advice_add(const struct scene *scene, const struct collide_judge *judge,
                struct check_result results[2]);

#endif
