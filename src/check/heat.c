/* heat.c - what the arc puts into the wall along each run, in closed form.
 *
 * Current and voltage are those of the rows: constant in the weld but for sectors (motion.h), in
 * upslope and downslope a staircase of one step a tick.  The pool's way is the run's profile. */
#include "check/heat.h"

#include <math.h>

#include "borelay/arena.h"

const char *heat_part_name(enum heat_part part) {
  static const char *const NAMES[] = {[HEAT_STANDING_START] = "standing start",
                                      [HEAT_RUN_UP] = "run-up",
                                      [HEAT_TRAVEL] = "travel",
                                      [HEAT_RUN_DOWN] = "run-down",
                                      [HEAT_DOWNSLOPE] = "downslope",
                                      [HEAT_STANDING_END] = "standing end"};
  return NAMES[part];
}

/* One welding run with the phases around it that have the arc on. */
struct hot_run {
  const struct motion *motion;
  const struct phase *upslope, *weld, *downslope; /* NULL: none */
  struct run_info info;
  double tick, volts; /* s, V */
};

/* A s from tick t0 of the phase on to tick t1, not whole ones: in row k of N the current is
 * from + (to - from) k/N, so n whole rows carry n from + (to - from)/N (0 + 1 + ... + n - 1). */
static double charge_until(const struct phase *phase, double ticks) {
  double whole = floor(ticks), slope = (phase->current_to - phase->current_from);
  slope /= (double)phase->ticks;
  double rows = whole * phase->current_from + slope * whole * (whole - 1) / 2;
  return rows + (ticks - whole) * (phase->current_from + slope * whole);
}

/* kJ of the arc in a phase between two stream times that lie within it. */
static double arc_kj(const struct hot_run *run, const struct phase *phase, double t0, double t1) {
  if (run_values_change(phase))
    return phase_arc_kj(run->motion, phase, t0, fmax(t0, t1));
  double from = fmax(t0 / run->tick - (double)phase->tick0, 0);
  double to = fmin(t1 / run->tick - (double)phase->tick0, (double)phase->ticks);
  double charge = (charge_until(phase, fmax(to, from)) - charge_until(phase, from)) * run->tick;
  return run->volts * charge / 1000;
}

/* kJ of the hot wire between two stream times; it is heated while it feeds. */
static double wire_kj(const struct hot_run *run, double t0, double t1) {
  const struct procedure *procedure = run->info.layer->procedure;
  double on = fmax(t0, (double)run->weld->wire.feed0 * run->tick);
  double off = fmin(t1, (double)run->weld->wire.feed1 * run->tick);
  return procedure->wire_voltage * procedure->wire_current * fmax(off - on, 0) / 1000;
}

static double phase_begin(const struct hot_run *run, const struct phase *phase) {
  return (double)phase->tick0 * run->tick;
}
static double phase_end(const struct hot_run *run, const struct phase *phase) {
  return (double)(phase->tick0 + phase->ticks) * run->tick;
}

/* kJ of the arc from one stream time to another, over whatever phases. */
static double arc_between(const struct hot_run *run, double t0, double t1) {
  const struct phase *phases[] = {run->upslope, run->weld, run->downslope};
  double sum = 0;
  for (size_t i = 0; i < 3; i++)
    if (phases[i])
      sum += arc_kj(run, phases[i], fmax(t0, phase_begin(run, phases[i])),
                    fmin(t1, phase_end(run, phases[i])));
  return sum;
}

/* Stream time at which the pool has gone `length`: the profile never falls, so halving the time of
 * travel finds it to the last bit. */
static double time_at(const struct hot_run *run, double length) {
  double before = run->info.travel_t0, after = run->info.travel_t1;
  for (double t = (before + after) / 2; t > before && t < after; t = (before + after) / 2) {
    if (run_length_at(run->motion, run->weld, t) < length)
      before = t;
    else
      after = t;
  }
  return after;
}

static void add(const struct hot_run *run, struct run_heat *heat, enum heat_part part, double t0,
                double t1) {
  if (t1 - t0 <= run->tick * 1e-6)
    return;
  double from = run_length_at(run->motion, run->weld, t0);
  double to = run_length_at(run->motion, run->weld, t1);
  bool stands = part == HEAT_STANDING_START || part == HEAT_STANDING_END;
  heat->stretches[heat->stretch_count++] = (struct heat_stretch){.part = part,
                                                                 .from = from,
                                                                 .length = stands ? 0 : to - from,
                                                                 .time = t1 - t0,
                                                                 .arc_kj = arc_between(run, t0, t1),
                                                                 .wire_kj = wire_kj(run, t0, t1)};
}

enum { PARTS = HEAT_STANDING_END + 1 };

static struct run_heat heat_make(struct arena *arena, const struct hot_run *run) {
  const struct run_info *info = &run->info;
  struct run_heat heat = {.stretches = arena_alloc(arena, PARTS, sizeof *heat.stretches)};
  double begin = phase_begin(run, run->upslope ? run->upslope : run->weld);
  double end = phase_end(run, run->downslope ? run->downslope : run->weld);
  double up = info->travel_t0 + info->run_up, down = info->weld_end;
  if (info->run_down_in_weld)
    down -= info->run_down;
  add(run, &heat, HEAT_STANDING_START, begin, info->travel_t0);
  add(run, &heat, HEAT_RUN_UP, info->travel_t0, up);
  add(run, &heat, HEAT_TRAVEL, up, down);
  add(run, &heat, HEAT_RUN_DOWN, down, info->weld_end);
  add(run, &heat, info->run_down_in_weld ? HEAT_STANDING_END : HEAT_DOWNSLOPE, info->weld_end, end);
  double bead = fmin(info->layer->procedure->bead_width, info->total);
  heat.first_bead = arc_between(run, begin, time_at(run, bead)) / bead;
  heat.last_bead = arc_between(run, time_at(run, info->total - bead), end) / bead;
  return heat;
}

struct run_heat *run_heats_make(struct arena *arena, const struct motion *motion, size_t runs) {
  struct run_heat *heats = arena_alloc(arena, runs, sizeof *heats);
  size_t made = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *weld = &motion->phases[i];
    if (weld->kind != PHASE_WELD)
      continue;
    const struct phase *next = i + 1 < motion->phase_count ? weld + 1 : NULL;
    bool rises = i > 0 && weld[-1].kind == PHASE_UPSLOPE;
    bool falls = next && next->kind == PHASE_DOWNSLOPE;
    struct hot_run run = {.motion = motion,
                          .upslope = rises ? weld - 1 : NULL,
                          .weld = weld,
                          .downslope = falls ? next : NULL,
                          .info = phase_run_info(motion, weld),
                          .tick = motion->plan->job->cell->tick,
                          .volts = weld->arc ? run_values_at(motion, weld, 0).voltage : 0};
    heats[made++] = heat_make(arena, &run);
  }
  return heats;
}

size_t verdict_hottest_run(const struct verdict *verdict, size_t overlay, size_t layer) {
  size_t hottest = verdict->run_count;
  for (size_t i = 0; i < verdict->run_count; i++) {
    const struct arc_run *run = &verdict->runs[i];
    if (run->overlay != overlay || run->layer != layer)
      continue;
    if (hottest == verdict->run_count ||
        verdict->heats[i].first_bead > verdict->heats[hottest].first_bead)
      hottest = i;
  }
  return hottest;
}
