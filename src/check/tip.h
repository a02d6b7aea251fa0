/* tip.h - tip-path, torch-angle and arc-zones while the arc is on, and travel-speed. */
#ifndef CHECK_TIP_H
#define CHECK_TIP_H

#include "check/arc_zones.h"
#include "check/pool.h"
#include "check/sway.h"

struct tip_judge {
  const struct scene *scene;
  size_t near_seg;         /* where the last piece was: neighbours follow each other */
  struct sway_asked asked; /* of the phase at hand, where the tip sways */
  struct plan_place {      /* where the last piece ended: there the next one begins */
    const struct phase *phase;
    double t, depth;
    size_t leg;
  } reached;
  struct peak off;   /* farthest from the locus, mm */
  struct peak tilt;  /* largest angle to the normal as a share of the tolerance */
  double tilt_limit; /* rad, at that peak */
  struct pool_judge pool;
  struct zone_judge zones;
};

struct tip_judge tip_begin(const struct scene *scene);
void tip_piece(struct tip_judge *judge, const struct phase *phase, const struct piece *piece);
/* Instead of the pieces of many half sways. */
void tip_swings(struct tip_judge *judge, const struct phase *phase, const struct swings *swings);
/* tip-path, torch-angle, travel-speed, arc-zones */
void tip_end(struct tip_judge *judge, struct check_result results[4]);

#endif
