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
