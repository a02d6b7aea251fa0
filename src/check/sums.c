/* sums.c - sums over rows of value * tick, without rows: what holds from a row until the next is
 * constant over a phase, or over a part of it that begins and ends on ticks; or, with sectors, an
 * arithmetic series (motion.h). */
#include "check/sums.h"

#include "borelay/arena.h"
#include "borelay/num.h"

/* mm of wire in one phase; what is drawn back counts against it. */
static double wire_of(const struct motion *motion, const struct phase *phase, double tick) {
  const struct wire_times *wire = &phase->wire;
  if (phase->kind == PHASE_WELD && run_values_change(phase))
    return run_wire_fed(motion, phase, (double)wire->feed0 * tick, (double)wire->feed1 * tick);
  if (phase->kind == PHASE_WELD)
    return (double)(wire->feed1 - wire->feed0) * tick *
           run_values_at(motion, phase, (double)wire->feed0 * tick).wire_feed_speed;
  if (phase->kind == PHASE_DOWNSLOPE && wire->retract_ticks > 0)
    return -((double)(wire->retract_ticks - 1) * wire->retract + wire->retract_last) * tick;
  return 0;
}

static struct layer_quantities *layer_of(const struct quantities *sums, const struct motion *motion,
                                         const struct phase *phase) {
  size_t i = (size_t)phase->overlay - 1;
  return &sums->layers[i][phase->plan_layer - motion->plan->overlays[i].layers];
}

static void work_add(struct work *sum, const struct work *part) {
  sum->time += part->time;
  sum->arc_time += part->arc_time;
  sum->wire_length_m += part->wire_length_m;
  sum->wire_mass_kg += part->wire_mass_kg;
  sum->gas_l += part->gas_l;
  sum->starts += part->starts;
}

static struct work work_of(const struct motion *motion, const struct phase *phase, double tick) {
  const struct procedure *procedure = phase->plan_layer->procedure;
  double wire = wire_of(motion, phase, tick),
         across = procedure->wire_diameter * procedure->wire_diameter;
  double time = (double)phase->ticks * tick;
  return (struct work){.time = time,
                       .arc_time = phase->arc ? time : 0,
                       .wire_length_m = wire / 1000,
                       .wire_mass_kg = wire * NUM_PI / 4 * across * procedure->wire_density / 1000,
                       .gas_l = phase->gas ? time * procedure->gas_flow / 60 : 0,
                       .starts = phase->kind == PHASE_WELD};
}

static struct work *procedure_find(struct quantities *sums, const struct procedure *procedure) {
  for (size_t i = 0; i < sums->procedure_count; i++)
    if (sums->procedures[i].procedure == procedure)
      return &sums->procedures[i].work;
  struct procedure_work *added = &sums->procedures[sums->procedure_count++];
  added->procedure = procedure;
  return &added->work;
}

static void add_phase(struct quantities *sums, const struct motion *motion,
                      const struct phase *phase) {
  double tick = motion->plan->job->cell->tick;
  if (!phase->plan_layer) {
    sums->afterwards += (double)phase->ticks * tick;
    return;
  }
  struct work work = work_of(motion, phase, tick);
  work_add(&sums->whole, &work);
  work_add(&sums->overlays[phase->overlay - 1], &work);
  work_add(procedure_find(sums, phase->plan_layer->procedure), &work);
  struct layer_quantities *layer = layer_of(sums, motion, phase);
  layer->arc_time += work.arc_time;
  layer->starts += work.starts;
  if (phase->kind == PHASE_WELD)
    layer->path_length += phase_run_info(motion, phase).total;
}

static struct quantities sums_begin(struct arena *arena, const struct motion *motion) {
  const struct plan *plan = motion->plan;
  size_t layers = 0;
  struct quantities sums = {.duration = (double)motion->ticks * plan->job->cell->tick,
                            .rows = motion->ticks + 1};
  sums.layers = arena_alloc(arena, plan->overlay_count, sizeof *sums.layers);
  sums.overlays = arena_alloc(arena, plan->overlay_count, sizeof *sums.overlays);
  for (size_t i = 0; i < plan->overlay_count; i++) {
    size_t count = plan->overlays[i].layer_count;
    sums.layers[i] = arena_alloc(arena, count, sizeof(struct layer_quantities));
    layers += count;
  }
  sums.procedures = arena_alloc(arena, layers, sizeof *sums.procedures);
  return sums;
}

struct quantities sums_make(struct arena *arena, const struct motion *motion,
                            const struct bare_list *bare) {
  struct quantities sums = sums_begin(arena, motion);
  for (size_t i = 0; i < motion->phase_count; i++)
    add_phase(&sums, motion, &motion->phases[i]);
  sums.arc_time = sums.whole.arc_time;
  sums.wire_length_m = sums.whole.wire_length_m;
  sums.wire_mass_kg = sums.whole.wire_mass_kg;
  sums.gas_l = sums.whole.gas_l;
  sums.whole.time = sums.duration;
  for (size_t i = 0; i < bare->count; i++)
    sums.layers[bare->items[i].overlay][bare->items[i].layer].bare += bare->items[i].length;
  return sums;
}

double work_deposition(const struct work *work) {
  return work->arc_time > 0 ? work->wire_mass_kg / work->arc_time * 3600 : 0;
}

double work_arc_share(const struct work *work) {
  return work->time > 0 ? work->arc_time / work->time : 0;
}
