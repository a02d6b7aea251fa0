/* arc_zones.h - arc-zones: with the arc on, the pool is nowhere where a zone forbids it. */
#ifndef CHECK_ARC_ZONES_H
#define CHECK_ARC_ZONES_H

#include "check/allowance.h"
#include "check/finding.h"
#include "check/locus.h"

struct zone_judge {
  const struct scene *scene;
  const struct allowance **allowances; /* of each overlay; NULL: it has no zones */
  bool any;
  struct search search;                /* for the least allowance, its sign turned */
  double s, depth;                     /* of the pool, there */
  struct zone_look {                   /* a place looked at not far back on the way */
    const struct allowance *allowance; /* NULL: none yet */
    double s, depth, at;               /* at: the allowance there */
  } near;
};

struct zone_judge zone_judge_begin(const struct scene *scene);
/* A way of a piece with the arc on that follows a segment of the contour; offset: the tip's. */
void zone_way(struct zone_judge *judge, const struct phase *phase, const struct piece *piece,
              const struct tip_way *way, const struct contour_seg *seg, double offset);
/* The same of many half sways, the way being that of their centre line. */
void zone_swings(struct zone_judge *judge, const struct phase *phase, const struct swings *swings,
                 const struct tip_way *way, const struct contour_seg *seg, double offset);
struct check_result zone_judge_end(const struct zone_judge *judge);

#endif
