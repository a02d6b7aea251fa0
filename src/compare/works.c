/* What an overlay or a procedure takes, before and after, by a table: a figure is a row. */
#include <string.h>

#include "borelay/arena.h"
#include "compare/effects.h"

static double work_minutes(const struct work *work) {
  return work->time / 60;
}
static double work_arc_minutes(const struct work *work) {
  return work->arc_time / 60;
}
static double work_wire(const struct work *work) {
  return work->wire_length_m;
}
static double work_mass(const struct work *work) {
  return work->wire_mass_kg;
}
static double work_gas(const struct work *work) {
  return work->gas_l;
}
static double work_starts(const struct work *work) {
  return (double)work->starts;
}
static double work_share(const struct work *work) {
  return 100 * work_arc_share(work);
}

static const struct {
  const char *name, *unit;
  int decimals;
  double (*figure)(const struct work *work);
} WORK_ROWS[] = {
    /* the first PROCEDURE_ROWS are told of each procedure */
    {"arc time", "min", 2, work_arc_minutes},
    {"wire", "m", 2, work_wire},
    {"wire", "kg", 3, work_mass},
    {"time", "min", 2, work_minutes},
    {"gas", "L", 1, work_gas},
    {"arc starts", "", 0, work_starts},
    {"deposition rate", "kg/h", 3, work_deposition},
    {"share of time, arc on", "%", 2, work_share},
};

/* of: what it is told of, "of hw.hot"; "" where the place says so. */
enum { PROCEDURE_ROWS = 3, ALL_ROWS = sizeof WORK_ROWS / sizeof WORK_ROWS[0] };

static void rows(struct effects *effects, const char *overlay, const char *of, int count,
                 const struct work *before, const struct work *after) {
  for (int i = 0; i < count; i++)
    effects_add(effects,
                (struct effect){overlay, 0,
                                arena_format(effects->arena, "%s%s", WORK_ROWS[i].name, of),
                                WORK_ROWS[i].unit, WORK_ROWS[i].decimals,
                                before ? WORK_ROWS[i].figure(before) : FIGURE_NONE,
                                after ? WORK_ROWS[i].figure(after) : FIGURE_NONE});
}

void effects_of_work(struct effects *effects, const char *overlay, const struct work *before,
                     const struct work *after) {
  rows(effects, overlay, "", ALL_ROWS, before, after);
}

static const struct work *work_of_procedure(const struct outcome *outcome, const char *name) {
  const struct verdict *verdict = outcome->verdict;
  for (size_t i = 0; verdict && i < verdict->quantities.procedure_count; i++)
    if (strcmp(verdict->quantities.procedures[i].procedure->name, name) == 0)
      return &verdict->quantities.procedures[i].work;
  return NULL;
}

/* Only where there are several: else the whole job tells it. */
void effects_of_procedures(struct effects *effects, const struct outcome *before,
                           const struct outcome *after) {
  const struct outcome *sides[] = {after, before};
  size_t most = 0;
  for (int i = 0; i < 2; i++)
    if (sides[i]->verdict && sides[i]->verdict->quantities.procedure_count > most)
      most = sides[i]->verdict->quantities.procedure_count;
  for (int side = 0; side < 2 && most > 1; side++) {
    const struct verdict *verdict = sides[side]->verdict;
    for (size_t i = 0; verdict && i < verdict->quantities.procedure_count; i++) {
      const char *name = verdict->quantities.procedures[i].procedure->name;
      if (side == 0 || !work_of_procedure(after, name))
        rows(effects, NULL, arena_format(effects->arena, ", %s", name), PROCEDURE_ROWS,
             work_of_procedure(before, name), work_of_procedure(after, name));
    }
  }
}
