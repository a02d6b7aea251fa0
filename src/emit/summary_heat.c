/* summary_heat.c - heat in the summary, layer by layer. */
#include "emit/summary_parts.h"

static json_t *range_array(struct range range) {
  json_t *array = json_array();
  json_append(array, json_number(range.lo));
  json_append(array, json_number(range.hi));
  return array;
}

static const char *start_word(enum cooling_start start) {
  switch (start) {
  case COOLING_FROM_PREHEAT:
    return "preheat";
  case COOLING_FROM_INTERPASS:
    return "interpass";
  case COOLING_FROM_ROOM:
    break;
  }
  return "room";
}

static json_t *cooling_object(const struct plan_cooling *cooling) {
  json_t *object = json_object();
  json_put(object, "t85_s", json_number(cooling->time));
  json_put(object, "heat_flow",
           json_text(cooling->is_two_dimensional ? "two-dimensional" : "three-dimensional"));
  json_put(object, "from_degc", json_number(cooling->from));
  json_put(object, "from", json_text(start_word(cooling->start)));
  json_put(object, "wall_thickness_mm", json_number(cooling->wall));
  json_put(object, "three_dimensional_s", json_number(cooling->three_dimensional));
  json_put(object, "two_dimensional_s", json_number(cooling->two_dimensional));
  json_put(object, "transition_mm", json_number(cooling->transition));
  json_put(object, "along_lap_s", range_array(cooling->times));
  return object;
}

/* [] where a lap is alike all round. */
static json_t *along_lap_array(const struct plan_layer *layer) {
  json_t *array = json_array();
  for (size_t i = 0; i < layer->lap_heat_count; i++) {
    const struct lap_heat *heat = &layer->lap_heats[i];
    json_t *object = json_object();
    json_put(object, "from_mm", json_number(heat->from));
    json_put(object, "to_mm", json_number(heat->to));
    json_put(object, "ramp", json_boolean(heat->is_ramp));
    json_put(object, "arc_energy_from_kj_mm", json_number(heat->before));
    json_put(object, "arc_energy_to_kj_mm", json_number(heat->after));
    json_append(array, object);
  }
  return array;
}

static json_t *stretch_object(const struct heat_stretch *stretch) {
  json_t *object = json_object();
  json_put(object, "part", json_text(heat_part_name(stretch->part)));
  json_put(object, "from_mm", json_number(stretch->from));
  json_put(object, "length_mm", json_number(stretch->length));
  json_put(object, "time_s", json_number(stretch->time));
  json_put(object, "arc_kj", json_number(stretch->arc_kj));
  json_put(object, "wire_kj", json_number(stretch->wire_kj));
  json_put(object, "arc_energy_kj_mm",
           stretch->length > 0 ? json_number(stretch->arc_kj / stretch->length) : json_null());
  return object;
}

/* Of the layer's run whose start gets most. */
static json_t *along_object(const struct run_heat *heat) {
  json_t *stretches = json_array();
  for (size_t i = 0; i < heat->stretch_count; i++)
    json_append(stretches, stretch_object(&heat->stretches[i]));
  json_t *object = json_object();
  json_put(object, "first_bead_kj_mm", json_number(heat->first_bead));
  json_put(object, "last_bead_kj_mm", json_number(heat->last_bead));
  json_put(object, "stretches", stretches);
  return object;
}

void heat_put(json_t *object, const struct outcome *outcome, size_t overlay, size_t layer) {
  const struct plan_layer *planned = &outcome->plan->overlays[overlay].layers[layer];
  const struct verdict *verdict = outcome->verdict;
  bool is_known = planned->has_qualified_heat;
  json_put(object, "arc_energy_qualified_kj_mm",
           is_known ? range_array(planned->arc_energy_qualified) : json_null());
  json_put(object, "heat_input_qualified_kj_mm",
           is_known ? range_array(planned->heat_input_qualified) : json_null());
  json_put(object, "along_lap", along_lap_array(planned));
  json_put(object, "cooling",
           planned->has_cooling ? cooling_object(&planned->cooling) : json_null());
  size_t run = verdict ? verdict_hottest_run(verdict, overlay, layer) : 0;
  if (verdict && run < verdict->run_count)
    json_put(object, "heat_along", along_object(&verdict->heats[run]));
}
