/* standing.h - which layers stand as metal while the motion goes on. */
#ifndef CHECK_STANDING_H
#define CHECK_STANDING_H

#include "borelay/motion.h"

struct arena;

/* Layers standing on each overlay.  For bodies, torch body and guards the layer being laid counts
 * from its first touch or preflow on; for the electrode only from the end of the back-off after its
 * last run. */
struct standing {
  size_t *solid, *electrode;             /* plan->overlay_count figures each */
  bool solid_changed, electrode_changed; /* by the last step, or nothing was asked yet */
  const struct plan_layer *laying;       /* NULL before the first touch or preflow */
  size_t overlay, layer;                 /* of laying */
  bool last_run_over;                    /* laying's last arc is out, the back-off not over */
  bool backing_off;
};

struct standing standing_begin(struct arena *arena, const struct motion *motion);
/* Before the phase's own motion is judged; phases in order. */
void standing_step(struct standing *standing, const struct motion *motion,
                   const struct phase *phase);

#endif
