/* weld_sway.h - the sway of a welding run. */
#ifndef BORELAY_MOTION_WELD_SWAY_H
#define BORELAY_MOTION_WELD_SWAY_H

#include "motion/build.h"

/* Can axis z follow the sway, `times` as fast as in the weld? */
bool weld_sway_fits(const struct builder *builder, const struct motion_run *run, double times);
/* Gives a timed run its sway; welded: what is rehearsed or taken up again, as it is welded from its
 * start on, whose sway it keeps; NULL: this is the weld.  false: refused (told). */
bool weld_sway_lay(struct builder *builder, struct motion_run *run,
                   const struct motion_run *welded);

#endif
