/* Jerk-limited profiles against published examples and against their own limits. */
#include <stdio.h>

#include "motion/profile.h"
#include "support/close.h"

/* Seven-segment S-curves, rest to rest.  The case split is that of L. Biagiotti, C. Melchiorri,
 * Trajectory Planning for Automatic Machines and Robots, Springer 2008, chapter 3 (from memory);
 * the figures were integrated segment by segment. */
struct row {
  const char *name;
  double distance, speed, accel, jerk;
  double total, peak_speed, peak_accel;
};
static const struct row rows[] = {
    {"speed reached", 10, 5, 10, 30, 2.833333333, 5, 10},
    {"speed reached, long", 100, 10, 20, 200, 10.6, 10, 20},
    {"speed just reached", 30, 10, 20, 40, 4, 10, 20},
    {"head, one turn", 360, 90, 180, 900, 4.7, 90, 180},
    {"acceleration reached, speed not", 4, 10, 20, 100, 1.116515139, 7.165151390, 20},
    {"neither", 10, 10, 20, 30, 2.201284833, 9.085602964, 16.509636244},
    {"neither, short", 1, 5, 10, 30, 1.021745910, 1.957433821, 7.663094324},
    {"neither, very short", 0.1, 10, 20, 200, 0.251984210, 0.793700526, 12.599210499},
};

struct extremes {
  double speed, accel, jerk;
};

static struct extremes profile_extremes(const struct profile *p) {
  struct extremes most = {0, 0, 0};
  for (size_t i = 0; i < p->count; i++)
    for (int k = 0; k <= 50; k++) {
      double x = p->seg[i].duration * k / 50;
      most.speed = fmax(most.speed, fabs(cubic_derivative(p->seg[i].q, x, 1)));
      most.accel = fmax(most.accel, fabs(cubic_derivative(p->seg[i].q, x, 2)));
      most.jerk = fmax(most.jerk, fabs(cubic_derivative(p->seg[i].q, x, 3)));
    }
  return most;
}

/* Position, speed and acceleration go on from one segment to the next. */
static void assert_joined(const struct profile *p, double scale) {
  for (size_t i = 0; i + 1 < p->count; i++)
    for (int k = 0; k <= 2; k++) {
      double end = k == 0 ? cubic_at(p->seg[i].q, p->seg[i].duration)
                          : cubic_derivative(p->seg[i].q, p->seg[i].duration, k);
      double begin = k == 0 ? p->seg[i + 1].q.c0 : cubic_derivative(p->seg[i + 1].q, 0, k);
      assert_close(end, begin, 1e-9 * scale, 1e-9);
    }
}

static void test_published(void **state) {
  const struct row *row = *state;
  struct profile p = profile_rest_to_rest(row->distance, row->speed, row->accel, row->jerk);
  struct extremes most = profile_extremes(&p);
  assert_close(p.duration, row->total, 1e-9, 0);
  assert_close(most.speed, row->peak_speed, 2e-9, 0);
  assert_close(most.accel, row->peak_accel, 2e-9, 0);
  assert_close(most.jerk, row->jerk, 0, 1e-9);
  assert_close(profile_at(&p, p.duration), row->distance, 1e-9, 0);
  assert_joined(&p, row->accel);
}

/* With a jerk beyond all measure the trapezoid is left: 100, 10, 20 takes 10.5 (arithmetic). */
static void test_trapezoid_limit(void **state) {
  (void)state;
  assert_close(profile_rest_to_rest(100, 10, 20, 1e9).duration, 10.5, 1e-6, 0);
}

static double random_in(uint64_t *seed, double lo, double hi) {
  *seed = *seed * 6364136223846793005u + 1442695040888963407u;
  return lo + (hi - lo) * (double)(*seed >> 11) / 9007199254740992.0;
}

static void test_properties(void **state) {
  (void)state;
  uint64_t seed = 20260521;
  for (int i = 0; i < 5000; i++) {
    double d = random_in(&seed, 1e-4, 300), v = random_in(&seed, 0.5, 300);
    double a = random_in(&seed, 5, 2000), j = random_in(&seed, 20, 20000);
    struct profile p = profile_rest_to_rest(d, v, a, j);
    struct extremes most = profile_extremes(&p);
    if (!(most.speed <= v * (1 + 1e-9) && most.accel <= a * (1 + 1e-9) &&
          most.jerk <= j * (1 + 1e-9)))
      print_error("seed step %d: %g %g %g %g\n", i, d, v, a, j);
    assert_true(most.speed <= v * (1 + 1e-9));
    assert_true(most.accel <= a * (1 + 1e-9));
    assert_true(most.jerk <= j * (1 + 1e-9));
    assert_close(profile_at(&p, p.duration), d, 1e-9, 1e-12);
    assert_true(p.duration >= d / v * (1 - 1e-12));
    assert_true(profile_rest_to_rest(d, v * 1.1, a * 1.1, j * 1.1).duration <=
                p.duration * (1 + 1e-12));
    assert_joined(&p, fmax(a, d));
    double longer = p.duration * random_in(&seed, 1, 1.5);
    profile_stretch(&p, longer);
    most = profile_extremes(&p);
    assert_close(profile_at(&p, longer), d, 1e-9, 1e-12);
    assert_true(most.accel <= a * (1 + 1e-9) && most.jerk <= j * (1 + 1e-9));
  }
}

static void test_travel(void **state) {
  (void)state;
  struct ramp up = ramp_make(3, 20, 200), down = ramp_make(3, 10, 100);
  struct profile p = profile_travel(2, up, 3, 50, down, 8);
  assert_close(p.duration, 2 + ramp_duration(up) + 50 + ramp_duration(down) + 8, 1e-12, 0);
  assert_close(profile_at(&p, 1.9), 0, 0, 0);
  double way = 3 * (50 + ramp_duration(up) / 2 + ramp_duration(down) / 2);
  assert_close(profile_at(&p, p.duration), way, 1e-12, 1e-13);
  assert_close(profile_at(&p, p.duration - 7.9), way, 1e-12, 1e-13);
  assert_joined(&p, 200);
}

int main(void) {
  struct CMUnitTest tests[sizeof rows / sizeof rows[0] + 3];
  size_t n = 0;
  for (; n < sizeof rows / sizeof rows[0]; n++)
    tests[n] =
        (struct CMUnitTest){rows[n].name, test_published, NULL, NULL, (void *)(uintptr_t)&rows[n]};
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_trapezoid_limit);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_properties);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_travel);
  return _cmocka_run_group_tests("profile", tests, n, NULL, NULL);
}
