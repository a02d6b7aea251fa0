/* A racetrack through five touches: closed form, exact rows with the digits printed. */
#include <stdio.h>

#include <gsl/gsl_linalg.h>

#include "borelay/num.h"
#include "shape/fit_racetrack.h"
#include "support/close.h"
#include "support/random.h"

#define SEED 57u

static const double degree = NUM_PI / 180;
static const double least = 0.5;

struct row {
  const char *name;
  vec2 touch[5];
  double heading, across, straight;
  vec2 centre, end_3, end_5;
  double slack;
};

/* derivation in docs/fits.md. */
static const struct row rows[] = {
    {"R-1",
     {{-30, -40}, {30, -40}, {100, 0}, {10, 40}, {-100, 0}},
     0,
     80,
     120,
     {0, 0},
     {60, 0},
     {-60, 0},
     1e-12},
    {"R-2",
     {{7.179491924, -38.650635095},
      {54.810889132, -11.150635095},
      {68.291651246, 25.5},
      {3.830127019, 17.150635095},
      {-44.291651246, -39.5}},
     30,
     50,
     80,
     {12, -7},
     {46.641016151, 13},
     {-22.641016151, -27},
     2e-9},
    {"R-3",
     {{18.840156580, 9.818073601},
      {5.446236447, -22.517710037},
      {-23.940318364, -43.683080252},
      {-19.421121068, 17.007276114},
      {14.940318364, 50.183080252}},
     -112.5,
     -38.1,
     63.5,
     {-4.5, 3.25},
     {-16.650198978, -26.083175157},
     {7.650198978, 32.583175157},
     2e-9},
    {"R-4",
     {{-30, -40}, {30, -40}, {99.847787924, 3.486229710}, {10, 40}, {-100, 0}},
     0,
     80,
     120,
     {0, 0},
     {60, 0},
     {-60, 0},
     1e-9},
    {"R-5",
     {{7.18, -38.65}, {54.81, -11.15}, {68.29, 25.5}, {3.83, 17.15}, {-44.29, -39.5}},
     30.000727781,
     2 * 24.999449994,
     79.998239981,
     {12, -7},
     {0, 0},
     {0, 0},
     1e-8},
};

static void assert_point(vec2 got, vec2 want, double slack) {
  assert_close(got.x, want.x, slack, 0);
  assert_close(got.y, want.y, slack, 0);
}

static void test_rows(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    const struct row *row = &rows[i];
    struct racetrack_fit fit;
    struct racetrack_misfit misfit = racetrack_fit(row->touch, least, &fit);
    assert_int_equal(misfit.fault, RACETRACK_FITS);
    /* An angle's digits were printed to 1e-9 degrees; points 55 mm apart, to 1e-9 mm. */
    assert_close(fit.heading, row->heading * degree, fmax(row->slack / 30, 2e-11), 0);
    assert_close(fit.across, row->across, row->slack, 0);
    assert_close(fit.radius, fabs(row->across) / 2, row->slack, 0);
    assert_close(fit.straight, row->straight, row->slack, 0);
    assert_point(fit.centre, row->centre, fmax(row->slack, i == 4 ? 5e-3 : 0));
    if (i < 4) {
      assert_point(fit.end_3, row->end_3, row->slack);
      assert_point(fit.end_5, row->end_5, row->slack);
    }
  }
}

/* the two ends exchanged; R-8: points 1 and 2 exchanged.  The racetrack stays. */
static void test_exchanged(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    const vec2 *t = rows[i].touch;
    struct racetrack_fit fit, ends, ways;
    racetrack_fit(t, least, &fit);
    const vec2 ends_exchanged[5] = {t[0], t[1], t[4], t[3], t[2]};
    assert_int_equal(racetrack_fit(ends_exchanged, least, &ends).fault, RACETRACK_FITS);
    assert_close(ends.straight, fit.straight, 1e-12, 0);
    assert_point(ends.centre, fit.centre, 1e-12);
    assert_point(ends.end_3, fit.end_5, 1e-12);
    assert_point(ends.end_5, fit.end_3, 1e-12);
    const vec2 ways_exchanged[5] = {t[1], t[0], t[2], t[3], t[4]};
    assert_int_equal(racetrack_fit(ways_exchanged, least, &ways).fault, RACETRACK_FITS);
    assert_close(fabs(ways.heading - fit.heading), NUM_PI, 1e-14, 0);
    assert_close(ways.across, -fit.across, 1e-12, 0);
    assert_point(ways.centre, fit.centre, 1e-12);
    assert_close(ways.straight, fit.straight, 1e-12, 0);
    assert_close(ways.turned, fit.turned, 1e-14, 0);
  }
}

/* R-7 and the other ways in which five points make no racetrack, after R-1. */
static void test_misfits(void **state) {
  (void)state;
  static const struct {
    const char *name;
    vec2 touch[5];
    enum racetrack_fault fault;
    int point;
    double figure;
  } bad[] = {
      {"1 and 2 coincide",
       {{30, -40}, {30, -40}, {100, 0}, {10, 40}, {-100, 0}},
       RACETRACK_SAME_POINT,
       2,
       0},
      {"4 on the wall of 1 and 2",
       {{-30, -40}, {30, -40}, {100, 0}, {10, -40.25}, {-100, 0}},
       RACETRACK_SAME_STRAIGHT,
       4,
       0.25},
      {"3 and 5 coincide",
       {{-30, -40}, {30, -40}, {-100, 0}, {10, 40}, {-100, 0}},
       RACETRACK_SAME_END,
       5,
       80},
      {"3 on a straight",
       {{-30, -40}, {30, -40}, {50, 40}, {10, 40}, {-100, 0}},
       RACETRACK_NOT_AN_END,
       3,
       40},
      {"2 and 3 exchanged",
       {{-30, -40}, {100, 0}, {30, -40}, {10, 40}, {-100, 0}},
       RACETRACK_NOT_AN_END,
       3,
       49.9946},
      {"4 past the straight by less than a touch is off",
       {{-30, -40}, {30, -40}, {100, 0}, {60.49, 40}, {-100, 0}},
       RACETRACK_FITS,
       0,
       0},
      {"4 past the straight",
       {{-30, -40}, {30, -40}, {100, 0}, {62.5, 40}, {-100, 0}},
       RACETRACK_PAST_STRAIGHT,
       4,
       2.5},
      {"1 past the straight",
       {{-64, -40}, {30, -40}, {100, 0}, {0, 40}, {-100, 0}},
       RACETRACK_PAST_STRAIGHT,
       1,
       4},
  };
  for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
    struct racetrack_fit fit;
    struct racetrack_misfit got = racetrack_fit(bad[i].touch, least, &fit);
    if (got.fault != bad[i].fault || got.point != bad[i].point)
      fail_msg("%s: fault %d at point %d", bad[i].name, (int)got.fault, got.point);
    assert_close(got.figure, bad[i].figure, 1e-3, 0);
  }
}

/* Five touches taken from a racetrack, anywhere where they may be, in either turning sense. */
struct taken {
  vec2 touch[5];
  vec2 centre;
  double straight, radius, turned, base, along_4;
};

static vec2 carried(const struct taken *t, double along, double across) {
  struct sincos d = num_sincos(t->turned);
  return (vec2){t->centre.x + along * d.cos - across * d.sin,
                t->centre.y + along * d.sin + across * d.cos};
}

static struct taken take_touches(struct random *random, double lean_most) {
  struct taken t = {.straight = random_between(random, 20, 200),
                    .radius = random_between(random, 15, 80),
                    .turned = random_between(random, -3.1, 3.1)};
  t.centre.x = random_between(random, -300, 300);
  t.centre.y = random_between(random, -300, 300);
  double half = t.straight / 2, way = random_whole(random, 0, 1) ? 1 : -1;
  double first = -way * random_between(random, 0.3, 1) * half;
  double second = way * random_between(random, 0.3, 1) * half;
  t.along_4 = random_between(random, -1, 1) * half;
  t.base = fabs(second - first);
  double lean_3 = random_between(random, -lean_most, lean_most);
  double lean_5 = random_between(random, -lean_most, lean_most);
  struct sincos at_3 = num_sincos(lean_3), at_5 = num_sincos(lean_5);
  t.touch[0] = carried(&t, first, -t.radius);
  t.touch[1] = carried(&t, second, -t.radius);
  t.touch[2] = carried(&t, way * (half + t.radius * at_3.cos), t.radius * at_3.sin);
  t.touch[3] = carried(&t, t.along_4, t.radius);
  t.touch[4] = carried(&t, -way * (half + t.radius * at_5.cos), t.radius * at_5.sin);
  return t;
}

static void test_taken_back(void **state) {
  (void)state;
  struct random random = {SEED};
  printf("  seed %u\n", SEED);
  for (int i = 0; i < 20000; i++) {
    struct taken t = take_touches(&random, 1.2);
    struct racetrack_fit fit;
    assert_int_equal(racetrack_fit(t.touch, least, &fit).fault, RACETRACK_FITS);
    double slack = 1e-9 * (1 + 400 / t.base);
    assert_point(fit.centre, t.centre, slack);
    assert_close(fit.straight, t.straight, slack, 0);
    assert_close(fit.radius, t.radius, slack, 0);
    assert_close(fit.turned, t.turned, slack, 0);
  }
}

/* Standard errors of a racetrack touched at its apexes, errors 1, by hand from the closed form:
 * along 1/sqrt 2; across: mean of 1 and 2 and point 4, both carried to the centre by a slope whose
 * error is sqrt 2 / b.  And the same by trial: 0.0354 along for touches of 0.05 (R-2's layout). */
static void test_spread(void **state) {
  (void)state;
  struct random random = {SEED + 1};
  for (int i = 0; i < 2000; i++) {
    struct taken t = take_touches(&random, 0);
    struct racetrack_fit fit;
    racetrack_fit(t.touch, least, &fit);
    vec2 middle = vec2_scale(vec2_add(t.touch[0], t.touch[1]), 0.5);
    struct sincos d = num_sincos(t.turned);
    vec2 away = vec2_sub(middle, t.centre);
    double along_12 = away.x * d.cos + away.y * d.sin;
    double lever = (along_12 + t.along_4) / t.base;
    double across = sqrt(0.25 * (1.5 + 2 * lever * lever));
    assert_close(fit.spread, fmax(across, sqrt(0.5)), 1e-9, 1e-9);
  }
}

/* Signed distance of a point from a racetrack, in closed form: hypot(max(|x| - a/2, 0), y) - R in
 * its own frame. */
static double distance_from(const double unknown[5], vec2 point) {
  double c = cos(unknown[2]), s = sin(unknown[2]);
  double dx = point.x - unknown[0], dy = point.y - unknown[1];
  double x = dx * c + dy * s, y = dy * c - dx * s;
  return hypot(fmax(fabs(x) - unknown[3], 0), y) - unknown[4];
}

/* The centre's standard error from that distance's slopes by central differences, inverted by the
 * GNU Scientific Library. */
static double gsl_spread(const vec2 touch[5], const struct racetrack_fit *fit) {
  const double at[5] = {fit->centre.x, fit->centre.y, fit->turned, fit->straight / 2, fit->radius};
  gsl_matrix *slopes = gsl_matrix_alloc(5, 5), *inverse = gsl_matrix_alloc(5, 5);
  for (int k = 0; k < 5; k++) {
    double step = k == 2 ? 1e-6 : 1e-4, up[5], down[5];
    for (int i = 0; i < 5; i++)
      up[i] = down[i] = at[i];
    up[k] += step;
    down[k] -= step;
    for (int i = 0; i < 5; i++)
      gsl_matrix_set(slopes, (size_t)i, (size_t)k,
                     (distance_from(up, touch[i]) - distance_from(down, touch[i])) / (2 * step));
  }
  gsl_permutation *order = gsl_permutation_alloc(5);
  int sign;
  gsl_linalg_LU_decomp(slopes, order, &sign);
  gsl_linalg_LU_invert(slopes, order, inverse);
  double xx = 0, xy = 0, yy = 0;
  for (size_t i = 0; i < 5; i++) {
    double x = gsl_matrix_get(inverse, 0, i), y = gsl_matrix_get(inverse, 1, i);
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  gsl_permutation_free(order);
  gsl_matrix_free(slopes);
  gsl_matrix_free(inverse);
  return sqrt((xx + yy) / 2 + hypot((xx - yy) / 2, xy));
}

/* Anywhere on the half circles, and on the straights up to a step from their ends. */
static void test_spread_against_gsl(void **state) {
  (void)state;
  struct random random = {SEED + 3};
  int along = 0, judged = 0;
  for (int i = 0; i < 2000; i++) {
    struct taken t = take_touches(&random, i % 2 ? 1.3 : 0.1);
    t.touch[3] = carried(&t, t.along_4 * 0.99, t.radius);
    struct racetrack_fit fit;
    assert_int_equal(racetrack_fit(t.touch, least, &fit).fault, RACETRACK_FITS);
    if (fabs(t.base) > 0.97 * t.straight)
      continue; /* touched at the very joints, where differences mix two slopes */
    assert_close(fit.spread, gsl_spread(t.touch, &fit), 0, 1e-5);
    along += fit.spreads_along;
    judged++;
  }
  printf("  seed %u: %d of %d held worse along\n", SEED + 3, along, judged);
  assert_true(along > judged / 10 && along < judged * 9 / 10);
}

/* Monte Carlo of R-2's layout with touches good to 0.05 in each coordinate.  Published (40 000
 * runs): turn 0.0735 deg, R 0.0304, straight 0.0934, centre along 0.0354; the standard error of
 * such a figure from N runs is 1 / root 2N of it, 0.5 % here, so 3 % is six of them. */
static void test_published_trial(void **state) {
  (void)state;
  enum { RUNS = 20000 };
  struct random random = {SEED + 4};
  const struct row *row = &rows[1];
  double turn = 0, radius = 0, straight = 0, along = 0;
  for (int run = 0; run < RUNS; run++) {
    vec2 moved[5];
    for (int i = 0; i < 5; i++) {
      double dx = -6, dy = -6; /* sums of twelve even deviates: near enough to normal */
      for (int k = 0; k < 12; k++) {
        dx += random_between(&random, 0, 1);
        dy += random_between(&random, 0, 1);
      }
      moved[i] = vec2_add(row->touch[i], vec2_scale((vec2){dx, dy}, 0.05));
    }
    struct racetrack_fit got;
    assert_int_equal(racetrack_fit(moved, least, &got).fault, RACETRACK_FITS);
    vec2 off = vec2_sub(got.centre, row->centre);
    turn += pow(got.heading / degree - 30, 2) / RUNS;
    radius += pow(got.radius - 25, 2) / RUNS;
    straight += pow(got.straight - 80, 2) / RUNS;
    along += pow(off.x * cos(30 * degree) + off.y * sin(30 * degree), 2) / RUNS;
  }
  printf("  seed %u: turn %.4f deg, R %.4f, straight %.4f, centre along %.4f\n", SEED + 4,
         sqrt(turn), sqrt(radius), sqrt(straight), sqrt(along));
  assert_close(sqrt(turn), 0.0735, 0, 0.03);
  assert_close(sqrt(radius), 0.0304, 0, 0.03);
  assert_close(sqrt(straight), 0.0934, 0, 0.03);
  assert_close(sqrt(along), 0.0354, 0, 0.03);
}

/* Any five points of a convex curve keep their order round it, so 100 of 120 orders never fit; of
 * the other 20 (which two neighbours are 1 and 2, which way round, where to begin) just the four
 * that name the true straight do, whatever the racetrack, with touches a tenth of the tolerance
 * off. */
static void test_wrong_orders_never_fit(void **state) {
  (void)state;
  struct random random = {SEED + 5};
  for (int trial = 0; trial < 3000; trial++) {
    struct taken t = take_touches(&random, 1.2);
    for (int i = 0; i < 5; i++) {
      double dx = random_between(&random, -0.05, 0.05), dy = random_between(&random, -0.05, 0.05);
      t.touch[i] = vec2_add(t.touch[i], (vec2){dx, dy});
    }
    int fitting = 0;
    for (int k = 0; k < 5 * 5 * 5 * 5 * 5; k++) {
      int order[5] = {k % 5, k / 5 % 5, k / 25 % 5, k / 125 % 5, k / 625}, seen = 0;
      for (int i = 0; i < 5; i++)
        seen |= 1 << order[i];
      if (seen != 31)
        continue;
      vec2 points[5];
      for (int i = 0; i < 5; i++)
        points[i] = t.touch[order[i]];
      struct racetrack_fit fit;
      struct racetrack_misfit misfit = racetrack_fit(points, least, &fit);
      if (misfit.fault != RACETRACK_FITS) {
        assert_in_range(misfit.point, 1, 5);
        continue;
      }
      fitting++;
      assert_true(order[3] == 3 && order[0] < 2 && order[1] < 2);
    }
    assert_int_equal(fitting, 4);
  }
}

static void test_spread_by_trial(void **state) {
  (void)state;
  enum { RUNS = 20000 };
  struct random random = {SEED + 2};
  struct taken t = take_touches(&random, 0.8);
  struct racetrack_fit fit;
  racetrack_fit(t.touch, least, &fit);
  double xx = 0, xy = 0, yy = 0, sigma = 1e-3;
  for (int run = 0; run < RUNS; run++) {
    vec2 moved[5];
    for (int i = 0; i < 5; i++) {
      double dx = random_between(&random, -1, 1), dy = random_between(&random, -1, 1);
      moved[i] = vec2_add(t.touch[i], vec2_scale((vec2){dx, dy}, sigma * sqrt(3)));
    }
    struct racetrack_fit got;
    racetrack_fit(moved, least, &got);
    vec2 off = vec2_sub(got.centre, fit.centre);
    xx += off.x * off.x / RUNS;
    xy += off.x * off.y / RUNS;
    yy += off.y * off.y / RUNS;
  }
  double scatter = sqrt((xx + yy) / 2 + hypot((xx - yy) / 2, xy));
  printf("  seed %u: scatter %.4f of the touches' error, predicted %.4f\n", SEED + 2,
         scatter / sigma, fit.spread);
  assert_close(scatter / sigma, fit.spread, 0, 0.03);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_rows),
      cmocka_unit_test(test_exchanged),
      cmocka_unit_test(test_misfits),
      cmocka_unit_test(test_taken_back),
      cmocka_unit_test(test_spread),
      cmocka_unit_test(test_spread_by_trial),
      cmocka_unit_test(test_spread_against_gsl),
      cmocka_unit_test(test_published_trial),
      cmocka_unit_test(test_wrong_orders_never_fit),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
