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
  int64_t whole = (int64_t)size;
  /* Not size + 0.5 cut off: that sum is rounded, and 0.49999999999999994 would become 1. */
  if (size - (double)whole >= 0.5)
    whole++;
  return value < 0 ? -whole : whole;
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

char *digits_put(char *to, int64_t scaled, int decimals) {
  uint64_t size = scaled < 0 ? 0 - (uint64_t)scaled : (uint64_t)scaled;
  if (scaled < 0)
    *to++ = '-';
  int count = digit_count(size);
  if (count <= decimals)
    count = decimals + 1;
  char *end = to + count;
  put_fixed(end, size, count);
  if (decimals == 0)
    return end;
  for (int i = 0; i < decimals; i++)
    end[-i] = end[-i - 1];
  end[-decimals] = '.';
  return end + 1;
}
