/* Branch and bound on functions whose peaks are known. */
#include "support/close.h"

#include "check/search.h"
#include "support/random.h"

struct wave { /* height sin(rate t + lag), and how often it was looked at */
  double height, rate, lag;
  int *looks;
};

static void wave_values(const void *context, double t, double *values) {
  const struct wave *w = context;
  ++*w->looks;
  values[0] = w->height * sin(w->rate * t + w->lag);
  values[1] = -values[0];
}

/* Second order: the middle's value, its slope, and half the largest bend. */
static void wave_bounds(const void *context, double ta, double tb, double *bounds) {
  const struct wave *w = context;
  double mid = (ta + tb) / 2, half = (tb - ta) / 2, slope = w->height * w->rate;
  double value = w->height * sin(w->rate * mid + w->lag);
  double reach = fabs(slope * cos(w->rate * mid + w->lag)) * half +
                 fabs(slope) * fabs(w->rate) * half * half / 2;
  bounds[0] = value + reach;
  bounds[1] = -value + reach;
}

static void finds_the_peak(void **state) {
  (void)state;
  struct random random = {11};
  for (int i = 0; i < 500; i++) {
    int looks = 0;
    struct wave wave = {random_between(&random, 0.1, 5), random_between(&random, 0.5, 20),
                        random_between(&random, 0, 6), &looks};
    struct subject subject = {wave_values, wave_bounds, &wave, NULL};
    struct search search;
    search_begin(&search, 2);
    search.tolerance[0] = search.tolerance[1] = 1e-7;
    search_stretch(&search, &subject, 0, 20); /* more than one period */
    for (int k = 0; k < 2; k++) {
      assert_true(search.best[k].value <= wave.height * (1 + 1e-12));
      assert_true(search.best[k].value >= wave.height - 1e-7);
      double reached = sin(wave.rate * search.best[k].t + wave.lag);
      assert_close(search.best[k].value, (k ? -1 : 1) * wave.height * reached, 1e-12, 0);
    }
  }
}

static void ends_count(void **state) {
  (void)state;
  int looks = 0;
  struct wave wave = {1, 1, 0, &looks};
  struct subject subject = {wave_values, wave_bounds, &wave, NULL};
  struct search search;
  search_begin(&search, 2);
  search.tolerance[0] = search.tolerance[1] = 1e-9;
  search_stretch(&search, &subject, 0.2, 1.1);
  assert_close(search.best[0].value, sin(1.1), 1e-9, 0);
  assert_close(search.best[0].t, 1.1, 0, 0);
  assert_close(search.best[1].value, -sin(0.2), 1e-9, 0);
}

/* A bound that says what is really reached, as the enclosures of a piece do on most stretches. */
static void exact_bounds(const void *context, double ta, double tb, double *bounds) {
  (void)ta;
  (void)tb;
  const struct wave *w = context;
  bounds[0] = bounds[1] = w->height;
}

/* Once the peak is known, another lap costs a look at each end. */
static void repeated_laps_cost_little(void **state) {
  (void)state;
  int looks = 0;
  struct wave wave = {1, 1, 0, &looks};
  struct subject subject = {wave_values, exact_bounds, &wave, NULL};
  struct search search;
  search_begin(&search, 2);
  search.tolerance[0] = search.tolerance[1] = 1e-6;
  const double turn = 6.283185307179586;
  search_stretch(&search, &subject, 0, turn);
  looks = 0;
  for (int lap = 1; lap < 50; lap++)
    search_stretch(&search, &subject, lap * turn, (lap + 1) * turn);
  assert_int_equal(looks, 2 * 49);
}

/* A place where the quantity, or the bound on it, is no number. */
static void hole_values(const void *context, double t, double *values) {
  const bool *bound_only = context;
  values[0] = !*bound_only && t > 0.4 && t < 0.6 ? (double)NAN : t;
}

static void hole_bounds(const void *context, double ta, double tb, double *bounds) {
  (void)context;
  bounds[0] = ta > 0.3 && tb < 0.7 ? (double)NAN : tb;
}

static void no_number_is_no_verdict(void **state) {
  (void)state;
  for (int bound_only = 0; bound_only < 2; bound_only++) {
    bool context = bound_only;
    struct subject subject = {hole_values, hole_bounds, &context, NULL};
    struct search search;
    double nothing = (double)NAN;
    search_begin(&search, 1);
    search.tolerance[0] = 1e-6;
    search_raise(&search, 0, 0.2, 0, NULL);
    assert_true(search_may_raise(&search, &nothing));
    search_stretch(&search, &subject, 0.35, 0.65);
    assert_true(isinf(search.best[0].value));
    search_raise(&search, 0, 0.7, 1, NULL);
    assert_true(isinf(search.best[0].value));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(finds_the_peak),
      cmocka_unit_test(ends_count),
      cmocka_unit_test(repeated_laps_cost_little),
      cmocka_unit_test(no_number_is_no_verdict),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
