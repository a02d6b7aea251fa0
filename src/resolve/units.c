/* Every factor is exact as the legal definition gives it (1 in = 25.4 mm, 1 ft = 12 in,
 * 1 lb = 453.59237 g); only pi is rounded. */
#include "resolve/units.h"

#include <string.h>

#include "borelay/num.h"
#include "resolve/resolver.h"

static const struct unit units[] = {
    {"mm", "millimetre", QUANTITY_LENGTH, 1, 1, 0},
    {"cm", "centimetre", QUANTITY_LENGTH, 10, 1, 0},
    {"m", "metre", QUANTITY_LENGTH, 1000, 1, 0},
    {"um", "micrometre", QUANTITY_LENGTH, 1, 1000, 0},
    {"in", "inch", QUANTITY_LENGTH, 25.4, 1, 0},
    {"deg", "degree", QUANTITY_ANGLE, NUM_PI, 180, 0},
    {"rad", "radian", QUANTITY_ANGLE, 1, 1, 0},
    {"turn", "whole turn", QUANTITY_ANGLE, NUM_TURN, 1, 0},
    {"s", "second", QUANTITY_TIME, 1, 1, 0},
    {"ms", "millisecond", QUANTITY_TIME, 1, 1000, 0},
    {"min", "minute", QUANTITY_TIME, 60, 1, 0},
    {"h", "hour", QUANTITY_TIME, 3600, 1, 0},
    {"Hz", "hertz, times a second", QUANTITY_FREQUENCY, 1, 1, 0},
    {"mm/s", "millimetres a second", QUANTITY_SPEED, 1, 1, 0},
    {"mm/min", "millimetres a minute", QUANTITY_SPEED, 1, 60, 0},
    {"m/s", "metres a second", QUANTITY_SPEED, 1000, 1, 0},
    {"m/min", "metres a minute", QUANTITY_SPEED, 1000, 60, 0},
    {"in/min", "inches a minute", QUANTITY_SPEED, 25.4, 60, 0},
    {"deg/s", "degrees a second", QUANTITY_TURNING_SPEED, NUM_PI, 180, 0},
    {"rad/s", "radians a second", QUANTITY_TURNING_SPEED, 1, 1, 0},
    {"turn/min", "turns a minute", QUANTITY_TURNING_SPEED, NUM_TURN, 60, 0},
    {"mm/s2", "millimetres a second, a second", QUANTITY_ACCELERATION, 1, 1, 0},
    {"m/s2", "metres a second, a second", QUANTITY_ACCELERATION, 1000, 1, 0},
    {"mm/s3", "millimetres a second squared, a second", QUANTITY_JERK, 1, 1, 0},
    {"deg/s2", "degrees a second, a second", QUANTITY_TURNING_ACCELERATION, NUM_PI, 180, 0},
    {"deg/s3", "degrees a second squared, a second", QUANTITY_TURNING_JERK, NUM_PI, 180, 0},
    {"A", "ampere", QUANTITY_CURRENT, 1, 1, 0},
    {"V", "volt", QUANTITY_VOLTAGE, 1, 1, 0},
    {"kJ/mm", "kilojoules a millimetre", QUANTITY_ENERGY_PER_LENGTH, 1000, 1, 0},
    {"kJ/in", "kilojoules an inch", QUANTITY_ENERGY_PER_LENGTH, 1000, 25.4, 0},
    {"J/mm", "joules a millimetre", QUANTITY_ENERGY_PER_LENGTH, 1, 1, 0},
    {"degC", "degrees Celsius", QUANTITY_TEMPERATURE, 1, 1, 0},
    {"degF", "degrees Fahrenheit", QUANTITY_TEMPERATURE, 1, 1.8, 32},
    {"L/min", "litres a minute", QUANTITY_FLOW, 1e6, 60, 0},
    {"ft3/h", "cubic feet an hour", QUANTITY_FLOW, 28316846.592, 3600, 0},
    {"g/cm3", "grams a cubic centimetre", QUANTITY_DENSITY, 1, 1000, 0},
    {"kg/m3", "kilograms a cubic metre", QUANTITY_DENSITY, 1, 1e6, 0},
    {"g", "gram", QUANTITY_MASS, 1, 1, 0},
    {"kg", "kilogram", QUANTITY_MASS, 1000, 1, 0},
    {"lb", "pound", QUANTITY_MASS, 453.59237, 1, 0},
    {"%", "hundredth", QUANTITY_RATIO, 1, 100, 0},
};

const struct unit *unit_find(const char *name) {
  for (size_t i = 0; i < unit_count(); i++)
    if (*units[i].name == *name && strcmp(units[i].name, name) == 0)
      return &units[i];
  return NULL;
}

size_t unit_count(void) {
  return sizeof units / sizeof *units;
}
const struct unit *unit_at(size_t index) {
  return &units[index];
}

double unit_from_inside(const struct unit *unit, double inside) {
  return inside * unit->denominator / unit->numerator + unit->offset;
}
