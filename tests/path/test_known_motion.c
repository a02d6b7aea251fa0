/* Motions whose figures are known: circle, racetrack, helix.
 *
 * N-1 .. N-8: closed forms of a head whose torch stands on the outward normal of a bore's wall
 * (circular motion w = v / R; head centre P - (reach + arc length) n).  G-1 .. G-4: length of a
 * helix, N sqrt((2 pi R)^2 + p^2); curvature R / (R^2 + c^2), c = p / 2 pi (do Carmo, Differential
 * Geometry of Curves and Surfaces, 1976, section 1-5, from memory).  Lengths by quadrature come
 * from the GNU Scientific Library. */
#include "support/close.h"

#include <gsl/gsl_integration.h>

#include "borelay/path.h"

#define DEG (NUM_PI / 180)
#define V   (200.0 / 60) /* mm/s */

/* Tip on a circle of radius locus about the origin, torch on the normal, pool speed V at radius
 * wall; q is the pool's path. */
static struct piece on_circle(double wall, double reach, double arc_length, double from,
                              double q_end) {
  struct cubic turn = {from, 1 / wall, 0, 0};
  return (struct piece){
      .t0 = 0,
      .t1 = q_end / V,
      .q = {0, V, 0, 0},
      .curve = {.length = q_end, .radius = wall - arc_length - reach, .turn = turn, .head = turn}};
}

static double speed_at(const struct piece *piece, double t) {
  struct jet jet = piece_jet(piece, t);
  return sqrt(jet.d[AXIS_X][1] * jet.d[AXIS_X][1] + jet.d[AXIS_Y][1] * jet.d[AXIS_Y][1] +
              jet.d[AXIS_Z][1] * jet.d[AXIS_Z][1]);
}

static double speed_for_gsl(double t, void *piece) {
  return speed_at(piece, t);
}

static double length_of(struct piece *piece) {
  gsl_integration_workspace *space = gsl_integration_workspace_alloc(200);
  gsl_function f = {speed_for_gsl, piece};
  double length, error;
  gsl_integration_qag(&f, piece->t0, piece->t1, 0, 1e-12, 200, GSL_INTEG_GAUSS61, space, &length,
                      &error);
  gsl_integration_workspace_free(space);
  return length;
}

static void centred_head_turns_in_place(void **state) {
  (void)state;
  static const struct {
    double radius, deg_per_s;
  } rows[] = {{50, 3.819718634}, {48, 3.978873577}, {46, 4.151868081}}; /* N-1, N-2 */
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct piece piece = on_circle(rows[i].radius, rows[i].radius - 3, 3, 0, 300);
    struct jet jet = piece_jet(&piece, 17);
    assert_close(jet.d[AXIS_HEAD][1] / DEG, rows[i].deg_per_s, 5e-10, 0);
    assert_close(speed_at(&piece, 17), 0, 1e-15, 0);
  }
  assert_close(NUM_TURN /
                   piece_jet(&(struct piece){.q = {0, V, 0, 0}, .curve.head = {0, 0.02, 0, 0}}, 0)
                       .d[AXIS_HEAD][1],
               94.247780, 5e-7, 0); /* N-1: s a turn, R 50 */
}

static void head_centre_stands_back_from_the_wall(void **state) { /* N-3 */
  (void)state;
  struct piece piece = on_circle(50, 30, 2, 30 * DEG, 10);
  struct pose pose = piece_at(&piece, 0);
  assert_close(pose.x, 15.588457268, 5e-10, 0);
  assert_close(pose.y, 9, 1e-12, 0);
}

/* Straights of 80, ends of radius 25, reach + arc length = back. */
static void racetrack_speeds(double back, double end_radius) {
  struct piece straight = {.t1 = 80 / V,
                           .q = {0, V, 0, 0},
                           .curve = {.length = 80,
                                     .is_line = true,
                                     .centre = {-40, -25},
                                     .direction = {1, 0},
                                     .rho = back,
                                     .turn = {0, 1, 0, 0},
                                     .head = {-90 * DEG, 0, 0, 0}}};
  struct piece end = on_circle(25, back - 2, 2, -90 * DEG, 25 * NUM_PI);
  assert_close(speed_at(&straight, 3), V, 0, 1e-15);
  assert_close(piece_jet(&straight, 3).d[AXIS_HEAD][1], 0, 0, 0);
  assert_close(piece_jet(&end, 3).d[AXIS_HEAD][1] / DEG, 7.639437268, 5e-10, 0);
  assert_close(end.curve.radius, end_radius, 1e-13, 0);
  assert_close(speed_at(&end, 3), 0.666666667, 5e-10, 0);
  assert_close(2 * (straight.t1 + end.t1), 95.123890, 5e-7, 0);
  assert_close(2 * (length_of(&straight) + length_of(&end)), 191.415926536, 5e-10, 0);
  struct jet jet = piece_jet(&end, 0); /* at the end of the straight, going to +X at the wall */
  assert_true(end_radius > 0 ? jet.d[AXIS_X][1] > 0 : jet.d[AXIS_X][1] < 0);
}

static void racetrack_head(void **state) {
  (void)state;
  racetrack_speeds(20, 5);  /* N-4 */
  racetrack_speeds(30, -5); /* N-8: the head centre goes backwards round the ends */
}

static void head_is_not_wrapped(void **state) { /* N-6 */
  (void)state;
  struct piece piece = on_circle(50, 47, 3, -90 * DEG, 3 * 50 * NUM_TURN);
  assert_close(piece_at(&piece, piece.t1).head / DEG, 990, 0, 1e-14);
}

static void helix_lengths(void **state) {
  (void)state;
  static const struct {
    double radius, pitch, turns, length;
  } rows[] = {{50, 4, 10, 3141.847291179}, /* G-1 .. G-3 */
              {40, 5, 20, 5027.542865734},
              {150, 4.5, 25, 23562.213474359},
              {1, 2 * NUM_PI, 1, 8.885765876317}}; /* G-4 */
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    double end = rows[i].turns * NUM_TURN;
    struct piece piece = {.t1 = end,
                          .q = {0, 1, 0, 0},
                          .curve = {.length = end,
                                    .radius = rows[i].radius,
                                    .turn = {0, 1, 0, 0},
                                    .head = {0, 1, 0, 0},
                                    .z = {-20, rows[i].pitch / NUM_TURN, 0, 0}}};
    assert_close(length_of(&piece), rows[i].length, 1e-9, 1e-12);
  }
}

static void helix_curvature(void **state) { /* G-4: curvature 1/2 at R 1, pitch 2 pi */
  (void)state;
  struct piece piece = {
      .t1 = 6,
      .q = {0, 1, 0, 0},
      .curve = {
          .length = 6, .radius = 1, .turn = {0, 1, 0, 0}, .head = {0, 1, 0, 0}, .z = {0, 1, 0, 0}}};
  struct jet jet = piece_jet(&piece, 2.5);
  double accel = sqrt(jet.d[AXIS_X][2] * jet.d[AXIS_X][2] + jet.d[AXIS_Y][2] * jet.d[AXIS_Y][2]);
  assert_close(accel / 2, 0.5, 1e-15, 0); /* |r''| / |r'|^2, speed sqrt 2 */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(centred_head_turns_in_place),
      cmocka_unit_test(head_centre_stands_back_from_the_wall),
      cmocka_unit_test(racetrack_head),
      cmocka_unit_test(head_is_not_wrapped),
      cmocka_unit_test(helix_lengths),
      cmocka_unit_test(helix_curvature),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
