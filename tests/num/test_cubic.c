/* Cubics, as properties over random ones; no source needed but the algebra named. */
#include <stdio.h>

#include "borelay/num.h"
#include "support/close.h"
#include "support/random.h"

#define SEED   771u
#define TRIALS 20000

static struct cubic random_cubic(struct random *random) {
  return (struct cubic){random_between(random, -50, 50), random_between(random, -20, 20),
                        random_between(random, -5, 5), random_between(random, -2, 2)};
}

/* Sum of the sizes of the terms: what rounding is measured against. */
static double cubic_size(struct cubic p, double x) {
  x = fabs(x);
  return fabs(p.c0) + x * (fabs(p.c1) + x * (fabs(p.c2) + x * fabs(p.c3)));
}

static void test_values(void **state) {
  (void)state;
  struct cubic p = {1, -2, 3, -4};
  assert_true(cubic_at(p, 2) == 1 - 4 + 12 - 32);
  assert_true(cubic_derivative(p, 2, 1) == -2 + 12 - 48);
  assert_true(cubic_derivative(p, 2, 2) == 6 - 48);
  assert_true(cubic_derivative(p, 2, 3) == -24);
}

/* p seen from elsewhere is the same p. */
static void test_shift(void **state) {
  (void)state;
  struct random random = {SEED};
  for (int i = 0; i < TRIALS; i++) {
    struct cubic p = random_cubic(&random);
    double shift = random_between(&random, -10, 10), x = random_between(&random, -10, 10);
    struct cubic q = cubic_shift(p, shift);
    double size = cubic_size(p, fabs(x) + fabs(shift));
    assert_close(cubic_at(q, x), cubic_at(p, x + shift), 2e-15 * size, 0);
    for (int k = 1; k <= 3; k++)
      assert_close(cubic_derivative(q, x, k), cubic_derivative(p, x + shift, k),
                   2e-14 * (size + cubic_size(p, 1)), 0);
  }
}

/* The range holds every value, and both ends of it are reached.  500 samples of a cubic whose
 * second derivative is at most M leave extremes out by M h^2 / 8 at most. */
static void test_range(void **state) {
  (void)state;
  struct random random = {SEED + 1};
  enum { SAMPLES = 500 };
  for (int i = 0; i < TRIALS / 10; i++) {
    struct cubic p = random_cubic(&random);
    if (i % 5 == 0)
      p.c3 = 0;
    if (i % 15 == 0)
      p.c2 = 0;
    double a = random_between(&random, -8, 8), b = a + random_between(&random, 0, 10);
    double least, largest;
    cubic_range(p, a, b, &least, &largest);
    double seen_least = (double)INFINITY, seen_largest = -(double)INFINITY;
    for (int k = 0; k <= SAMPLES; k++) {
      double value = cubic_at(p, a + (b - a) * k / SAMPLES);
      seen_least = fmin(seen_least, value);
      seen_largest = fmax(seen_largest, value);
    }
    double h = (b - a) / SAMPLES, far = fmax(fabs(a), fabs(b));
    double rounding = 1e-14 * cubic_size(p, far);
    double gap = (2 * fabs(p.c2) + 6 * fabs(p.c3) * far) * h * h / 8 + rounding;
    assert_true(least <= seen_least + rounding && least >= seen_least - gap);
    assert_true(largest >= seen_largest - rounding && largest <= seen_largest + gap);
  }
}

/* (x - r)^2 (x - q): the touching root is a turning point with the value 0. */
static void test_range_known(void **state) {
  (void)state;
  double least, largest;
  struct cubic p = {-2 * 2 * 5, 2 * 2 + 2 * 2 * 5, -(2 * 2 + 5), 1}; /* r 2, q 5 */
  cubic_range(p, 1, 4.5, &least, &largest);
  assert_close(largest, 0, 1e-14, 0);
  assert_close(least, -4, 1e-14, 0); /* at x = 4, or at 1 */
  cubic_range((struct cubic){3, 0, 0, 0}, -1, 1, &least, &largest);
  assert_true(least == 3 && largest == 3);
  cubic_range((struct cubic){0, 0, 0, 1}, -2, 3, &least, &largest);
  assert_true(least == -8 && largest == 27);
  cubic_range(p, 2, 2, &least, &largest);
  assert_true(least == largest);
}

/* Rising on [a, b]: the derivative is a square plus something not negative. */
static struct cubic random_rising(struct random *random, double a) {
  double m = random_between(random, -3, 3), n = random_between(random, a - 1, a + 12);
  double floor_slope = random_whole(random, 0, 3) ? random_between(random, 0, 2) : 0;
  return (struct cubic){random_between(random, -50, 50), m * m * n * n + floor_slope, -m * m * n,
                        m * m / 3};
}

static void test_solve_rising(void **state) {
  (void)state;
  struct random random = {SEED + 2};
  printf("  seed %u\n", SEED);
  for (int i = 0; i < TRIALS; i++) {
    double a = random_between(&random, -10, 10), b = a + random_between(&random, 0.01, 10);
    struct cubic p = random_rising(&random, a);
    double x = random_between(&random, a, b), value = cubic_at(p, x);
    double got = cubic_solve_rising(p, a, b, value);
    assert_true(got >= a && got <= b);
    double step = 4 * 2.3e-16 * fmax(fabs(a), fabs(b));
    double rounding = 2e-15 * cubic_size(p, fmax(fabs(a), fabs(b)));
    assert_close(cubic_at(p, got), value, rounding, 0);
    double slope = cubic_derivative(p, x, 1);
    if (slope > 0.5) /* steep: the place itself is sharp */
      assert_close(got, x, step + 4 * rounding / slope, 0);
  }
}

static void test_solve_rising_ends(void **state) {
  (void)state;
  struct cubic p = {0, 1, 0, 0};
  assert_true(cubic_solve_rising(p, 2, 3, 1) == 2);
  assert_true(cubic_solve_rising(p, 2, 3, 2) == 2);
  assert_true(cubic_solve_rising(p, 2, 3, 4) == 3);
  assert_close(cubic_solve_rising(p, 2, 3, 2.25), 2.25, 1e-15, 0);
  struct cubic eased = {0, 0, 3, -2}; /* flat at both ends of [0, 1] */
  assert_close(cubic_solve_rising(eased, 0, 1, 0.5), 0.5, 1e-15, 0);
  assert_close(cubic_solve_rising(eased, 0, 1, 1e-20), sqrt(1e-20 / 3), 0, 1e-5);
  assert_close(cubic_solve_rising((struct cubic){0, 0, 0, 1}, -1, 1, 0), 0, 1e-15, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_values),       cmocka_unit_test(test_shift),
      cmocka_unit_test(test_range),        cmocka_unit_test(test_range_known),
      cmocka_unit_test(test_solve_rising), cmocka_unit_test(test_solve_rising_ends),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
