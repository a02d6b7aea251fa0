/* Derivatives of pieces against differences of the motion itself.
 *
 * The motion is written down here once more, in long double and with the C library's functions.
 * Its derivatives come from central differences of eighth order (Fornberg, "Generation of finite
 * difference formulas on arbitrarily spaced grids", Math. Comp. 51, 1988, table 1) and, the
 * first, from the GNU Scientific Library's gsl_deriv_central. */
#include "support/close.h"

#include <gsl/gsl_deriv.h>

#include "support/random_piece.h"

typedef long double real;

static real value(struct cubic p, real x) {
  return (real)p.c0 + x * ((real)p.c1 + x * ((real)p.c2 + x * (real)p.c3));
}

/* H and head at tau seconds from the piece's start. */
static real motion(const struct piece *piece, int axis, real tau) {
  const struct curve *c = &piece->curve;
  real q = value(piece->q, tau), turn = value(c->turn, q), head = value(c->head, q);
  switch (axis) {
  case AXIS_X:
    return (real)c->centre.x - (real)c->rho * cosl(head) +
           (c->is_line ? turn * (real)c->direction.x : (real)c->radius * cosl(turn));
  case AXIS_Y:
    return (real)c->centre.y - (real)c->rho * sinl(head) +
           (c->is_line ? turn * (real)c->direction.y : (real)c->radius * sinl(turn));
  case AXIS_Z:
    return value(c->z, q);
  default:
    return head;
  }
}

/* Weights at 0, h, 2h, ..; derivative 2 is even about the middle, 1 and 3 are odd. */
static const real weights[4][6] = {
    {1},
    {0, 4.0L / 5, -1.0L / 5, 4.0L / 105, -1.0L / 280},
    {-205.0L / 72, 8.0L / 5, -1.0L / 5, 8.0L / 315, -1.0L / 560},
    {0, -1669.0L / 720, 4369.0L / 2520, -541.0L / 1120, 1261.0L / 15120, -41.0L / 6048},
};

static real difference(const struct piece *piece, int axis, int k, real tau) {
  real h = k == 3 ? 0.02L : 0.01L, sum = weights[k][0] * motion(piece, axis, tau);
  real sign = k % 2 ? -1 : 1;
  for (int i = 1; k > 0 && i < 6; i++)
    sum += weights[k][i] *
           (motion(piece, axis, tau + i * h) + sign * motion(piece, axis, tau - i * h));
  return sum / (k == 0 ? 1 : k == 1 ? h : k == 2 ? h * h : h * h * h);
}

static void jets_match_differences(void **state) {
  (void)state;
  uint64_t seed = 20240611;
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  static const double accuracy[4] = {1e-9, 1e-8, 1e-7, 1e-6};
  for (int i = 0; i < 3000; i++) {
    struct piece piece = random_piece(&random);
    double t = random_between(&random, piece.t0, piece.t1);
    struct jet jet = piece_jet(&piece, t);
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      for (int k = 0; k < 4; k++)
        assert_close(jet.d[axis][k], (double)difference(&piece, axis, k, (real)(t - piece.t0)),
                     accuracy[k], accuracy[k]);
    struct pose pose = piece_at(&piece, t);
    assert_close(pose.x, jet.d[AXIS_X][0], 1e-12, 0);
    assert_close(pose.y, jet.d[AXIS_Y][0], 1e-12, 0);
    assert_close(pose.z, jet.d[AXIS_Z][0], 1e-12, 0);
    assert_close(pose.head, jet.d[AXIS_HEAD][0], 1e-12, 0);
  }
}

struct asked {
  const struct piece *piece;
  int axis;
};
static double motion_for_gsl(double tau, void *asked) {
  const struct asked *a = asked;
  return (double)motion(a->piece, a->axis, (real)tau);
}

static void speeds_match_the_library(void **state) {
  (void)state;
  struct random random = {7};
  for (int i = 0; i < 500; i++) {
    struct piece piece = random_piece(&random);
    double t = random_between(&random, piece.t0, piece.t1), speed, error;
    struct jet jet = piece_jet(&piece, t);
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
      struct asked asked = {&piece, axis};
      gsl_function f = {motion_for_gsl, &asked};
      gsl_deriv_central(&f, t - piece.t0, 1e-3, &speed, &error);
      assert_close(jet.d[axis][1], speed, 10 * error + 1e-8, 0);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(jets_match_differences),
      cmocka_unit_test(speeds_match_the_library),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
