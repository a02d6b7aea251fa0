/* Numbers.  Most are a whole number of at most 2^53 and a power of ten of at most 10^22, both exact
 * as doubles, so that one product or quotient of them is the nearest double there is (W. D.
 * Clinger, "How to read floating point numbers accurately", 1990, section 3).  The C library reads
 * the others. */
#include <float.h>
#include <locale.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "lex/lex_state.h"

enum { MOST_DIGITS = 18, MOST_TENS = 22, EXPONENT_FAR = 100000 };

struct decimal { /* digits * 10^exponent */
  uint64_t digits;
  int count; /* of digits, leading zeros left out */
  int exponent;
};

static bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

static const char *digits_add(struct decimal *decimal, const char *at, const char *end) {
  for (; at < end && is_digit(*at); at++) {
    decimal->count += decimal->count > 0 || *at > '0';
    if (decimal->count <= MOST_DIGITS)
      decimal->digits = decimal->digits * 10 + (uint64_t)(*at - '0');
  }
  return at;
}

static int exponent_read(const char *at, const char *end) {
  bool is_negative = *at == '-';
  int exponent = 0;
  for (at += *at == '-' || *at == '+'; at < end; at++)
    if (exponent < EXPONENT_FAR)
      exponent = exponent * 10 + (*at - '0');
  return is_negative ? -exponent : exponent;
}

static struct decimal decimal_read(const char *text, const char *end) {
  struct decimal decimal = {.digits = 0};
  const char *at = digits_add(&decimal, text, end);
  if (at < end && *at == '.') {
    const char *point = at + 1;
    at = digits_add(&decimal, point, end);
    decimal.exponent = -(int)(at - point);
  }
  if (at < end) /* e or E */
    decimal.exponent += exponent_read(at + 1, end);
  return decimal;
}

/* digits * 10^tens; false: not both are exact as doubles. */
static bool exact_value(uint64_t digits, int tens, double *value) {
  static const double TENS[MOST_TENS + 1] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                             1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                             1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
  if (FLT_EVAL_METHOD != 0 || digits > (uint64_t)1 << DBL_MANT_DIG || tens < -MOST_TENS ||
      tens > MOST_TENS)
    return false;
  *value = tens < 0 ? (double)digits / TENS[-tens] : (double)digits * TENS[tens];
  return true;
}

/* Correctly rounded, in the "C" locale. */
static double number_of_library(struct arena *arena, const char *text, size_t length) {
  const char *copy = arena_text(arena, text, length);
  locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
  double value = plain ? strtod_l(copy, NULL, plain) : strtod(copy, NULL);
  if (plain)
    freelocale(plain);
  return value;
}

double number_read(struct arena *arena, const char *text, size_t length) {
  struct decimal decimal = decimal_read(text, text + length);
  double value;
  bool is_exact =
      decimal.count <= MOST_DIGITS && exact_value(decimal.digits, decimal.exponent, &value);
  return is_exact ? value : number_of_library(arena, text, length);
}

/* 18 digits stay below 2^63. */
const uint8_t *number_scan(const uint8_t *text, double *value) {
  uint64_t digits = 0;
  const char *begin = (const char *)text, *at = begin;
  for (; is_digit(*at); at++)
    digits = digits * 10 + (uint64_t)(*at - '0');
  const char *point = at;
  if (at > begin && *at == '.' && is_digit(at[1]))
    for (at++; is_digit(*at); at++)
      digits = digits * 10 + (uint64_t)(*at - '0');
  int places = at > point ? (int)(at - point) - 1 : 0;
  bool is_plain = at > begin && at - begin <= MOST_DIGITS && *at != 'e' && *at != 'E';
  return is_plain && exact_value(digits, -places, value) ? (const uint8_t *)at : NULL;
}
