/* Decimals from whole numbers, against the C library's printf on values that it prints exactly. */
#include "support/close.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/digits.h"
#include "support/lanes_each.h"
#include "support/random.h"

static void expect_text(int64_t scaled, int decimals, const char *want) {
  char got[DIGITS_ROOM + 1];
  char *end = digits_put(got, scaled, decimals);
  assert_in_range((size_t)(end - got), 1, DIGITS_ROOM);
  *end = '\0';
  assert_string_equal(got, want);
}

static void test_known_texts(void **state) {
  (void)state;
  static const struct {
    double value;
    int decimals;
    const char *want;
  } ROWS[] = {
      {0, 6, "0.000000"},
      {0, 0, "0"},
      {-0.0, 3, "0.000"},
      {-4e-7, 6, "0.000000"}, /* no negative zero */
      {-5e-7, 6, "-0.000001"},
      {5e-7, 6, "0.000001"},
      {0.05, 1, "0.1"}, /* 0.05 * 10 is exactly one half in doubles: away from zero */
      {-0.25, 1, "-0.3"},
      {0.25, 1, "0.3"},
      {0.49999999999999994, 0, "0"}, /* whose sum with one half rounds to 1 */
      {9.9999996, 6, "10.000000"},
      {-9.9999996, 6, "-10.000000"},
      {123456.5, 1, "123456.5"},
      {1e9, 6, "1000000000.000000"},
      {4503599627370497.0, 0, "4503599627370497"},
  };
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
    expect_text(digits_scale(ROWS[i].value, ROWS[i].decimals), ROWS[i].decimals, ROWS[i].want);
  expect_text(INT64_MAX, 0, "9223372036854775807");
  expect_text(INT64_MIN, 6, "-9223372036854.775808");
}

/* Whole numbers: printf's %d digits with a point set in. */
static void test_like_printf_of_whole_numbers(void **state) {
  (void)state;
  uint64_t seed = 20240611;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  for (int i = 0; i < 200000; i++) {
    int shift = (int)(random_bits(&random) % 64);
    int64_t scaled = (int64_t)(random_bits(&random) >> shift);
    if (random_bits(&random) % 2)
      scaled = -scaled;
    int decimals = (int)(random_bits(&random) % 10);
    uint64_t size = scaled < 0 ? 0 - (uint64_t)scaled : (uint64_t)scaled;
    uint64_t power = 1;
    for (int d = 0; d < decimals; d++)
      power *= 10;
    char want[64];
    if (decimals > 0)
      snprintf(want, sizeof want, "%s%" PRIu64 ".%0*" PRIu64, scaled < 0 ? "-" : "", size / power,
               decimals, size % power);
    else
      snprintf(want, sizeof want, "%s%" PRIu64, scaled < 0 ? "-" : "", size);
    expect_text(scaled, decimals, want);
  }
}

/* Reals: glibc's printf rounds the exact value of the double; ours rounds the product with a power
 * of ten.  Both are the nearest decimal unless the value lies within an ulp of a half. */
static void test_like_printf_of_reals(void **state) {
  (void)state;
  uint64_t seed = 77001;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  int near_half = 0;
  for (int i = 0; i < 200000; i++) {
    double value = random_between(&random, -1, 1) * (i % 3 == 0 ? 1e5 : i % 3 == 1 ? 500 : 1);
    char want[64], got[DIGITS_ROOM + 1];
    snprintf(want, sizeof want, "%.6f", value);
    char *end = digits_put(got, digits_scale(value, 6), 6);
    *end = '\0';
    if (strcmp(want, "-0.000000") == 0)
      memmove(want, want + 1, strlen(want));
    double rest = fabs(value) * 1e6 - floor(fabs(value) * 1e6);
    if (fabs(rest - 0.5) < 1e-4)
      near_half++;
    else
      assert_string_equal(got, want);
  }
  assert_in_range(near_half, 0, 200); /* 200000 * 2e-4 = 40 expected */
}

/* A half, and the doubles next to it, on every side. */
static void test_halves(void **state) {
  (void)state;
  uint64_t seed = 5150;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  for (int i = 0; i < 100000; i++) {
    int64_t whole = (int64_t)(random_bits(&random) >> (14 + random_bits(&random) % 50));
    double half = (double)whole + 0.5; /* exact below 2^51 */
    assert_int_equal(digits_scale(half, 0), whole + 1);
    assert_int_equal(digits_scale(-half, 0), -whole - 1);
    assert_int_equal(digits_scale(nextafter(half, 0), 0), whole);
    assert_int_equal(digits_scale(nextafter(half, INFINITY), 0), whole + 1);
  }
}

/* Many at once: the same numbers as one by one, halves and ends among them. */
static void test_all_like_one(void **state) {
  (void)state;
  uint64_t seed = 20250118;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  enum { MOST = 40 };
  for (int round = 0; round < 20000; round++) {
    double values[MOST], factor = round % 2 ? 1.0 : 180.0 / 3.14159265358979323846;
    int64_t scaled[MOST];
    size_t count = (size_t)random_whole(&random, 0, MOST);
    int decimals = random_whole(&random, 0, 9);
    double end = (double)((int64_t)1 << random_whole(&random, 30, 51)), unit = 1;
    for (int i = 0; i < decimals; i++)
      unit *= 10;
    bool is_inside = true;
    for (size_t i = 0; i < count; i++) {
      double most = end / unit / factor * (random_whole(&random, 0, 99) ? 0.9 : 1.1);
      values[i] = random_between(&random, -most, most);
      if (random_whole(&random, 0, 3) == 0) /* near a half */
        values[i] = (floor(values[i] * unit) + 0.5) / unit;
      if (round % 8 == 3) /* standing still */
        values[i] = values[0];
      if (round % 8 == 5 && i + 1 == count) /* only at its ends */
        values[i] = values[0];
      double one = (double)digits_scale(values[i] * factor, decimals);
      is_inside = is_inside && fabs(one) < end;
    }
    assert_int_equal(digits_scale_all(values, factor, decimals, end, count, scaled), is_inside);
    for (size_t i = 0; is_inside && i < count; i++)
      assert_int_equal(scaled[i], digits_scale(values[i] * factor, decimals));
  }
  double odd[3] = {1, (double)NAN, 2};
  int64_t scaled[3];
  assert_false(digits_scale_all(odd, 1, 6, 0x1p51, 3, scaled));
  odd[1] = -(double)INFINITY;
  assert_false(digits_scale_all(odd, 1, 6, 0x1p51, 3, scaled));
}

/* Sure of itself only where no value off by `margin` would come to another number. */
static void test_sure_within_margin(void **state) {
  (void)state;
  uint64_t seed = 20261130;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  int sure = 0, unsure = 0;
  for (int round = 0; round < 20000; round++) {
    double values[9], margin = ldexp(1, -random_whole(&random, 3, 25));
    int64_t scaled[9];
    bool is_clear = true;
    for (int i = 0; i < 9; i++) { /* in 2^-30: exact, as are sums with the margin */
      double off = ldexp(random_whole(&random, -1000000, 1000000), -random_whole(&random, 24, 30));
      values[i] = random_whole(&random, -5, 5) + (random_whole(&random, 0, 9) ? off : 0.5 + off);
      is_clear = is_clear && fabs(fabs(values[i]) - floor(fabs(values[i])) - 0.5) > margin;
    }
    assert_int_equal(digits_scale_sure(values, 1, 0, 100, margin, 9, scaled), is_clear);
    for (int i = 0; is_clear && i < 9; i++)
      assert_int_equal(scaled[i], digits_scale(values[i], 0));
    sure += is_clear;
    unsure += !is_clear;
  }
  assert_in_range(sure, 1000, 19000);
  assert_in_range(unsure, 1000, 19000);
}

static int places_of(int64_t size) {
  int places = 1;
  for (int64_t end = 10000000; size >= end; end *= 10)
    places++;
  return places;
}

/* In parts: of each that looks like the first the digits that it has alone, and where the first one
 * stands that looks otherwise. */
static void test_split_like_one(void **state) {
  (void)state;
  uint64_t seed = 20250302;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  enum { MOST = 40 };
  int borders = 0;
  for (int round = 0; round < 50000; round++) {
    double values[MOST], factor = round % 2 ? 1.0 : 180.0 / 3.14159265358979323846;
    uint64_t parts[MOST];
    size_t count = (size_t)random_whole(&random, 1, MOST), want = 0;
    double border = pow(10, random_whole(&random, -7, 5));
    double step = border * random_between(&random, -1, 1) / 20;
    for (size_t i = 0; i < count; i++) {
      values[i] = border + step * ((double)i - 20); /* in units before the point */
      if (random_whole(&random, 0, 3) == 0)         /* near a half */
        values[i] = (floor(values[i] * 1e6) + 0.5) / 1e6;
      if (round % 5 == 0)
        values[i] = -values[i];
      values[i] /= factor;
    }
    struct digits_shape shape;
    int64_t first = digits_scale(values[0] * factor, 6);
    assert_true(digits_shape_of(first, &shape));
    assert_int_equal(shape.is_negative, first < 0);
    assert_int_equal(shape.places, places_of(first < 0 ? -first : first));
    for (; want < count; want++) {
      int64_t scaled = digits_scale(values[want] * factor, 6);
      if ((scaled < 0) != shape.is_negative || places_of(llabs(scaled)) != shape.places)
        break;
    }
    assert_int_equal(digits_split_all(values, factor, shape, count, parts), want);
    borders += want < count;
    for (size_t i = 0; i < want; i++) {
      uint64_t size = (uint64_t)llabs(digits_scale(values[i] * factor, 6));
      assert_int_equal(parts[i] >> 32, size / 1000000);
      assert_int_equal(parts[i] >> 16 & 0xffff, size / 1000 % 1000);
      assert_int_equal(parts[i] & 0xffff, size % 1000);
    }
  }
  assert_in_range(borders, 1000, 49000);
  struct digits_shape shape;
  assert_true(digits_shape_of(999999999999, &shape));
  assert_false(digits_shape_of(1000000000000, &shape));
  assert_false(digits_shape_of(-1000000000000, &shape));
  assert_false(digits_shape_of(INT64_MIN, &shape));
  double odd[4] = {1, (double)NAN, 2, -(double)INFINITY};
  uint64_t parts[4];
  assert_true(digits_shape_of(1000000, &shape));
  assert_int_equal(digits_split_all(odd, 1, shape, 4, parts), 1);
  assert_int_equal(digits_split_all(odd + 2, 1, shape, 2, parts), 1);
}

static void no_negative_zero_is_shown(void **state) {
  (void)state;
  static const struct {
    double value;
    const char *text;
  } ROWS[] = {{-0.0, "0.000"},       {-0.00049999, "0.000"}, {-0.0005001, "-0.001"},
              {0.00049999, "0.000"}, {-0.0, "0.000"},        {-12.3456, "-12.346"}};
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    char text[32];
    snprintf(text, sizeof text, "%.3f", digits_shown(ROWS[i].value, 3));
    assert_string_equal(text, ROWS[i].text);
  }
}

static int run(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(no_negative_zero_is_shown),
      cmocka_unit_test(test_split_like_one),
      cmocka_unit_test(test_known_texts),
      cmocka_unit_test(test_like_printf_of_whole_numbers),
      cmocka_unit_test(test_like_printf_of_reals),
      cmocka_unit_test(test_halves),
      cmocka_unit_test(test_all_like_one),
      cmocka_unit_test(test_sure_within_margin),
  };
  return cmocka_run_group_tests_name("emit digits", tests, NULL, NULL);
}

/* The loops over many numbers at each width, against the same one by one. */
int main(void) {
  return lanes_each(run);
}
