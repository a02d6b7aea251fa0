/* sums.c - sums over rows of value * tick, without rows: what holds from a row until the next is
 * constant over a phase, or over a part of it that begins and ends on ticks. */
#include "check/sums.h"

#include "borelay/arena.h"
#include "borelay/num.h"

/* mm of wire in one phase; what is drawn back counts against it. */
static double wire_of(const struct phase *phase, double tick) {
  double speed = phase->plan_layer->procedure->wire_feed_speed;
  if (phase->kind == PHASE_WELD)
    return (double)(phase->wire.feed1 - phase->wire.feed0) * tick * speed;
  if (phase->kind == PHASE_DOWNSLOPE && phase->wire.retract_ticks > 0)
    return -((double)(phase->wire.retract_ticks - 1) * speed + phase->wire.retract_last) * tick;
  return 0;
}

static struct layer_quantities *layer_of(const struct quantities *sums, const struct motion *motion,
                                         const struct phase *phase) {
  size_t i = (size_t)phase->overlay - 1;
  return &sums->layers[i][phase->plan_layer - motion->plan->overlays[i].layers];
}

static void add_phase(struct quantities *sums, const struct motion *motion,
                      const struct phase *phase) {
  double tick = motion->plan->job->cell->tick, time = (double)phase->ticks * tick;
  if (!phase->plan_layer)
    return;
  const struct procedure *procedure = phase->plan_layer->procedure;
  double wire = wire_of(phase, tick), across = procedure->wire_diameter * procedure->wire_diameter;
  sums->wire_length_m += wire / 1000;
  sums->wire_mass_kg += wire * NUM_PI / 4 * across * procedure->wire_density / 1000;
  if (phase->gas)
    sums->gas_l += time * procedure->gas_flow / 60;
  struct layer_quantities *layer = layer_of(sums, motion, phase);
  if (phase->arc) {
    sums->arc_time += time;
    layer->arc_time += time;
  }
  if (phase->kind == PHASE_WELD) {
    layer->starts++;
    layer->path_length += phase_run_info(motion, phase).total;
  }
}

struct quantities sums_make(struct arena *arena, const struct motion *motion,
                            const struct bare_list *bare) {
  const struct plan *plan = motion->plan;
  struct quantities sums = {.duration = (double)motion->ticks * plan->job->cell->tick,
                            .rows = motion->ticks + 1};
  sums.layers = arena_alloc(arena, plan->overlay_count, sizeof *sums.layers);
  for (size_t i = 0; i < plan->overlay_count; i++)
    sums.layers[i] =
        arena_alloc(arena, plan->overlays[i].layer_count, sizeof(struct layer_quantities));
  for (size_t i = 0; i < motion->phase_count; i++)
    add_phase(&sums, motion, &motion->phases[i]);
  for (size_t i = 0; i < bare->count; i++)
    sums.layers[bare->items[i].overlay][bare->items[i].layer].bare += bare->items[i].length;
  return sums;
}
