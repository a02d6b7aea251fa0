/* Circle fits against published figures and against the GNU Scientific Library. */
#include <stdio.h>

#include <gsl/gsl_multifit_nlinear.h>

#include "borelay/num.h"
#include "shape/fit_round.h"
#include "support/close.h"
#include "support/random.h"

#define SEED        31u
#define POINTS_MOST 24

static const double degree = NUM_PI / 180;

static vec2 on_circle(struct circle circle, double angle) {
  struct sincos d = num_sincos(angle);
  return (vec2){circle.centre.x + circle.radius * d.cos, circle.centre.y + circle.radius * d.sin};
}

static void assert_circle(struct circle got, double x, double y, double radius, double slack) {
  assert_close(got.centre.x, x, slack, 0);
  assert_close(got.centre.y, y, slack, 0);
  assert_close(got.radius, radius, slack, 0);
}

/* W. Gander, G. H. Golub, R. Strebel, "Least-squares fitting of circles and ellipses", BIT 34
 * (1994) 558-578: the paper prints z = (4.7398, 2.9835), r = 4.7142 (from memory); 4.739782,
 * 2.983533, 4.714226 and 0.4523271 root mean square are printed with N. Chernov's test programs.
 * The algebraic circle commented there is wrong; this one solves the normal equations by hand. */
static void test_published(void **state) {
  (void)state;
  static const vec2 points[] = {{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}};
  struct round_fit fit;
  assert_true(round_fit(points, 6, &fit));
  assert_circle(fit.circle, 4.739782, 2.983533, 4.714226, 1e-6);
  assert_circle(fit.circle, 4.739782411, 2.983532699, 4.714226038, 1e-9);
  assert_close(sqrt(fit.square_sum / 6), 0.4523271, 1e-7, 0);
  assert_close(fit.square_sum, 1.227599078, 1e-9, 0);
  struct circle algebraic;
  assert_true(circle_algebraic(points, 6, &algebraic));
  assert_circle(algebraic, 4.742331288, 3.835122699, 4.108761522, 1e-9);
}

/* Exact circles through three points; the first is a 3-4-5 triangle. */
static void test_three_points(void **state) {
  (void)state;
  static const struct {
    vec2 points[3];
    double x, y, radius, slack;
  } rows[] = {
      {{{0, 0}, {4, 0}, {0, 3}}, 2, 1.5, 2.5, 1e-12},
      {{{1, 7}, {2, 6}, {5, 8}}, 2.9, 7.9, 2.102379604163, 1e-12},
      {{{0, 0}, {10, 0.1}, {20, 0}}, 10, -499.95, 500.05, 1e-9},
      /* chord c, height s: R = c^2 / 8s + s / 2 */
      {{{-20, 0}, {0, 4}, {20, 0}}, 0, -48, 52, 1e-12},
      {{{50, 0}, {-50, 0}, {0, 10}}, 0, -120, 130, 1e-11},
      {{{-10, 0}, {0, 0.5}, {10, 0}}, 0, -99.75, 100.25, 1e-10},
      {{{100.123, 0.456}, {-31.2, 95.8}, {-70, -71}},
       -0.020109910,
       0.634414056,
       100.143268841,
       1e-8},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    struct round_fit fit;
    assert_true(round_fit(rows[i].points, 3, &fit));
    assert_circle(fit.circle, rows[i].x, rows[i].y, rows[i].radius, rows[i].slack);
    assert_close(fit.residual_max, 0, 1e-9, 0);
  }
}

static void test_no_circle(void **state) {
  (void)state;
  struct round_fit fit;
  assert_false(round_fit((vec2[]){{0, 0}, {1, 1}, {2, 2}}, 3, &fit));
  assert_false(round_fit((vec2[]){{0, 0}, {1, 1}, {2, 2}, {3, 3}}, 4, &fit));
  assert_false(
      round_fit((vec2[]){{0.1, 0.3}, {1.1, 0.8}, {2.1, 1.3}, {5.1, 2.8}, {9.1, 4.8}}, 5, &fit));
  assert_false(round_fit((vec2[]){{5, 7}, {5, 7}, {5, 7}}, 3, &fit));
  assert_false(round_fit((vec2[]){{0.1, 7}, {0.1, 7}, {0.1, 7}, {0.1, 7}, {0.1, 7}}, 5, &fit));
}

/* Points exactly on a circle come back: an arc of 30 degrees with 12 points, and the lopsided set
 * of github feanor12/CircleFit.jl, test/kasa.jl. */
static void test_exact_points(void **state) {
  (void)state;
  struct circle circle = {{12.5, -7.25}, 63.5};
  vec2 arc[12];
  for (int i = 0; i < 12; i++)
    arc[i] = on_circle(circle, (10 + 30.0 * i / 11) * degree);
  struct round_fit fit;
  struct circle algebraic;
  assert_true(round_fit(arc, 12, &fit));
  assert_true(circle_algebraic(arc, 12, &algebraic));
  assert_circle(fit.circle, 12.5, -7.25, 63.5, 1e-9);
  assert_circle(algebraic, 12.5, -7.25, 63.5, 1e-9);

  double h = sqrt(0.5), r = 3.5;
  static const double x0 = 1.25, y0 = -4;
  const vec2 unit[6] = {{-1, 0}, {0, 1}, {0, -1}, {1, 0}, {h, h}, {h, -h}};
  vec2 lopsided[6];
  for (int i = 0; i < 6; i++)
    lopsided[i] = (vec2){x0 + r * unit[i].x, y0 + r * unit[i].y};
  assert_true(round_fit(lopsided, 6, &fit));
  assert_true(circle_algebraic(lopsided, 6, &algebraic));
  assert_circle(algebraic, x0, y0, r, 1e-12);
  assert_circle(fit.circle, x0, y0, r, 1e-12);
}

/* The example program of the language: four touches of a bore. */
static void test_four_touches(void **state) {
  (void)state;
  static const vec2 points[] = {{341.2, 102.9}, {251.7, 192.4}, {162.5, 103.1}, {252.4, 13.8}};
  struct round_fit fit;
  assert_true(round_fit(points, 4, &fit));
  assert_circle(fit.circle, 251.850056, 103.099189, 178.651021 / 2, 1e-6);
  assert_close(fit.residual_max, 0.0247, 5e-5, 0);
}

/* Standard errors of the centre for unit errors of the points, from the Gauss-Newton normal
 * matrix; the same leading order as A. Al-Sharadqah, N. Chernov, "Error analysis for circle
 * fitting algorithms", Electronic Journal of Statistics 3 (2009) 886-911.  The larger of axial
 * and lateral. */
static void test_spread(void **state) {
  (void)state;
  static const struct {
    int count;
    double span, spread;
  } rows[] = {{4, 360, 0.707107}, {8, 360, 0.5},     {12, 360, 0.408248}, {3, 180, 1.224745},
              {5, 180, 1.094801}, {5, 90, 3.670506}, {3, 90, 4.181541},   {10, 60, 6.579664}};
  struct circle circle = {{210, -35}, 50};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    vec2 points[12];
    int steps = rows[i].span == 360 ? rows[i].count : rows[i].count - 1;
    for (int k = 0; k < rows[i].count; k++)
      points[k] = on_circle(circle, (17 + rows[i].span * k / steps) * degree);
    struct round_fit fit;
    assert_true(round_fit(points, (size_t)rows[i].count, &fit));
    assert_close(fit.spread, rows[i].spread, 1e-6, 0);
    double span = rows[i].span == 360 ? 360.0 * (rows[i].count - 1) / rows[i].count : rows[i].span;
    assert_close(points_span(points, (size_t)rows[i].count, circle.centre), span * degree, 1e-12,
                 0);
  }
}

/* Normal deviate as a sum of twelve even ones: enough for a standard deviation. */
static double random_normal(struct random *random) {
  double sum = -6;
  for (int i = 0; i < 12; i++)
    sum += random_between(random, 0, 1);
  return sum;
}

/* Monte Carlo of the predicted standard error: 10 points over 60 degrees of R 50 with errors of
 * 0.02 scatter the centre along the arc's middle by 0.1316 (4000 runs: published 0.1313). */
static void test_spread_by_trial(void **state) {
  (void)state;
  enum { RUNS = 4000 };
  struct random random = {SEED};
  struct circle circle = {{-80, 15}, 50};
  double square = 0, predicted = 0;
  for (int run = 0; run < RUNS; run++) {
    vec2 points[10];
    for (int i = 0; i < 10; i++) {
      vec2 p = on_circle(circle, (-30 + 60.0 * i / 9) * degree);
      double dx = 0.02 * random_normal(&random), dy = 0.02 * random_normal(&random);
      points[i] = (vec2){p.x + dx, p.y + dy};
    }
    struct round_fit fit;
    assert_true(round_fit(points, 10, &fit));
    double off = fit.circle.centre.x - circle.centre.x;
    square += off * off;
    predicted += fit.square_sum / 7 * fit.spread * fit.spread;
  }
  printf("  seed %u: scatter %.4f, told by the residuals %.4f, from the design 0.1316\n", SEED,
         sqrt(square / RUNS), sqrt(predicted / RUNS));
  assert_close(sqrt(square / RUNS), 0.1316, 0.005, 0);
  assert_close(sqrt(predicted / RUNS), 0.1316, 0.005, 0);
}

/* -- GSL ------------------------------------------------------------------ */

struct problem {
  const vec2 *points;
  size_t count;
};

static int residuals(const gsl_vector *at, void *context, gsl_vector *out) {
  const struct problem *problem = context;
  for (size_t i = 0; i < problem->count; i++) {
    double dx = problem->points[i].x - gsl_vector_get(at, 0);
    double dy = problem->points[i].y - gsl_vector_get(at, 1);
    gsl_vector_set(out, i, hypot(dx, dy) - gsl_vector_get(at, 2));
  }
  return GSL_SUCCESS;
}

static int slopes(const gsl_vector *at, void *context, gsl_matrix *out) {
  const struct problem *problem = context;
  for (size_t i = 0; i < problem->count; i++) {
    double dx = problem->points[i].x - gsl_vector_get(at, 0);
    double dy = problem->points[i].y - gsl_vector_get(at, 1), d = hypot(dx, dy);
    gsl_matrix_set(out, i, 0, -dx / d);
    gsl_matrix_set(out, i, 1, -dy / d);
    gsl_matrix_set(out, i, 2, -1);
  }
  return GSL_SUCCESS;
}

/* Largest standard error of the centre, from GSL's covariance of all three unknowns. */
static double centre_spread(const gsl_multifit_nlinear_workspace *work) {
  gsl_matrix *covariance = gsl_matrix_alloc(3, 3);
  gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(work), 0, covariance);
  double xx = gsl_matrix_get(covariance, 0, 0), yy = gsl_matrix_get(covariance, 1, 1);
  double xy = gsl_matrix_get(covariance, 0, 1);
  gsl_matrix_free(covariance);
  return sqrt((xx + yy) / 2 + hypot((xx - yy) / 2, xy));
}

static struct circle gsl_circle(struct problem *problem, struct circle start, double *square_sum,
                                double *spread) {
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
  gsl_multifit_nlinear_workspace *work =
      gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters, problem->count, 3);
  gsl_multifit_nlinear_fdf system = {
      .f = residuals, .df = slopes, .n = problem->count, .p = 3, .params = problem};
  double first[3] = {start.centre.x, start.centre.y, start.radius};
  gsl_vector_view at = gsl_vector_view_array(first, 3);
  gsl_multifit_nlinear_init(&at.vector, &system, work);
  int why;
  gsl_multifit_nlinear_driver(500, 1e-13, 1e-15, 0, NULL, NULL, &why, work);
  const gsl_vector *x = gsl_multifit_nlinear_position(work);
  struct circle circle = {{gsl_vector_get(x, 0), gsl_vector_get(x, 1)}, gsl_vector_get(x, 2)};
  const gsl_vector *f = gsl_multifit_nlinear_residual(work);
  *square_sum = 0;
  for (size_t i = 0; i < problem->count; i++)
    *square_sum += gsl_vector_get(f, i) * gsl_vector_get(f, i);
  *spread = centre_spread(work);
  gsl_multifit_nlinear_free(work);
  return circle;
}

/* GSL starts from the true circle, ours from its own algebraic one; both must end in one place,
 * and ours must leave no larger sum of squares. */
static void test_against_gsl(void **state) {
  (void)state;
  struct random random = {SEED + 1};
  double worst = 0;
  for (int trial = 0; trial < 2000; trial++) {
    double x = random_between(&random, -500, 500), y = random_between(&random, -500, 500);
    struct circle circle = {{x, y}, random_between(&random, 20, 200)};
    int count = random_whole(&random, 4, POINTS_MOST);
    double span = random_between(&random, 60, 360), noise = random_between(&random, 0, 1);
    if (span < 150) /* noisy short arcs have no sound circle, whoever fits it */
      noise *= 0.05;
    vec2 points[POINTS_MOST];
    for (int i = 0; i < count; i++) {
      points[i] = on_circle(circle, span * degree * (i + random_between(&random, 0, 0.9)) / count);
      points[i].x += noise * random_between(&random, -1, 1);
      points[i].y += noise * random_between(&random, -1, 1);
    }
    struct round_fit fit;
    assert_true(round_fit(points, (size_t)count, &fit));
    struct problem problem = {points, (size_t)count};
    double square_sum, spread;
    struct circle want = gsl_circle(&problem, circle, &square_sum, &spread);
    /* Residuals carry the rounding of coordinates of some 500 mm: 1e-13 each. */
    double rounding = 4e-13 * sqrt(square_sum * count) + count * 1e-25;
    /* GSL ends where the sum no longer falls: it is flat within its rounding over this width.
     * (That ours is at the bottom itself, test_converged shows.) */
    double slack = fit.spread * sqrt(rounding) + 1e-9;
    assert_circle(fit.circle, want.centre.x, want.centre.y, want.radius, slack);
    assert_true(fit.square_sum <= square_sum + rounding);
    assert_close(fit.spread, spread, 0, 1e-6);
    worst = fmax(worst, fabs(fit.circle.centre.x - want.centre.x));
  }
  printf("  seed %u: 2000 fits, centres differ by %.2g mm at most\n", SEED + 1, worst);
}

/* All three standard errors, for errors 1 of points exactly on an arc about +X: GSL's covariance of
 * (x, y, R) against the published figures (rows U), and our larger one of the centre against both.
 */
static void test_published_spreads(void **state) {
  (void)state;
  static const struct {
    const char *name;
    int count;
    double span, axial, lateral, radius;
  } rows[] = {
      {"U-1", 4, 360, 0.707107, 0.707107, 0.500000},  {"U-2", 8, 360, 0.500000, 0.500000, 0.353553},
      {"U-3", 12, 360, 0.408248, 0.408248, 0.288675}, {"U-4", 3, 180, 1.224745, 0.707107, 0.707107},
      {"U-5", 5, 180, 1.094801, 0.577350, 0.692413},  {"U-6", 5, 90, 3.670506, 0.879465, 3.160520},
      {"U-7", 3, 90, 4.181541, 1.000000, 3.414214},   {"U-8", 10, 60, 6.579664, 0.978073, 6.226275},
  };
  struct circle circle = {{31, -8}, 50};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    vec2 points[12];
    int steps = rows[i].span == 360 ? rows[i].count : rows[i].count - 1;
    for (int k = 0; k < rows[i].count; k++)
      points[k] = on_circle(circle, rows[i].span * ((double)k / steps - 0.5) * degree);
    struct problem problem = {points, (size_t)rows[i].count};
    gsl_matrix *slope = gsl_matrix_alloc(problem.count, 3), *covariance = gsl_matrix_alloc(3, 3);
    double at[3] = {circle.centre.x, circle.centre.y, circle.radius};
    gsl_vector_view there = gsl_vector_view_array(at, 3);
    slopes(&there.vector, &problem, slope);
    gsl_multifit_nlinear_covar(slope, 0, covariance);
    assert_close(sqrt(gsl_matrix_get(covariance, 0, 0)), rows[i].axial, 1e-6, 0);
    assert_close(sqrt(gsl_matrix_get(covariance, 1, 1)), rows[i].lateral, 1e-6, 0);
    assert_close(sqrt(gsl_matrix_get(covariance, 2, 2)), rows[i].radius, 1e-6, 0);
    gsl_matrix_free(slope);
    gsl_matrix_free(covariance);
    struct round_fit fit;
    assert_true(round_fit(points, problem.count, &fit));
    assert_close(fit.spread, rows[i].axial, 1e-6, 0);
  }
}

/* Very many points over an arc of half angle b: spread = K / root n, K = 1 / root(C2 - C1^2) with
 * C2 = 1/2 + sin 2b / 4b, C1 = sin b / b, and near root 45 / b^2 where the arc is small. */
static void test_published_arcs(void **state) {
  (void)state;
  static const struct {
    double span, k;
  } rows[] = {{360, 1.41421}, {270, 1.81419}, {180, 3.24930}, {120, 6.61826}, {90, 11.36627},
              {60, 24.95311}, {45, 43.98188}, {30, 98.35486}, {15, 391.97699}};
  enum { COUNT = 4000 };
  static vec2 points[COUNT];
  struct circle circle = {{5, 5}, 80};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    for (int k = 0; k < COUNT;
         k++) /* in the middle of equal parts: the sum is an integral to 1/n^2 */
      points[k] = on_circle(circle, rows[i].span * (k + 0.5) / COUNT * degree);
    struct round_fit fit;
    assert_true(round_fit(points, COUNT, &fit));
    assert_close(fit.spread * sqrt(COUNT), rows[i].k, 6e-6, 1e-6);
  }
}

/* Random layouts: the centre's scatter against the standard error told.  With N trials a scatter is
 * known to 1 / root 2N of it (1.6 %); five of that, and 1 % for what is beyond leading order with
 * errors of a ten-thousandth of the radius.  What the residuals tell, taken as a mean square over
 * the trials, must agree as well: sum of residuals^2 has n - 3 degrees of freedom, so its mean is
 * known to root(2 / (n - 3) N), 3.2 % or less; five times, halved by the root, 8 %. */
static void test_random_layouts_by_trial(void **state) {
  (void)state;
  enum { LAYOUTS = 12, TRIALS = 2000, MOST = 9 };
  struct random random = {SEED + 3};
  for (int layout = 0; layout < LAYOUTS; layout++) {
    struct circle circle = {{random_between(&random, -300, 300), 40}, 60};
    int count = random_whole(&random, 4, MOST);
    double span = random_between(&random, 100, 360), sigma = 0.006;
    double angle[MOST];
    for (int i = 0; i < count; i++)
      angle[i] = span * degree * (i + random_between(&random, 0, 0.9)) / count;
    double xx = 0, xy = 0, yy = 0, told = 0, spread = 0;
    for (int trial = 0; trial < TRIALS; trial++) {
      vec2 points[MOST], exact[MOST];
      for (int i = 0; i < count; i++) {
        exact[i] = points[i] = on_circle(circle, angle[i]);
        points[i].x += sigma * random_normal(&random);
        points[i].y += sigma * random_normal(&random);
      }
      struct round_fit fit;
      assert_true(round_fit(exact, (size_t)count, &fit));
      spread = fit.spread;
      assert_true(round_fit(points, (size_t)count, &fit));
      double dx = fit.circle.centre.x - circle.centre.x, dy = fit.circle.centre.y - circle.centre.y;
      xx += dx * dx / TRIALS;
      xy += dx * dy / TRIALS;
      yy += dy * dy / TRIALS;
      told += fit.square_sum / (count - 3) * fit.spread * fit.spread / TRIALS;
    }
    double scatter = sqrt((xx + yy) / 2 + hypot((xx - yy) / 2, xy));
    assert_close(scatter, sigma * spread, 0, 0.09);
    assert_close(sqrt(told), sigma * spread, 0, 0.09);
  }
}

/* The gradient at the circle found: zero to 1e-12 of the circle's size. */
static void test_converged(void **state) {
  (void)state;
  struct random random = {SEED + 2};
  for (int trial = 0; trial < 5000; trial++) {
    int count = random_whole(&random, 4, POINTS_MOST);
    struct circle circle = {{300, -120}, random_between(&random, 20, 200)};
    vec2 points[POINTS_MOST];
    for (int i = 0; i < count; i++) {
      points[i] = on_circle(circle, random_between(&random, 0, 3) + 3 * (i % 2));
      points[i].x += random_between(&random, -2, 2);
    }
    struct round_fit fit;
    if (!round_fit(points, (size_t)count, &fit) || fit.spread > 100)
      continue;
    double gx = 0, gy = 0, sum = 0;
    for (int i = 0; i < count; i++) {
      vec2 arm = vec2_sub(points[i], fit.circle.centre);
      double d = hypot(arm.x, arm.y);
      gx += (d - fit.circle.radius) * arm.x / d;
      gy += (d - fit.circle.radius) * arm.y / d;
      sum += d - fit.circle.radius;
    }
    assert_close(gx, 0, 1e-12 * count * circle.radius, 0);
    assert_close(gy, 0, 1e-12 * count * circle.radius, 0);
    assert_close(sum, 0, 1e-12 * count * circle.radius, 0);
  }
}

/* The order of the touches changes nothing but the last digits. */
static void test_any_order(void **state) {
  (void)state;
  static const vec2 points[] = {
      {341.2, 102.9}, {251.7, 192.4}, {162.5, 103.1}, {252.4, 13.8}, {315, 166.4}};
  struct round_fit first, again;
  assert_true(round_fit(points, 5, &first));
  vec2 turned[5];
  for (int k = 1; k < 5; k++) {
    for (int i = 0; i < 5; i++)
      turned[i] = points[(i * (k == 2 ? 3 : 1) + k) % 5];
    assert_true(round_fit(turned, 5, &again));
    assert_circle(again.circle, first.circle.centre.x, first.circle.centre.y, first.circle.radius,
                  1e-11);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_published),       cmocka_unit_test(test_three_points),
      cmocka_unit_test(test_no_circle),       cmocka_unit_test(test_exact_points),
      cmocka_unit_test(test_four_touches),    cmocka_unit_test(test_spread),
      cmocka_unit_test(test_spread_by_trial), cmocka_unit_test(test_against_gsl),
      cmocka_unit_test(test_converged),       cmocka_unit_test(test_published_spreads),
      cmocka_unit_test(test_published_arcs),  cmocka_unit_test(test_random_layouts_by_trial),
      cmocka_unit_test(test_any_order),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
