/* digits_all.c - many numbers at once.
 *
 * Loops without branches, so that several are done at a time.  Doubles from 2^52 on are whole
 * numbers, with the number in their lowest bits: x + 1.5 2^52, for |x| <= 2^51, ends in the whole
 * number nearest to x; of two that are equally near in the even one, which is one too small where
 * it is below. */
#include "borelay/digits.h"
#include "borelay/lanes.h"

#include <math.h>
#include <string.h>

static const double POWER[] = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};

#define MIDDLE 0x1.8p52

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

/* The bits of MIDDLE + the whole number nearest to `size`, halves upward.  In the order of the
 * numbers, also below 0 and beyond 2^51; those of none are above or below all. */
static inline int64_t nearest_bits(double size) {
  double held = size + MIDDLE;
  return bits_of(held) + (size - (held - MIDDLE) >= 0.5 ? 1 : 0);
}

/* Below 0 where one is within `margin` of a half, or would come to `end` or beyond, either way.
 * Both are looked at after the rounding: bits of sums are in the order of the numbers, and where
 * sums are not whole numbers any more they lie beyond. */
LANES(int64_t, scale_nearest,
      (const double *restrict values, double factor, double power, double end, double margin,
       size_t count, int64_t *restrict scaled),
      (values, factor, power, end, margin, count, scaled)) {
  double below_half = (0.5 - margin) * 0x1.fffffffffffffp-1; /* the next double below */
  uint64_t zero_bits = (uint64_t)bits_of(MIDDLE), most = (uint64_t)end - 1, stray = 0;
  for (size_t i = 0; i < count; i++) {
    double size = values[i] * factor * power, held = size + MIDDLE;
    double room = below_half - fabs(size - (held - MIDDLE));
    uint64_t number = (uint64_t)bits_of(held) - zero_bits;
    stray |= (uint64_t)bits_of(room) | (most + number) | (most - number);
    scaled[i] = (int64_t)number;
  }
  return (int64_t)stray;
}

/* With halves. */
LANES(bool, scale_all,
      (const double *restrict values, double factor, double power, double end, size_t count,
       int64_t *restrict scaled),
      (values, factor, power, end, count, scaled)) {
  int64_t beyond = 0, zero_bits = bits_of(MIDDLE), end_bits = zero_bits + (int64_t)end;
  for (size_t i = 0; i < count; i++) {
    double value = values[i] * factor;
    int64_t bits = nearest_bits(fabs(value) * power);
    beyond |= bits >= end_bits ? 1 : 0;
    int64_t number = bits - zero_bits, sign = bits_of(value) < 0 ? -1 : 0;
    scaled[i] = (number ^ sign) - sign;
  }
  return beyond == 0;
}

LANES(int64_t, differences, (const double *values, size_t count), (values, count)) {
  int64_t differ = 0;
  for (size_t i = 1; i < count; i++)
    differ |= values[i] != values[0];
  return differ;
}

/* Depths mostly stand still. */
static bool are_same(const double *values, size_t count) {
  return count > 1 && values[count - 1] == values[0] && !differences(values, count);
}

/* How many are to be worked out; the rest is like the first. */
static size_t different_of(const double *values, size_t count) {
  return are_same(values, count) ? 1 : count;
}

static void fill_up(int64_t *scaled, size_t from, size_t count) {
  for (size_t i = from; i < count; i++)
    scaled[i] = scaled[0];
}

bool digits_scale_sure(const double *restrict values, double factor, int decimals, double end,
                       double margin, size_t count, int64_t *restrict scaled) {
  size_t different = different_of(values, count);
  if (scale_nearest(values, factor, POWER[decimals], end, margin, different, scaled) < 0)
    return false;
  fill_up(scaled, different, count);
  return true;
}

bool digits_scale_all(const double *restrict values, double factor, int decimals, double end,
                      size_t count, int64_t *restrict scaled) {
  return digits_scale_sure(values, factor, decimals, end, 0, count, scaled) ||
         scale_all(values, factor, POWER[decimals], end, count, scaled);
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

/* What numbers of a shape have in common, as bits of MIDDLE + size: from least to most. */
struct limits {
  uint64_t least, most;
};

static struct limits limits_of(struct digits_shape shape) {
  uint64_t base = (uint64_t)bits_of(MIDDLE);
  uint64_t end = (uint64_t)power_of_ten(shape.places) * MILLION;
  uint64_t least = shape.places > 1 ? end / 10 : shape.is_negative ? 1 : 0;
  return (struct limits){base + least, base + end - 1};
}

/* Below 0 where a number does not look as it should.  One that does gives a `size` that is not
 * negative: its power of ten has the sign of the shape.  One of the other sign may still come to 0,
 * which shows none; the sum is below 0 from -0.5 on, which comes to -1, and for all that lies so
 * far below 0 that the differences wrap around. */
static inline int64_t stray(struct limits limits, double size, int64_t bits) {
  const double almost_half = 0x1.fffffffffffffp-2;
  uint64_t number = (uint64_t)bits;
  return (int64_t)((number - limits.least) | (limits.most - number)) | bits_of(size + almost_half);
}

/* The last whole number up to x / unit, for whole x from 0 to 1e12: half less than a whole part is
 * taken off before x is divided, so that the nearest is the one below.  The product is off by less
 * than 2^-51 x / unit, below 5e-7 for thousands, 5e-10 for millions; the next half is 0.5 / unit
 * away. */
static inline double whole_part(double x, double unit, double over_unit) {
  return ((x - (unit - 1) / 2) * over_unit + MIDDLE) - MIDDLE;
}

/* With u millions and t thousands in the number n, the parts are u, t - 1000 u and n - 1000 t: in
 * their places u (2^32 - 1000 2^16) + t (2^16 - 1000) + n, whole numbers below 2^52 all along. */
LANES(int64_t, split_all,
      (const double *restrict values, double factor, double power, struct limits limits,
       size_t count, uint64_t *restrict parts),
      (values, factor, power, limits, count, parts)) {
  const double place = 0x1p16, held = 0x1p52, of_units = place * (place - 1000),
               of_thousands = place - 1000;
  int64_t strays = 0;
  for (size_t i = 0; i < count; i++) {
    double size = values[i] * factor * power;
    int64_t bits = nearest_bits(size);
    strays |= stray(limits, size, bits);
    double number = of_bits(bits) - MIDDLE;
    double units = whole_part(number, 1e6, 1e-6), thousands = whole_part(number, 1e3, 1e-3);
    double together = units * of_units + (thousands * of_thousands + number);
    parts[i] = (uint64_t)bits_of(together + held) - (uint64_t)bits_of(held);
  }
  return strays;
}

size_t digits_split_all(const double *restrict values, double factor, struct digits_shape shape,
                        size_t count, uint64_t *restrict parts) {
  struct limits limits = limits_of(shape);
  double power = shape.is_negative ? -(double)MILLION : (double)MILLION;
  if (split_all(values, factor, power, limits, count, parts) >= 0)
    return count;
  size_t alike = 0;
  for (; alike < count; alike++) {
    double size = values[alike] * factor * power;
    if (stray(limits, size, nearest_bits(size)) < 0)
      break;
  }
  return alike;
}
