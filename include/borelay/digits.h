/* digits.h - decimals from whole numbers: no printf, no locale, no negative zero. */
#ifndef BORELAY_DIGITS_H
#define BORELAY_DIGITS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
  DIGITS_ROOM = 24
}; /* bytes that one number takes at most: sign, 19 digits, point, a leading 0 */

/* value in units of 10^-decimals: the whole number nearest to the double value * 10^decimals, a
 * half goes away from zero.  0 <= decimals <= 9; value is finite and the result fits (asserted).
 *   accuracy   half a unit, and half an ulp of the product    tests/emit/test_digits.c */
int64_t digits_scale(double value, int decimals);

/* The same of many values times `factor`, to the same numbers, several at a time.  False, and what
 * `scaled` holds is of no use: a result of `end` or more, either way, or none.  0 < end <= 2^51. */
bool digits_scale_all(const double *restrict values, double factor, int decimals, double end,
                      size_t count, int64_t *restrict scaled);

/* The same of values that are off by up to `margin` units of the result: false, too, where one is
 * so near to a half that this may make another number of it. */
bool digits_scale_sure(const double *restrict values, double factor, int decimals, double end,
                       double margin, size_t count, int64_t *restrict scaled);

/* How a number with six decimals looks: its sign, and how many digits stand before the point. */
struct digits_shape {
  bool is_negative;
  int places; /* 1 .. DIGITS_PLACES */
};
enum { DIGITS_PLACES = 6 };
/* False: it has more places.  scaled: in millionths. */
bool digits_shape_of(int64_t scaled, struct digits_shape *shape);

/* What digits_scale_all() gives for six decimals and an `end` that none reaches, without its sign
 * and in parts, for numbers that look as `shape` says: from bit 32 on what stands before the point,
 * from bit 16 on the first three decimals as a number, and the last three.  Returns how many from
 * the first one on look so; the rest of the parts is of no use. */
size_t digits_split_all(const double *restrict values, double factor, struct digits_shape shape,
                        size_t count, uint64_t *restrict parts);

/* Writes scaled as a decimal with that many digits after its point (none and no point for 0);
 * returns the end of what was written, at most DIGITS_ROOM bytes on.  No NUL is added. */
char *digits_put(char *to, int64_t scaled, int decimals);

/* The value for "%.*f": 0 where that would show nothing but zeros, so that no -0.000 is seen. */
static inline double digits_shown(double value, int decimals) {
  double half = 0.5;
  for (int i = 0; i < decimals; i++)
    half /= 10;
  return value > -half && value < half ? 0.0 : value;
}

#endif
