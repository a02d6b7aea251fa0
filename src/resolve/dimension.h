/* dimension.h - what a value measures, as exponents of the base dimensions, and the
 * quantities that the trade has a word for.
 *
 * Base units inside: mm, s, rad, A, V, g, degC; so an energy is A V s = J.  A pure
 * number has all exponents 0.  A temperature is a reading: its exponent is 1 with all
 * others 0, and no arithmetic makes or takes one. */
#ifndef RESOLVE_DIMENSION_H
#define RESOLVE_DIMENSION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct dimension {
  int8_t length, time, angle, current, voltage, mass, temperature;
};

enum quantity {
  QUANTITY_NUMBER,
  QUANTITY_RATIO, /* a pure number too, where a share is meant */
  QUANTITY_LENGTH,
  QUANTITY_ANGLE,
  QUANTITY_TIME,
  QUANTITY_FREQUENCY,
  QUANTITY_SPEED,
  QUANTITY_TURNING_SPEED,
  QUANTITY_ACCELERATION,
  QUANTITY_TURNING_ACCELERATION,
  QUANTITY_JERK,
  QUANTITY_TURNING_JERK,
  QUANTITY_CURRENT,
  QUANTITY_VOLTAGE,
  QUANTITY_ENERGY_PER_LENGTH,
  QUANTITY_TEMPERATURE,
  QUANTITY_FLOW,
  QUANTITY_DENSITY,
  QUANTITY_MASS,
  QUANTITY_AREA,
  QUANTITY_VOLUME,
  QUANTITY_POWER,
  QUANTITY_ENERGY,
  QUANTITY_COUNT
};

struct quantity_info {
  const char *name;   /* "speed" */
  const char *phrase; /* "a speed" */
  struct dimension dimension;
  const char *unit;    /* the usual one, "mm/min"; NULL where none is written */
  const char *example; /* "180 mm/min"; NULL where the quantity is never asked for */
};
const struct quantity_info *quantity_get(enum quantity quantity);

bool dimension_equal(struct dimension a, struct dimension b);
bool dimension_is(struct dimension dimension, enum quantity quantity);
bool dimension_is_number(struct dimension d);
bool dimension_is_temperature(struct dimension d);

/* Products and quotients of two values.  Angles (language.md, section 2): with a length
 * an angle counts in radians and drops out, with a pure number or a time it stays; an
 * arc by an angle is a length in the same way, and an angle by an angle (or by a
 * turning speed) leaves no angle.  Anything else is not defined. */
enum dimension_result { DIMENSION_OK, DIMENSION_ANGLES, DIMENSION_READING, DIMENSION_TOO_HIGH };
enum dimension_result dimension_multiply(struct dimension a, struct dimension b,
                                         struct dimension *product);
enum dimension_result dimension_divide(struct dimension a, struct dimension b,
                                       struct dimension *quotient);
/* False where an exponent is odd, or for an angle or a temperature. */
bool dimension_root(struct dimension d, struct dimension *root);

/* "a speed", or "a value in mm2/s3" for what has no name; text has room for size bytes. */
enum { DIMENSION_TEXT = 128 };
const char *dimension_phrase(struct dimension d, char text[DIMENSION_TEXT]);

#endif
