/* arc_runs.c - where the arc starts and stops, run by run. */
#include "borelay/arena.h"
#include "check/laid_run.h"
#include "check/sums.h"

static struct arc_place place_at(const struct run_way *way, double sigma) {
  size_t leg = run_way_leg(way, sigma, false);
  double turns, s = contour_wrap(way->contour, run_way_s(way, sigma), &turns);
  return (struct arc_place){way->legs[leg].lap, s, run_way_depth(way, leg, sigma)};
}

static struct arc_run run_make(struct arena *arena, const struct motion *motion,
                               const struct phase *weld) {
  struct run_info info = phase_run_info(motion, weld);
  size_t overlay = (size_t)weld->overlay - 1;
  struct run_way way = run_way_of_run(arena, info.overlay->contour, info.layer, info.run);
  return (struct arc_run){.overlay = overlay,
                          .layer = (size_t)(info.layer - info.overlay->layers),
                          .start = place_at(&way, 0),
                          .stop = place_at(&way, laid_run_out(motion, weld, &way)),
                          .length = info.total};
}

struct arc_run *arc_runs_make(struct arena *arena, const struct motion *motion, size_t *count) {
  *count = 0;
  for (size_t i = 0; i < motion->phase_count; i++)
    *count += motion->phases[i].kind == PHASE_WELD;
  struct arc_run *runs = arena_alloc(arena, *count, sizeof *runs);
  size_t made = 0;
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].kind == PHASE_WELD)
      runs[made++] = run_make(arena, motion, &motion->phases[i]);
  return runs;
}
