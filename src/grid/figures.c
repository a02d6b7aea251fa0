/* figures.c - the figures of a point that programs get. */
#include "grid/figures.h"

#include <math.h>
#include <string.h>

static double count_value(int64_t count) {
  return count < 0 ? (double)NAN : (double)count;
}

void figures_of(const struct grid_point *point, struct figure figures[FIGURE_COUNT]) {
  struct figure made[FIGURE_COUNT] = {
      {"layers", count_value(point->layers), true},
      {"laps", count_value(point->laps), true},
      {"starts", count_value(point->starts), true},
      {"thickness_mm", point->thickness, false},
      {"flat_thickness_mm", point->flat, false},
      {"iron", point->iron, false},
      {"arc_energy_kj_mm", point->arc_energy, false},
      {"heat_input_kj_mm", point->heat_input, false},
      {"t85_least_s", point->cooling_least, false},
      {"t85_most_s", point->cooling_most, false},
      {"duration_s", point->duration, false},
      {"arc_time_s", point->arc_time, false},
      {"wire_length_m", point->wire_length_m, false},
      {"wire_mass_kg", point->wire_mass_kg, false},
      {"gas_l", point->gas_l, false},
  };
  memcpy(figures, made, sizeof made);
}
