/* sin, cos, atan2 against GNU MPFR (200 bits), a library for correctly rounded arithmetic
 * of any precision.  Errors are counted in units in the last place of the exact value. */
#include <stdio.h>

#include <mpfr.h>

#include "borelay/num.h"
#include "support/close.h"
#include "support/lanes_each.h"
#include "support/random.h"

#define SEED      20240517u
#define PRECISION 200

struct worst {
  double error; /* ulp */
  double a, b;
};

static double ulp_of(double exact) {
  double size = fabs(exact);
  return nextafter(size, (double)INFINITY) - size;
}

/* |got - exact| in ulp of exact, with the difference taken in 200 bits. */
static double error_in_ulp(double got, mpfr_t exact, mpfr_t scratch) {
  mpfr_sub_d(scratch, exact, got, MPFR_RNDN);
  double rounded = mpfr_get_d(exact, MPFR_RNDN);
  return fabs(mpfr_get_d(scratch, MPFR_RNDN)) / ulp_of(rounded);
}

static void worst_note(struct worst *worst, double error, double a, double b) {
  if (!(error <= worst->error))
    *worst = (struct worst){error, a, b};
}

struct reference {
  mpfr_t a, b, s, c, scratch;
};

static void reference_open(struct reference *r) {
  mpfr_inits2(PRECISION, r->a, r->b, r->s, r->c, r->scratch, (mpfr_ptr)0);
}
static void reference_close(struct reference *r) {
  mpfr_clears(r->a, r->b, r->s, r->c, r->scratch, (mpfr_ptr)0);
  mpfr_free_cache();
}

static void compare_sincos(struct reference *r, double a, struct worst *sine,
                           struct worst *cosine) {
  struct sincos got = num_sincos(a);
  mpfr_set_d(r->a, a, MPFR_RNDN);
  mpfr_sin_cos(r->s, r->c, r->a, MPFR_RNDN);
  worst_note(sine, error_in_ulp(got.sin, r->s, r->scratch), a, 0);
  worst_note(cosine, error_in_ulp(got.cos, r->c, r->scratch), a, 0);
  struct sincos mirrored = num_sincos(-a);
  assert_true(mirrored.sin == -got.sin && mirrored.cos == got.cos);
}

static void sincos_judge(const char *name, struct worst sine, struct worst cosine) {
  printf("  %-28s sin %.4f ulp at %.17g, cos %.4f ulp at %.17g\n", name, sine.error, sine.a,
         cosine.error, cosine.a);
  assert_true(sine.error < 1.0);
  assert_true(cosine.error < 1.0);
}

/* Spans of random angles, evenly and by size. */
struct span_row {
  const char *name;
  double lo, hi;
  int by_size; /* lo, hi are powers of two */
  int count;
};

static void test_sincos_spans(void **state) {
  (void)state;
  static const struct span_row rows[] = {{"|a| <= pi/4", -0.7854, 0.7854, 0, 100000},
                                         {"two turns", -12.6, 12.6, 0, 100000},
                                         {"a day of turning", -1e5, 1e5, 0, 100000},
                                         {"up to the limit", -1e9, 1e9, 0, 100000},
                                         {"every size", -300, 29.89, 1, 100000}};
  struct reference r;
  reference_open(&r);
  struct random random = {SEED};
  printf("  seed %u\n", SEED);
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    struct worst sine = {0}, cosine = {0};
    for (int k = 0; k < rows[i].count; k++) {
      double a = random_between(&random, rows[i].lo, rows[i].hi);
      compare_sincos(&r, rows[i].by_size ? exp2(a) : a, &sine, &cosine);
    }
    sincos_judge(rows[i].name, sine, cosine);
  }
  reference_close(&r);
}

/* Beside multiples of pi/2 one of the two is nearly nothing, and only a reduction with bits to
 * spare keeps it.  The doubles next to k pi/2 for every k up to 3e4 and random k up to the limit;
 * and for the proof in src/num/sincos.c, how near the nearest of them comes. */
static void test_sincos_beside_quarter_turns(void **state) {
  (void)state;
  struct reference r;
  reference_open(&r);
  struct random random = {SEED + 1};
  struct worst sine = {0}, cosine = {0};
  double nearest = 1;
  for (int i = 1; i <= 60000; i++) {
    int k = i <= 30000 ? i : random_whole(&random, 30000, 636000000);
    mpfr_const_pi(r.a, MPFR_RNDN);
    mpfr_mul_si(r.a, r.a, k, MPFR_RNDN);
    mpfr_div_ui(r.a, r.a, 2, MPFR_RNDN);
    double a = mpfr_get_d(r.a, MPFR_RNDN);
    mpfr_sub_d(r.scratch, r.a, a, MPFR_RNDN);
    nearest = fmin(nearest, fabs(mpfr_get_d(r.scratch, MPFR_RNDN)));
    compare_sincos(&r, a, &sine, &cosine);
    compare_sincos(&r, nextafter(a, 0), &sine, &cosine);
    compare_sincos(&r, nextafter(a, (double)INFINITY), &sine, &cosine);
    compare_sincos(&r, a / 2, &sine, &cosine); /* the seams of the reduction */
    compare_sincos(&r, nextafter(a / 2, 0), &sine, &cosine);
  }
  sincos_judge("beside k pi/2, k pi/4", sine, cosine);
  printf("  nearest double to a multiple of pi/2 met: 2^%.1f\n", log2(nearest));
  assert_true(nearest > 0x1p-70);
  reference_close(&r);
}

/* Digits: pi/2 and pi less their doubles, from pi to 50 places (from memory). */
static void test_sincos_exact_places(void **state) {
  (void)state;
  struct sincos zero = num_sincos(0.0);
  assert_true(zero.sin == 0 && zero.cos == 1);
  struct sincos tiny = num_sincos(1e-300);
  assert_true(tiny.sin == 1e-300 && tiny.cos == 1);
  struct sincos quarter = num_sincos(NUM_PI / 2);
  assert_true(quarter.sin == 1);
  assert_close(quarter.cos, 6.123233995736766e-17, 0, 1e-15); /* pi/2 less its double */
  struct sincos half = num_sincos(NUM_PI);
  assert_true(half.cos == -1);
  assert_close(half.sin, 1.2246467991473532e-16, 0, 1e-15);
  assert_true(isnan(num_sincos(1.1e9).sin) && isnan(num_sincos(-1.1e9).cos));
  assert_true(isnan(num_sincos((double)INFINITY).sin) && isnan(num_sincos((double)NAN).cos));
  assert_true(num_sincos(1e9).sin == num_sincos(1e9).sin);
}

/* sin^2 + cos^2 = 1 within three roundings, for any angle. */
static void test_sincos_unit_length(void **state) {
  (void)state;
  struct random random = {SEED + 2};
  for (int i = 0; i < 200000; i++) {
    struct sincos d = num_sincos(random_between(&random, -1e6, 1e6));
    assert_close(d.sin * d.sin + d.cos * d.cos, 1, 4.5e-16, 0);
  }
}

static void compare_atan2(struct reference *r, double y, double x, struct worst *worst) {
  double got = num_atan2(y, x);
  mpfr_set_d(r->a, y, MPFR_RNDN);
  mpfr_set_d(r->b, x, MPFR_RNDN);
  mpfr_atan2(r->s, r->a, r->b, MPFR_RNDN);
  worst_note(worst, error_in_ulp(got, r->s, r->scratch), y, x);
  if (y != 0)
    assert_true(num_atan2(-y, x) == -got);
}

static void test_atan2_against_mpfr(void **state) {
  (void)state;
  struct reference r;
  reference_open(&r);
  struct random random = {SEED + 3};
  struct worst even = {0}, sized = {0}, seams = {0};
  for (int i = 0; i < 150000; i++) {
    double y = random_between(&random, -1000, 1000), x = random_between(&random, -1000, 1000);
    compare_atan2(&r, y, x, &even);
  }
  for (int i = 0; i < 150000; i++) {
    double y = exp2(random_between(&random, -60, 60)), x = exp2(random_between(&random, -60, 60));
    compare_atan2(&r, y, i & 1 ? x : -x, &sized);
  }
  static const double seam[] = {0.1875, 0.375, 0.625, 0.875, 1};
  for (int i = 0; i < 50000; i++) {
    double x = random_between(&random, 0.5, 500);
    double y = x * seam[i % 5] * (1 + random_between(&random, -1e-3, 1e-3) * (i % 7 != 0));
    compare_atan2(&r, y, x, &seams);
    compare_atan2(&r, x, y, &seams);
    compare_atan2(&r, x, -y, &seams);
    compare_atan2(&r, y, -x, &seams);
  }
  printf("  seed %u; atan2 even %.4f ulp, sizes %.4f ulp, seams %.4f ulp at (%.17g, %.17g)\n", SEED,
         even.error, sized.error, seams.error, seams.a, seams.b);
  assert_true(even.error < 2 && sized.error < 2 && seams.error < 2);
  reference_close(&r);
}

static void test_atan2_exact_places(void **state) {
  (void)state;
  assert_true(num_atan2(0, 0) == 0);
  assert_true(num_atan2(0, 1) == 0 && num_atan2(0, -1) == NUM_PI);
  assert_true(num_atan2(-0.0, -1) == NUM_PI);
  assert_true(num_atan2(1, 0) == NUM_PI / 2 && num_atan2(-1, 0) == -NUM_PI / 2);
  assert_true(num_atan2(2, 2) == NUM_PI / 4 && num_atan2(-3, -3) == -0.75 * NUM_PI);
  assert_true(num_atan2(-1e-30, -1) == -NUM_PI);
}

static void test_hypot(void **state) {
  (void)state;
  assert_true(num_hypot(3, -4) == 5 && num_hypot(0, 0) == 0 && num_hypot(-20, 21) == 29);
}

/* Many at a time: the same bits, whatever their number and whichever of them are out of range. */
static void test_sincos_all_same_bits(void **state) {
  (void)state;
  enum { MOST = 300 };
  struct random random = {SEED};
  for (int round = 0; round < 4000; round++) {
    double a[MOST], sine[MOST], cosine[MOST];
    size_t count = (size_t)random_whole(&random, 0, MOST);
    double far = round % 3 == 0 ? 1.5e9 : round % 3 == 1 ? 1e4 : 4;
    for (size_t i = 0; i < count; i++)
      a[i] = random_between(&random, -far, far);
    if (count > 0 && round % 50 == 0)
      a[count / 2] = round % 100 ? (double)NAN : -(double)INFINITY;
    num_sincos_all(a, sine, cosine, count);
    for (size_t i = 0; i < count; i++) {
      struct sincos one = num_sincos(a[i]);
      assert_memory_equal(&one.sin, &sine[i], sizeof one.sin);
      assert_memory_equal(&one.cos, &cosine[i], sizeof one.cos);
    }
  }
}

/* Near one another: within 4e-16, which num_sincos() itself is off by 1.2e-16 of; or told to be too
 * far apart. */
static void test_sincos_near(void **state) {
  (void)state;
  enum { MOST = 130 };
  struct random random = {SEED};
  double most = 0;
  int far = 0;
  for (int round = 0; round < 20000; round++) {
    double a[MOST], sine[MOST], cosine[MOST];
    size_t count = (size_t)random_whole(&random, 1, MOST);
    double size = round % 3 == 0 ? 1e4 : round % 3 == 1 ? 4 : 0.1;
    double middle = random_between(&random, -size, size);
    double width = random_whole(&random, 0, 9) ? 1.0 / 16 : 0.07;
    bool is_far = false;
    a[count / 2] = middle;
    for (size_t i = 0; i < count; i++) {
      if (i != count / 2)
        a[i] = middle + random_between(&random, -width, width);
      is_far = is_far || !(fabs(a[i] - middle) <= 1.0 / 16);
    }
    assert_int_equal(num_sincos_near(a, sine, cosine, count), !is_far);
    far += is_far;
    for (size_t i = 0; !is_far && i < count; i++) {
      struct sincos one = num_sincos(a[i]);
      most = fmax(most, fmax(fabs(sine[i] - one.sin), fabs(cosine[i] - one.cos)));
    }
  }
  printf("  sincos near: %.3g from num_sincos()\n", most);
  assert_true(most < 4e-16);
  assert_in_range(far, 500, 10000);
  double odd[3] = {0.1, 2e9, 0.1}, sine[3], cosine[3];
  assert_false(num_sincos_near(odd, sine, cosine, 3) && isfinite(cosine[0]));
  odd[1] = 0.1;
  odd[2] = (double)INFINITY;
  assert_false(num_sincos_near(odd, sine, cosine, 3));
}

/* Places on and beside the borders of octants and of the tangents that are taken off. */
static void test_atan2_all_same_bits(void **state) {
  (void)state;
  enum { MOST = 70 };
  struct random random = {SEED};
  for (int round = 0; round < 4000; round++) {
    double y[MOST], x[MOST], angle[MOST];
    size_t count = (size_t)random_whole(&random, 0, MOST);
    for (size_t i = 0; i < count; i++) {
      double size = round % 2 ? 1 : 1e-9;
      x[i] = random_between(&random, -100, 100);
      y[i] = random_between(&random, -100, 100) * size;
      int kind = random_whole(&random, 0, 12);
      if (kind <= 8)
        y[i] = x[i] * (double)(kind - 4) / 4 * (1 + (double)random_whole(&random, -1, 1) * 0x1p-52);
      if (kind == 9)
        x[i] = 0;
      if (kind == 10)
        y[i] = x[i] * 0.375;
      if (kind == 11)
        x[i] = -0.0;
    }
    num_atan2_all(y, x, angle, count);
    for (size_t i = 0; i < count; i++) {
      double one = num_atan2(y[i], x[i]);
      assert_memory_equal(&one, &angle[i], sizeof one);
    }
  }
}

static int run(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_sincos_spans),
      cmocka_unit_test(test_sincos_beside_quarter_turns),
      cmocka_unit_test(test_sincos_exact_places),
      cmocka_unit_test(test_sincos_unit_length),
      cmocka_unit_test(test_sincos_all_same_bits),
      cmocka_unit_test(test_sincos_near),
      cmocka_unit_test(test_atan2_against_mpfr),
      cmocka_unit_test(test_atan2_exact_places),
      cmocka_unit_test(test_atan2_all_same_bits),
      cmocka_unit_test(test_hypot),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The loops over many numbers at each width, against the same one by one. */
int main(void) {
  return lanes_each(run);
}
