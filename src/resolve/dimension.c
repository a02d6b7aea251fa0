/* Dimensions are vectors of small exponents; products add them.  Angles are the one
 * exception: an arc's length is radius times angle, so an angle may vanish. */
#include "resolve/dimension.h"

#include <stdio.h>
#include <string.h>

/* Far above anything that a trade formula needs, and low enough that sums never overflow. */
enum { HIGHEST_EXPONENT = 12 };

static const struct quantity_info quantities[QUANTITY_COUNT] = {
    [QUANTITY_NUMBER] = {"number", "a pure number", {0}, NULL, "2"},
    [QUANTITY_RATIO] = {"ratio", "a ratio", {0}, "%", "45 %"},
    [QUANTITY_LENGTH] = {"length", "a length", {.length = 1}, "mm", "12 mm"},
    [QUANTITY_ANGLE] = {"angle", "an angle", {.angle = 1}, "deg", "90 deg"},
    [QUANTITY_TIME] = {"time", "a time", {.time = 1}, "s", "2 s"},
    [QUANTITY_FREQUENCY] = {"frequency", "a frequency", {.time = -1}, "Hz", "5 Hz"},
    [QUANTITY_SPEED] = {"speed", "a speed", {.length = 1, .time = -1}, "mm/min", "180 mm/min"},
    [QUANTITY_TURNING_SPEED] =
        {"turning speed", "a turning speed", {.angle = 1, .time = -1}, "deg/s", "60 deg/s"},
    [QUANTITY_ACCELERATION] =
        {"acceleration", "an acceleration", {.length = 1, .time = -2}, "mm/s2", "800 mm/s2"},
    [QUANTITY_TURNING_ACCELERATION] = {"turning acceleration",
                                       "a turning acceleration",
                                       {.angle = 1, .time = -2},
                                       "deg/s2",
                                       "180 deg/s2"},
    [QUANTITY_JERK] = {"jerk", "a jerk", {.length = 1, .time = -3}, "mm/s3", "8000 mm/s3"},
    [QUANTITY_TURNING_JERK] =
        {"turning jerk", "a turning jerk", {.angle = 1, .time = -3}, "deg/s3", "1800 deg/s3"},
    [QUANTITY_CURRENT] = {"current", "a current", {.current = 1}, "A", "200 A"},
    [QUANTITY_VOLTAGE] = {"voltage", "a voltage", {.voltage = 1}, "V", "11 V"},
    [QUANTITY_ENERGY_PER_LENGTH] = {"energy per length",
                                    "an energy per length",
                                    {.length = -1, .time = 1, .current = 1, .voltage = 1},
                                    "kJ/mm",
                                    "0.9 kJ/mm"},
    [QUANTITY_TEMPERATURE] =
        {"temperature", "a temperature", {.temperature = 1}, "degC", "150 degC"},
    [QUANTITY_FLOW] = {"flow", "a flow", {.length = 3, .time = -1}, "L/min", "12 L/min"},
    [QUANTITY_DENSITY] = {"density", "a density", {.length = -3, .mass = 1}, "g/cm3", "8.4 g/cm3"},
    [QUANTITY_MASS] = {"mass", "a mass", {.mass = 1}, "kg", "15 kg"},
    [QUANTITY_AREA] = {"area", "an area", {.length = 2}, NULL, NULL},
    [QUANTITY_VOLUME] = {"volume", "a volume", {.length = 3}, NULL, NULL},
    [QUANTITY_POWER] = {"power", "a power", {.current = 1, .voltage = 1}, NULL, NULL},
    [QUANTITY_ENERGY] =
        {"energy", "an energy", {.time = 1, .current = 1, .voltage = 1}, NULL, NULL},
};

const struct quantity_info *quantity_get(enum quantity quantity) {
  return &quantities[quantity];
}

bool dimension_equal(struct dimension a, struct dimension b) {
  return memcmp(&a, &b, sizeof a) == 0; /* bytes without gaps */
}

bool dimension_is(struct dimension dimension, enum quantity quantity) {
  return dimension_equal(dimension, quantities[quantity].dimension);
}

bool dimension_is_number(struct dimension d) {
  return dimension_equal(d, (struct dimension){0});
}
bool dimension_is_temperature(struct dimension d) {
  return d.temperature != 0;
}

/* Nothing but, perhaps, a time beside the angle. */
static bool is_pure_or_time(struct dimension d) {
  d.angle = 0;
  d.time = 0;
  return dimension_is_number(d);
}

/* Both at most HIGHEST_EXPONENT. */
static int8_t exponent(int a, int b, int sign) {
  return (int8_t)(a + sign * b);
}

static struct dimension sum(struct dimension a, struct dimension b, int sign) {
  return (struct dimension){
      .length = exponent(a.length, b.length, sign),
      .time = exponent(a.time, b.time, sign),
      .angle = exponent(a.angle, b.angle, sign),
      .current = exponent(a.current, b.current, sign),
      .voltage = exponent(a.voltage, b.voltage, sign),
      .mass = exponent(a.mass, b.mass, sign),
  };
}

static bool is_high(int exponent) {
  return exponent > HIGHEST_EXPONENT || exponent < -HIGHEST_EXPONENT;
}

static enum dimension_result bounded(struct dimension d) {
  bool high = is_high(d.length) || is_high(d.time) || is_high(d.current) || is_high(d.voltage) ||
              is_high(d.mass);
  return high ? DIMENSION_TOO_HIGH : DIMENSION_OK;
}

enum dimension_result dimension_multiply(struct dimension a, struct dimension b,
                                         struct dimension *product) {
  if (a.temperature != 0 || b.temperature != 0)
    return DIMENSION_READING;
  *product = sum(a, b, 1);
  if (a.angle != 0 || b.angle != 0) {
    struct dimension other = a.angle != 0 ? b : a;
    if (a.angle != 0 && b.angle != 0)
      return DIMENSION_ANGLES;
    if (other.length > 0)
      product->angle = 0;
    else if (!is_pure_or_time(other))
      return DIMENSION_ANGLES;
  }
  return bounded(*product);
}

enum dimension_result dimension_divide(struct dimension a, struct dimension b,
                                       struct dimension *quotient) {
  if (a.temperature != 0 || b.temperature != 0)
    return DIMENSION_READING;
  *quotient = sum(a, b, -1);
  if (a.angle != 0 && b.angle == 0 && !is_pure_or_time(b))
    return DIMENSION_ANGLES;
  if (a.angle == 0 && b.angle != 0) {
    if (a.length <= 0)
      return DIMENSION_ANGLES;
    quotient->angle = 0;
  }
  return bounded(*quotient);
}

bool dimension_root(struct dimension d, struct dimension *root) {
  bool odd = (d.length | d.time | d.current | d.voltage | d.mass) & 1;
  if (odd || d.angle != 0 || d.temperature != 0)
    return false;
  *root = (struct dimension){.length = d.length / 2,
                             .time = d.time / 2,
                             .current = d.current / 2,
                             .voltage = d.voltage / 2,
                             .mass = d.mass / 2};
  return true;
}

/* Writes the units whose exponents have the given sign, "A mm2"; returns how many. */
static int write_units(struct dimension d, int sign, char *text, size_t size) {
  const struct {
    const char *unit;
    int exponent;
  } parts[] = {{"g", d.mass},    {"A", d.current}, {"V", d.voltage},
               {"rad", d.angle}, {"mm", d.length}, {"s", d.time}};
  size_t used = 0;
  int count = 0;
  text[0] = '\0';
  for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
    int exponent = sign * parts[i].exponent;
    if (exponent <= 0)
      continue;
    int n = snprintf(text + used, size - used, exponent > 1 ? "%s%s%d" : "%s%s",
                     count > 0 ? " " : "", parts[i].unit, exponent);
    used += n > 0 ? (size_t)n : 0;
    count++;
  }
  return count;
}

const char *dimension_phrase(struct dimension d, char text[DIMENSION_TEXT]) {
  for (int i = 0; i < QUANTITY_COUNT; i++)
    if (dimension_equal(d, quantities[i].dimension))
      return quantities[i].phrase;
  char above[DIMENSION_TEXT / 2 - 8], below[DIMENSION_TEXT / 2 - 8];
  int above_count = write_units(d, 1, above, sizeof above);
  int below_count = write_units(d, -1, below, sizeof below);
  if (below_count == 0)
    snprintf(text, DIMENSION_TEXT, "a value in %s", above);
  else
    snprintf(text, DIMENSION_TEXT, below_count > 1 ? "a value in %s/(%s)" : "a value in %s/%s",
             above_count > 0 ? above : "1", below);
  return text;
}
