/* run_way.h - legs of the plan laid along the contour: contour length, depth, length of the pool's
 * path.  sigma is the contour length from where they begin, >= 0, whatever the direction. */
#ifndef CHECK_RUN_WAY_H
#define CHECK_RUN_WAY_H

#include "borelay/plan.h"

struct run_way {
  const struct contour *contour;
  const struct plan_layer *layer;
  double s_start;
  const struct plan_leg *legs;
  size_t leg_count;
  const double *leg_end; /* sigma at which each leg ends */
  double total;          /* sigma at the end of the last leg, tie-in included */
};

struct arena;
struct run_way run_way_of_path(struct arena *arena, const struct contour *contour,
                               const struct plan_layer *layer, const struct plan_path *path);
/* sigma is the run's own: the path's less run->from. */
struct run_way run_way_of_run(struct arena *arena, const struct contour *contour,
                              const struct plan_layer *layer, const struct plan_run *run);
/* s on the contour, not wrapped. */
double run_way_s(const struct run_way *way, double sigma);
double run_way_leg_begin(const struct run_way *way, size_t leg);
/* Leg that holds sigma; the earlier one on a border when `earlier`. */
size_t run_way_leg(const struct run_way *way, double sigma, bool earlier);
/* The depth changes evenly with the length of the pool's path within a leg. */
double run_way_depth(const struct run_way *way, size_t leg, double sigma);
/* Length of the pool's path between two places of one leg, level and in space. */
double run_way_level(const struct run_way *way, double from, double to);
double run_way_length(const struct run_way *way, size_t leg, double from, double to);
/* sigma at which a share (0 .. 1) of the leg's path is done. */
double run_way_at_share(const struct run_way *way, size_t leg, double share);
/* sigma that lies `level` mm of the pool's path behind the last leg's end. */
double run_way_beyond(const struct run_way *way, double level);

#endif
