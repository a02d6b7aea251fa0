/* digits_all.c - many numbers at once.
 *
 * Loops without branches, so that several are done at a time.  Doubles from 2^52 on are whole
 * numbers, with the number in their lowest bits: x + 2^52 ends in the whole number nearest to x; of
 * two that are equally near in the even one, which is one too small where it is below. */
#include "borelay/digits.h"
#include "borelay/lanes.h"

#include <math.h>
#include <string.h>

static const double POWER[] = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};

#define WHOLE 0x1p52

static inline int64_t bits_of(double x) {
  int64_t bits;
  memcpy(&bits, &x, sizeof bits);
  return bits;
}

static inline double of_bits(int64_t bits) {
  double x;
  memcpy(&x, &bits, sizeof x);
  return x;
}

/* The bits of 2^52 + the whole number nearest to `size`, halves upward; size is not negative.
 * Above those of all numbers below 2^51 where it is larger, or is none. */
static inline int64_t nearest_bits(double size) {
  double held = size + WHOLE;
  return bits_of(held) + (size - (held - WHOLE) >= 0.5 ? 1 : 0);
}

LANES static bool scale_all(const double *restrict values, double factor, double power, double end,
                            size_t count, int64_t *restrict scaled) {
  int64_t beyond = 0, end_bits = bits_of(end + WHOLE);
  for (size_t i = 0; i < count; i++) {
    double value = values[i] * factor;
    int64_t bits = nearest_bits(fabs(value) * power);
    beyond |= bits >= end_bits ? 1 : 0;
    int64_t number = bits & (((int64_t)1 << 52) - 1), sign = bits_of(value) < 0 ? -1 : 0;
    scaled[i] = (number ^ sign) - sign;
  }
  return beyond == 0;
}

bool digits_scale_all(const double *restrict values, double factor, int decimals, double end,
                      size_t count, int64_t *restrict scaled) {
  return scale_all(values, factor, POWER[decimals], end, count, scaled);
}

/* -- in parts --------------------------------------------------------------------------------- */

enum { MILLION = 1000000 };

static int64_t power_of_ten(int power) {
  int64_t result = 1;
  for (; power > 0; power--)
    result *= 10;
  return result;
}

bool digits_shape_of(int64_t scaled, struct digits_shape *shape) {
  int64_t end = power_of_ten(DIGITS_PLACES) * MILLION;
  if (scaled <= -end || scaled >= end)
    return false;
  int64_t size = scaled < 0 ? -scaled : scaled;
  *shape = (struct digits_shape){.is_negative = scaled < 0, .places = 1};
  while (size >= power_of_ten(shape->places) * MILLION)
    shape->places++;
  return true;
}

/* What numbers of a shape have in common, as bits of 2^52 + size: from least to most.  flip turns
 * the sign of one that looks so into that of a positive number. */
struct limits {
  int64_t least, most, flip;
};

static struct limits limits_of(struct digits_shape shape) {
  int64_t base = bits_of(WHOLE), end = power_of_ten(shape.places) * MILLION;
  int64_t least = shape.places > 1 ? end / 10 : shape.is_negative ? 1 : 0;
  return (struct limits){base + least, base + end - 1, shape.is_negative ? INT64_MIN : 0};
}

/* Below 0 where a number does not look as it should.  The other sign does not matter to a 0, which
 * never shows one. */
static inline int64_t stray(struct limits limits, double value, int64_t bits) {
  return (bits - limits.least) | (limits.most - bits) |
         ((bits_of(value) ^ limits.flip) & (bits_of(WHOLE) - bits));
}

#define MIDDLE (1.5 * WHOLE) /* where doubles below it are whole numbers, too */

/* MIDDLE + the last whole number up to x / unit, for whole x from 0 to 1e13: half less than a whole
 * part is taken off before x is divided, so that the nearest is the one below; product and sum are
 * off by 1e-8, and the next half is 0.5 / unit >= 5e-7 away. */
static inline double held_part(double x, double unit, double over_unit) {
  return (x - (unit - 1) / 2) * over_unit + MIDDLE;
}

LANES static int64_t split_all(const double *restrict values, double factor, double power,
                               struct limits limits, size_t count, uint64_t *restrict parts) {
  const uint64_t THREE = 0x3ff; /* bits of three digits */
  int64_t strays = 0;
  for (size_t i = 0; i < count; i++) {
    double value = values[i] * factor;
    int64_t bits = nearest_bits(fabs(value) * power);
    strays |= stray(limits, value, bits);
    double size = of_bits(bits) - WHOLE, units = held_part(size, 1e6, 1e-6);
    double rest = size - (units - MIDDLE) * 1e6, thousands = held_part(rest, 1e3, 1e-3);
    double last = rest - (thousands - MIDDLE) * 1e3 + MIDDLE;
    parts[i] = (uint64_t)bits_of(units) << 32 | ((uint64_t)bits_of(thousands) & THREE) << 16 |
               ((uint64_t)bits_of(last) & THREE);
  }
  return strays;
}

size_t digits_split_all(const double *restrict values, double factor, int decimals,
                        struct digits_shape shape, size_t count, uint64_t *restrict parts) {
  struct limits limits = limits_of(shape);
  double power = POWER[decimals];
  if (split_all(values, factor, power, limits, count, parts) >= 0)
    return count;
  size_t alike = 0;
  for (; alike < count; alike++) {
    double value = values[alike] * factor;
    if (stray(limits, value, nearest_bits(fabs(value) * power)) < 0)
      break;
  }
  return alike;
}
