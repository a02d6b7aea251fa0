/* Every factor is exact as the legal definition gives it (1 in = 25.4 mm, 1 ft = 12 in,
 * 1 lb = 453.59237 g); only pi is rounded. */
#include "resolve/units.h"

#include <string.h>

#include "borelay/num.h"

static const struct unit units[] = {
    {"mm", QUANTITY_LENGTH, 1, 1, 0},
    {"cm", QUANTITY_LENGTH, 10, 1, 0},
    {"m", QUANTITY_LENGTH, 1000, 1, 0},
    {"um", QUANTITY_LENGTH, 1, 1000, 0},
    {"in", QUANTITY_LENGTH, 25.4, 1, 0},
    {"deg", QUANTITY_ANGLE, NUM_PI, 180, 0},
    {"rad", QUANTITY_ANGLE, 1, 1, 0},
    {"turn", QUANTITY_ANGLE, NUM_TURN, 1, 0},
    {"s", QUANTITY_TIME, 1, 1, 0},
    {"ms", QUANTITY_TIME, 1, 1000, 0},
    {"min", QUANTITY_TIME, 60, 1, 0},
    {"h", QUANTITY_TIME, 3600, 1, 0},
    {"Hz", QUANTITY_FREQUENCY, 1, 1, 0},
    {"mm/s", QUANTITY_SPEED, 1, 1, 0},
    {"mm/min", QUANTITY_SPEED, 1, 60, 0},
    {"m/s", QUANTITY_SPEED, 1000, 1, 0},
    {"m/min", QUANTITY_SPEED, 1000, 60, 0},
    {"in/min", QUANTITY_SPEED, 25.4, 60, 0},
    {"deg/s", QUANTITY_TURNING_SPEED, NUM_PI, 180, 0},
    {"rad/s", QUANTITY_TURNING_SPEED, 1, 1, 0},
    {"turn/min", QUANTITY_TURNING_SPEED, NUM_TURN, 60, 0},
    {"mm/s2", QUANTITY_ACCELERATION, 1, 1, 0},
    {"m/s2", QUANTITY_ACCELERATION, 1000, 1, 0},
    {"mm/s3", QUANTITY_JERK, 1, 1, 0},
    {"deg/s2", QUANTITY_TURNING_ACCELERATION, NUM_PI, 180, 0},
    {"deg/s3", QUANTITY_TURNING_JERK, NUM_PI, 180, 0},
    {"A", QUANTITY_CURRENT, 1, 1, 0},
    {"V", QUANTITY_VOLTAGE, 1, 1, 0},
    {"kJ/mm", QUANTITY_ENERGY_PER_LENGTH, 1000, 1, 0},
    {"kJ/in", QUANTITY_ENERGY_PER_LENGTH, 1000, 25.4, 0},
    {"J/mm", QUANTITY_ENERGY_PER_LENGTH, 1, 1, 0},
    {"degC", QUANTITY_TEMPERATURE, 1, 1, 0},
    {"degF", QUANTITY_TEMPERATURE, 1, 1.8, 32},
    {"L/min", QUANTITY_FLOW, 1e6, 60, 0},
    {"ft3/h", QUANTITY_FLOW, 28316846.592, 3600, 0},
    {"g/cm3", QUANTITY_DENSITY, 1, 1000, 0},
    {"kg/m3", QUANTITY_DENSITY, 1, 1e6, 0},
    {"g", QUANTITY_MASS, 1, 1, 0},
    {"kg", QUANTITY_MASS, 1000, 1, 0},
    {"lb", QUANTITY_MASS, 453.59237, 1, 0},
    {"%", QUANTITY_RATIO, 1, 100, 0},
};

const struct unit *unit_find(const char *name) {
  for (size_t i = 0; i < unit_count(); i++)
    if (strcmp(units[i].name, name) == 0)
      return &units[i];
  return NULL;
}

size_t unit_count(void) {
  return sizeof units / sizeof *units;
}
const struct unit *unit_at(size_t index) {
  return &units[index];
}

double unit_to_inside(const struct unit *unit, double written) {
  return (written - unit->offset) * unit->numerator / unit->denominator;
}
double unit_from_inside(const struct unit *unit, double inside) {
  return inside * unit->denominator / unit->numerator + unit->offset;
}
