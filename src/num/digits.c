/* digits.c - digits two at a time from a table, into the middle of a small buffer. */
#include "borelay/digits.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double POWER[] = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};

static const char PAIRS[] = "00010203040506070809"
                            "10111213141516171819"
                            "20212223242526272829"
                            "30313233343536373839"
                            "40414243444546474849"
                            "50515253545556575859"
                            "60616263646566676869"
                            "70717273747576777879"
                            "80818283848586878889"
                            "90919293949596979899";

int64_t digits_scale(double value, int decimals) {
  double size = fabs(value) * POWER[decimals];
  assert(size < 9.2e18); /* false for a NaN too */
  double whole = floor(size);
  /* Not floor(size + 0.5): that sum is rounded, and 0.49999999999999994 would become 1. */
  if (size - whole >= 0.5)
    whole += 1.0;
  return value < 0 ? -(int64_t)whole : (int64_t)whole;
}

/* Puts exactly `count` digits, the last one just before `end`. */
static void put_fixed(char *end, uint64_t number, int count) {
  for (; count >= 2; count -= 2, number /= 100)
    memcpy(end -= 2, PAIRS + 2 * (number % 100), 2);
  if (count == 1)
    end[-1] = (char)('0' + number % 10);
}

static int digit_count(uint64_t number) {
  int count = 1;
  for (; number >= 10; number /= 10)
    count++;
  return count;
}

static const uint64_t WHOLE_POWER[] = {1,      10,      100,      1000,      10000,
                                       100000, 1000000, 10000000, 100000000, 1000000000};

char *digits_put(char *to, int64_t scaled, int decimals) {
  uint64_t size = scaled < 0 ? 0 - (uint64_t)scaled : (uint64_t)scaled;
  if (scaled < 0)
    *to++ = '-';
  uint64_t whole = size / WHOLE_POWER[decimals];
  int count = digit_count(whole);
  to += count;
  put_fixed(to, whole, count);
  if (decimals == 0)
    return to;
  *to = '.';
  to += 1 + decimals;
  put_fixed(to, size % WHOLE_POWER[decimals], decimals);
  return to;
}
