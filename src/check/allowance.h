/* allowance.h - how far inside the part of the wall where its zones let the arc be on.
 *
 * Worked out anew from the job's zones, apart from how the plan breaks its paths: a second opinion.
 * A place of the wall is s on the shape itself (any value) and a depth, mm.  Its allowance is
 *     > 0   the arc may be on, with that much to spare on every side, measured on the wall
 *     < 0   so deep inside an off zone with its margin, or so far from every on zone
 * It changes by no more than the place moves (docs/checks.md, arc-zones). */
#ifndef CHECK_ALLOWANCE_H
#define CHECK_ALLOWANCE_H

#include "borelay/plan.h"

struct arena;
struct allowance;

/* NULL where the overlay has no zones: the arc may be on everywhere. */
const struct allowance *allowance_make(struct arena *arena, const struct plan *plan,
                                       const struct plan_overlay *overlay);

/* The same for the centre line of a lap about which the tip sways by half_sway to either side in
 * depth: an off zone takes what its sway would touch, an on zone gives what holds all of it. */
const struct allowance *allowance_swaying(struct arena *arena, const struct allowance *allowance,
                                          double half_sway);

struct wall_box {
  struct range s, depth;
};

double allowance_at(const struct allowance *allowance, double s, double depth);
/* A range that holds the allowance of every place of the box; exact where all its places are one.
 */
struct range allowance_over(const struct allowance *allowance, struct wall_box box);
/* The zone that decides at a place: the off zone it lies in, or the on zone that it lies in or is
 * nearest to. */
const struct zone *allowance_zone(const struct allowance *allowance, double s, double depth);
/* True: proved that nowhere in the box the allowance is above ALLOWANCE_NONE. */
bool allowance_is_shut(const struct allowance *allowance, struct wall_box box);

#define ALLOWANCE_NONE 1e-6 /* mm: less is rounding */

#endif
