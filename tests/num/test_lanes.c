/* The width of vectors that is taken, against what the kernel tells of the processor. */
#include "support/close.h"

#include <stdio.h>
#include <string.h>

#include "borelay/lanes.h"
#include "borelay/processor.h"

/* /proc/cpuinfo, the line "flags" of the first processor; empty where there is none. */
static char flags[8192];

static int flags_read(void **state) {
  (void)state;
  FILE *file = fopen("/proc/cpuinfo", "r");
  while (file && fgets(flags, sizeof flags - 1, file) && strncmp(flags, "flags", 5) != 0)
    flags[0] = '\0';
  if (file)
    fclose(file);
  char *end = strchr(flags, '\n');
  if (end)
    memcpy(end, " ", 2);
  return 0;
}

static bool is_told(const char *flag) {
  char word[64];
  snprintf(word, sizeof word, " %s ", flag);
  return strstr(flags, word) != NULL;
}

static enum lanes lanes_told(void) {
  static const char *const WIDE[] = {"avx512f",  "avx512bw", "avx512cd", "avx512dq",
                                     "avx512vl", "bmi1",     "bmi2"};
  if (!LANES_ARE_WIDE)
    return LANES_PLAIN;
  for (size_t i = 0; i < sizeof WIDE / sizeof WIDE[0]; i++)
    if (!is_told(WIDE[i]))
      return is_told("avx2") ? LANES_256 : LANES_PLAIN;
  return LANES_512;
}

static void test_widest(void **state) {
  (void)state;
  lanes_known = LANES_UNKNOWN;
  assert_int_equal(lanes_widest(), lanes_told());
  assert_int_equal(lanes_known, lanes_told());
}

static void test_features(void **state) {
  (void)state;
#ifdef PROCESSOR_HAS
  assert_int_equal(PROCESSOR_HAS(SSE4_2, "sse4.2"), is_told("sse4_2"));
  assert_int_equal(PROCESSOR_HAS(PCLMULQDQ, "pclmul"), is_told("pclmulqdq"));
  assert_int_equal(PROCESSOR_HAS(AVX2, "avx2"), is_told("avx2"));
  assert_int_equal(PROCESSOR_HAS(AVX512F, "avx512f"), is_told("avx512f"));
  assert_int_equal(PROCESSOR_HAS(VPCLMULQDQ, "vpclmulqdq"), is_told("vpclmulqdq"));
#else
  skip();
#endif
}

/* Narrower, never wider. */
static void test_narrower(void **state) {
  (void)state;
  for (int widest = LANES_PLAIN; widest <= LANES_512; widest++) {
    bool has = widest <= (int)lanes_told();
    assert_int_equal(lanes_narrow((enum lanes)widest), has);
    assert_int_equal(lanes_widest(), has ? widest : (int)lanes_told());
  }
}

/* The one that is called, of those that the macro makes. */
LANES(double, sum_of, (const double *x, size_t count), (x, count)) {
  double sum = 0;
  for (size_t i = 0; i < count; i++)
    sum += x[i];
  return sum;
}

static double last;

LANES_VOID(keep_last, (const double *x, size_t count), (x, count)) {
  last = x[count - 1];
}

static void test_every_width_runs(void **state) {
  (void)state;
  static const double X[] = {1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024};
  for (int widest = LANES_PLAIN; widest <= (int)lanes_told(); widest++) {
    assert_true(lanes_narrow((enum lanes)widest));
    last = 0;
    keep_last(X, 11);
    assert_float_equal(last, 1024, 0);
    assert_float_equal(sum_of(X, 11), 2047, 0);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_widest),
      cmocka_unit_test(test_features),
      cmocka_unit_test(test_narrower),
      cmocka_unit_test(test_every_width_runs),
  };
  return cmocka_run_group_tests_name("num lanes", tests, flags_read, NULL);
}
