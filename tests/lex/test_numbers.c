/* Numbers against strtod of the C library, bit for bit: C17, 7.22.1.3 and F.5, lets it round
 * correctly, which glibc does. */
#include "lex/lex_state.h"
#include "support/random.h"
#include "support/told.h"

static void assert_read(struct arena *arena, const char *text) {
  char *behind = NULL;
  double want = strtod(text, &behind), got = number_read(arena, text, strlen(text));
  if (memcmp(&want, &got, sizeof want) != 0)
    fail_msg("%s: read as %a, not as %a", text, got, want);
  const uint8_t *begin = (const uint8_t *)text;
  const uint8_t *end = number_scan(begin, &got);
  if (end && ((const char *)end != behind || memcmp(&want, &got, sizeof want) != 0))
    fail_msg("%s: scanned as %a, not as %a", text, got, want);
}

/* Where nothing is scanned the scanner of words has its say. */
static void what_is_scanned(void **state) {
  (void)state;
  static const struct {
    const char *text;
    int length; /* 0: nothing */
  } rows[] = {{"12", 2},   {"12.5 mm", 4}, {"12..3", 2}, {"12.", 2},
              {"12.x", 2}, {"007", 3},     {"1.5.2", 3}, {".5", 0},
              {"", 0},     {"1e5", 0},     {"1.5E5", 0}, {"x", 0},
              {"-1", 0},   {"0x10", 1},    {"12mm", 2},  {"9007199254740993", 0}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const uint8_t *text = (const uint8_t *)rows[i].text;
    double value = -1;
    const uint8_t *end = number_scan(text, &value);
    assert_int_equal(end ? end - text : 0, rows[i].length);
  }
}

/* What stands behind a number is none of it. */
static void only_the_number_is_read(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  assert_close(number_read(arena, "0x10", 1), 0, 0, 0);
  assert_close(number_read(arena, "12.5e3", 4), 12.5, 0, 0);
  assert_close(number_read(arena, "123456789012345678901234", 3), 123, 0, 0);
  assert_close(number_read(arena, "9007199254740993.5", 16), 0x1p53, 0, 0);
  arena_free(arena);
}

static void digits(struct random *random, int count, char **to) {
  for (int i = 0; i < count; i++)
    *(*to)++ = (char)('0' + random_whole(random, 0, 9));
}

/* Of every length, with and without a point and an exponent. */
static void random_numbers(void **state) {
  (void)state;
  struct random random = {.state = 20261128};
  struct arena *arena = arena_new();
  for (int i = 0; i < 300000; i++) {
    char text[64], *to = text;
    digits(&random, random_whole(&random, 1, i % 3 == 0 ? 20 : 6), &to);
    if (random_whole(&random, 0, 2) > 0) {
      *to++ = '.';
      digits(&random, random_whole(&random, 1, i % 5 == 0 ? 24 : 4), &to);
    }
    *to = '\0';
    if (random_whole(&random, 0, 2) == 0)
      snprintf(to, 16, "%s%d", random_whole(&random, 0, 1) ? "e" : "E+",
               random_whole(&random, 0, i % 7 == 0 ? 330 : 30));
    assert_read(arena, text);
    if (strchr(text, 'e')) { /* and a small one */
      char *e = strchr(text, 'e');
      memmove(e + 2, e + 1, strlen(e + 1) + 1);
      e[1] = '-';
      assert_read(arena, text);
    }
  }
  arena_free(arena);
}

/* Around the largest whole number that is surely exact, and the largest power of ten. */
static void borders(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  for (int64_t off = -50; off <= 50; off++)
    for (int tens = -25; tens <= 25; tens++) {
      char text[64];
      snprintf(text, sizeof text, "%llde%d", (long long)((int64_t)1 << 53) + off, tens);
      assert_read(arena, text);
    }
  static const char *const rows[] = {"0",
                                     "0.0",
                                     "0e999999999999",
                                     "000000000000000000000000000001.50000000000000000000000",
                                     "1e22",
                                     "1e23",
                                     "1e-22",
                                     "1e-23",
                                     "1e99999999999999999999",
                                     "1e-99999999999999999999",
                                     "999999999999999999",
                                     "9999999999999999999",
                                     "0.000000000000000000000000000001",
                                     "4.9406564584124654e-324",
                                     "1.7976931348623159e308"};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    assert_read(arena, rows[i]);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(only_the_number_is_read),
      cmocka_unit_test(what_is_scanned),
      cmocka_unit_test(random_numbers),
      cmocka_unit_test(borders),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
