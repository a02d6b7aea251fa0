/* laid_run.c - where a run lays metal, and where its arc goes out.
 *
 * Wire that was drawn back as the last downslope began reaches the pool only when that length is
 * fed again, so metal begins wire_retract / wire_feed_speed after the wire does. */
#include "check/laid_run.h"

#include <math.h>

/* The run's own sigma where the pool's path from its start is `length` long; the level way behind
 * its legs counts on. */
static double sigma_at_length(const struct motion *motion, const struct phase *weld,
                              const struct run_way *way, size_t leg, double length) {
  double from = run_leg_start(motion, weld, leg), to = run_leg_start(motion, weld, leg + 1);
  if (leg + 1 == way->leg_count && length > to)
    return run_way_beyond(way, length - to);
  double share = to > from ? fmin(fmax((length - from) / (to - from), 0), 1) : 1;
  return run_way_at_share(way, leg, share);
}

/* The same at stream time t, within travel at full current. */
static double sigma_at(const struct motion *motion, const struct phase *weld,
                       const struct run_way *way, double t) {
  return sigma_at_length(motion, weld, way, run_leg_at(motion, weld, t),
                         run_length_at(motion, weld, t));
}

double laid_run_out(const struct motion *motion, const struct phase *weld,
                    const struct run_way *way) {
  double total = phase_run_info(motion, weld).total;
  size_t leg = way->leg_count - 1;
  while (leg > 0 && run_leg_start(motion, weld, leg) >= total)
    leg--;
  return sigma_at_length(motion, weld, way, leg, total);
}

static double depth_at(const struct run_way *way, double sigma) {
  return run_way_depth(way, run_way_leg(way, sigma, false), sigma);
}

struct laid_run laid_run_make(struct arena *arena, const struct motion *motion,
                              const struct phase *weld, const struct run_way *path,
                              const struct allowance *allowance) {
  struct run_info info = phase_run_info(motion, weld);
  const struct procedure *procedure = info.layer->procedure;
  double tick = motion->plan->job->cell->tick;
  double on = run_wire_time(motion, weld, procedure->wire_retract);
  double off = (double)weld->wire.feed1 * tick;
  struct run_way way = run_way_of_run(arena, info.overlay->contour, info.layer, info.run);
  double begin = info.run->from;
  struct laid_run laid = {.path = info.run->path, .from = begin};
  laid.out = begin + laid_run_out(motion, weld, &way);
  bool none = on >= off;
  laid.wire_from = none ? laid.out : begin + sigma_at(motion, weld, &way, on);
  laid.wire_to = none ? laid.out : begin + sigma_at(motion, weld, &way, off);
  laid.depth_from = depth_at(path, laid.wire_from);
  laid.depth_to = depth_at(path, laid.wire_to);
  laid.is_at_edge = allowance && allowance_at(allowance, run_way_s(path, laid.out),
                                              depth_at(path, laid.out)) <= ALLOWANCE_NONE;
  return laid;
}
