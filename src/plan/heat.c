/* heat.c - what of a layer's heat the plan alone tells: its qualified room, and how fast it cools.
 *
 * The first layer starts from the preheat, a further one from the interpass temperature, which is
 * the highest that the part may have then and gives the longest time. */
#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "plan/plan_parts.h"

/* Where a procedure gives no temperature; common practice, no source. */
static const double ROOM_DEGC = 20;

static void qualified_find(struct plan_layer *layer) {
  const struct procedure *procedure = layer->procedure;
  layer->has_qualified_heat = procedure->has_limit[LIMIT_CURRENT] ||
                              procedure->has_limit[LIMIT_VOLTAGE] ||
                              procedure->has_limit[LIMIT_TRAVEL_SPEED];
  if (!layer->has_qualified_heat)
    return;
  double efficiency = process_efficiency(procedure->process);
  struct range energy = arc_energy_qualified(procedure);
  layer->arc_energy_qualified = energy;
  layer->heat_input_qualified = (struct range){efficiency * energy.lo, efficiency * energy.hi};
}

static void start_find(const struct plan_layer *layer, struct plan_cooling *cooling) {
  const struct procedure *procedure = layer->procedure;
  if (layer->number > 1 && procedure->has_interpass) {
    cooling->start = COOLING_FROM_INTERPASS;
    cooling->from = procedure->interpass;
  } else if (procedure->has_preheat) {
    cooling->start = COOLING_FROM_PREHEAT;
    cooling->from = procedure->preheat;
  } else {
    cooling->start = COOLING_FROM_ROOM;
    cooling->from = ROOM_DEGC;
  }
}

static bool starts_too_hot(const struct plan_site *site, const struct plan_layer *layer) {
  const struct plan_cooling *cooling = &layer->cooling;
  if (cooling->from < COOLING_TO_DEGC)
    return false;
  const char *key = cooling->start == COOLING_FROM_PREHEAT ? "preheat" : "interpass";
  struct diag *diag =
      diag_error(site->diags, DIAG_COOLING_TOO_HOT, origin_of_key(&layer->procedure->origin, key),
                 "%s of procedure `%s` is %.6g degC: from there nothing cools from 800 to 500 degC",
                 key, layer->procedure->name, cooling->from);
  diag_note(diag, origin_of_key(&site->overlay->origin, "wall_thickness"),
            "wall_thickness asks for that cooling time");
  diag_help(diag, "give a temperature below 500 degC, or leave wall_thickness out");
  return true;
}

static double energy_of(const struct lap_values *values) {
  return arc_energy_kj_mm(values->voltage, values->current, values->travel_speed);
}

static void stretch_add(struct plan_layer *layer, double perimeter, double from, double to,
                        const struct lap_change *change, bool is_ramp) {
  if (to <= from)
    return;
  bool passes = from >= perimeter;
  struct lap_heat heat = {.from = passes ? from - perimeter : from,
                          .to = passes ? to - perimeter : to,
                          .is_ramp = is_ramp,
                          .after = energy_of(&change->after)};
  heat.before = is_ramp ? energy_of(&change->before) : heat.after;
  heat.all = is_ramp ? change_arc_energy(&change->before, &change->after)
                     : (struct range){heat.after, heat.after};
  layer->lap_heats[layer->lap_heat_count++] = heat;
}

/* Every ramp, and what lies level behind it. */
static void along_lap_find(const struct plan_site *site, struct plan_layer *layer) {
  double perimeter = site->contour->perimeter;
  layer->lap_heats = arena_alloc(site->arena, 2 * layer->change_count, sizeof *layer->lap_heats);
  for (size_t i = 0; i < layer->change_count; i++) {
    const struct lap_change *change = &layer->changes[i];
    bool is_last = i + 1 == layer->change_count;
    double next = is_last ? layer->changes[0].from + perimeter : change[1].from;
    stretch_add(layer, perimeter, change->from, change->to, change, true);
    stretch_add(layer, perimeter, change->to, next, change, false);
  }
}

bool layer_heat(const struct plan_site *site, struct plan_layer *layer) {
  qualified_find(layer);
  along_lap_find(site, layer);
  if (!site->overlay->has_wall_thickness)
    return true;
  struct plan_cooling *cooling = &layer->cooling;
  cooling->wall = site->overlay->wall_thickness;
  start_find(layer, cooling);
  if (starts_too_hot(site, layer))
    return false;
  struct cooling_time time = cooling_time_find(layer->heat_input, cooling->from, cooling->wall);
  cooling->three_dimensional = time.three_dimensional;
  cooling->two_dimensional = time.two_dimensional;
  cooling->transition = time.transition;
  cooling->is_two_dimensional = time.is_two_dimensional;
  cooling->time = time.governing;
  /* Both times grow with the heat, and so does the longer one. */
  cooling->times = (struct range){
      cooling_time_find(layer->heat_inputs.lo, cooling->from, cooling->wall).governing,
      cooling_time_find(layer->heat_inputs.hi, cooling->from, cooling->wall).governing};
  layer->has_cooling = true;
  return true;
}
