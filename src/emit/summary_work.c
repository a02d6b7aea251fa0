/* summary_work.c - what a part of the job takes, in the summary. */
#include "emit/summary_parts.h"

void work_put(json_t *object, const struct work *work) {
  json_put(object, "time_s", json_number(work->time));
  json_put(object, "arc_time_s", json_number(work->arc_time));
  json_put(object, "arc_share", json_number(work_arc_share(work)));
  json_put(object, "wire_length_m", json_number(work->wire_length_m));
  json_put(object, "wire_mass_kg", json_number(work->wire_mass_kg));
  json_put(object, "gas_l", json_number(work->gas_l));
  json_put(object, "starts", json_integer(work->starts));
  json_put(object, "deposition_kg_h", json_number(work_deposition(work)));
}

json_t *procedures_array(const struct verdict *verdict) {
  json_t *array = json_array();
  const struct quantities *sums = &verdict->quantities;
  for (size_t i = 0; i < sums->procedure_count; i++) {
    json_t *object = json_object();
    json_put(object, "name", json_text(sums->procedures[i].procedure->name));
    work_put(object, &sums->procedures[i].work);
    json_append(array, object);
  }
  return array;
}
