/* instant.c - found by halving among phases, then piece by piece. */
#include "draw/instant.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

static const struct phase *phase_at(const struct motion *motion, double t) {
  double tick = motion->plan->job->cell->tick;
  size_t lo = 0, hi = motion->phase_count - 1;
  while (lo < hi) {
    size_t mid = lo + (hi - lo + 1) / 2;
    if ((double)motion->phases[mid].tick0 * tick <= t)
      lo = mid;
    else
      hi = mid - 1;
  }
  return &motion->phases[lo];
}

static struct pose pose_in(const struct motion *motion, const struct phase *phase, double t) {
  struct piece_iter iter;
  struct piece piece = {0};
  piece_iter_begin(&iter, motion, phase);
  while (piece_iter_next(&iter, &piece))
    if (t <= piece.t1)
      break;
  piece_iter_release(&iter);
  return piece_at(&piece, fmin(fmax(t, piece.t0), piece.t1));
}

struct pose draw_pose_at(const struct motion *motion, double t) {
  return pose_in(motion, phase_at(motion, t), t);
}

static bool is_at_wall(const struct phase *phase) {
  return phase->kind == PHASE_TOUCH || phase->kind == PHASE_PREFLOW ||
         phase->kind == PHASE_UPSLOPE || phase->kind == PHASE_WELD;
}

static void stand(struct instant *instant, size_t *layers, const struct motion *motion) {
  const struct resume *resume = motion->resume;
  for (size_t i = 0; resume && i <= resume->overlay; i++)
    layers[i] = i < resume->overlay ? motion->plan->overlays[i].layer_count : resume->layer + 1;
  for (const struct phase *phase = motion->phases; phase <= instant->phase; phase++) {
    if (!is_at_wall(phase))
      continue;
    layers[phase->overlay - 1] = (size_t)phase->layer;
    instant->laying = phase->plan_layer;
  }
}

struct instant instant_at(struct arena *arena, const struct motion *motion, double t) {
  const struct phase *phase = phase_at(motion, t);
  struct instant instant = {.t = t, .pose = pose_in(motion, phase, t), .phase = phase};
  size_t *layers = arena_alloc(arena, motion->plan->overlay_count, sizeof *layers);
  stand(&instant, layers, motion);
  instant.layers = layers;
  return instant;
}

int64_t instant_lap(const struct motion *motion, const struct instant *instant) {
  if (instant->phase->kind != PHASE_WELD && instant->phase->kind != PHASE_DOWNSLOPE)
    return instant->phase->lap;
  struct run_info info = phase_run_info(motion, instant->phase);
  return info.run->legs[run_leg_at(motion, instant->phase, instant->t)].lap;
}

double draw_check_time(const struct outcome *outcome, const char *name) {
  for (size_t i = 0; outcome->verdict && i < outcome->verdict->result_count; i++) {
    const struct check_result *result = &outcome->verdict->results[i];
    if (result->judged && strcmp(result->name, name) == 0)
      return result->t;
  }
  return -1;
}

double draw_overlay_time(const struct outcome *outcome, size_t overlay) {
  const struct motion *motion = outcome->motion;
  double tick = outcome->job->cell->tick, t = draw_check_time(outcome, "clearance");
  if (t >= 0 && phase_at(motion, t)->overlay == (int32_t)overlay + 1) {
    struct pose pose = draw_pose_at(motion, t);
    if (contour_distance(outcome->plan->overlays[overlay].contour, (vec2){pose.x, pose.y}) < 0)
      return t;
  }
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].kind == PHASE_WELD && motion->phases[i].overlay == (int32_t)overlay + 1)
      return ((double)motion->phases[i].tick0 + 0.5 * (double)motion->phases[i].ticks) * tick;
  return 0;
}
