/* Half sways in a row: their pieces meet and go the way of a sway written down here; what is said
 * of all of them at once holds every piece, and is reached. */
#include "support/close.h"

#include "support/random_swings.h"

enum { RUNS = 400, LOOKS = 24 };

/* Share of its way that a crossing has done at y = 0 .. 1 of it: jerk 32, -32, 32. */
static double eased(double y) {
  if (y <= 0.25)
    return 16.0 / 3 * y * y * y;
  return y >= 0.75 ? 1 - eased(1 - y) : 0.5 + 2 * (y - 0.5) - 16.0 / 3 * pow(y - 0.5, 3);
}

static double deeper(const struct swings *s, double t) {
  double q = (t - s->centre.t0) * s->centre.q.c1, j = floor(q / s->half);
  double end = fmod(j, 2) == 0 ? s->amplitude : -s->amplitude;
  return -end + 2 * end * eased(fmin((q - j * s->half) / s->cross, 1));
}

static void pieces_sway(void **state) {
  (void)state;
  struct random random = {4411};
  for (int run = 0; run < RUNS; run++) {
    struct swings s = random_swings(&random);
    double t = s.centre.t0;
    for (int64_t i = 0; i < s.count; i++) {
      struct piece pieces[HALF_PIECES];
      size_t count = swings_pieces(&s, i, pieces);
      assert_int_equal(count, s.half > s.cross ? 4 : 3);
      for (size_t k = 0; k < count; k++) {
        assert_close(pieces[k].t0, t, 1e-9, 0);
        t = pieces[k].t1;
        for (int look = 1; look < LOOKS; look++) {
          double at = pieces[k].t0 + (t - pieces[k].t0) * look / LOOKS;
          struct pose is = piece_at(&pieces[k], at), centre = piece_at(&s.centre, at);
          assert_close(is.x, centre.x, 1e-9, 0);
          assert_close(is.y, centre.y, 1e-9, 0);
          assert_close(is.head, centre.head, 1e-9, 0);
          assert_close(is.z, centre.z - deeper(&s, at), 1e-9, 0);
        }
      }
    }
    assert_close(t, s.centre.t1, 1e-9, 0);
  }
}

static void grow(struct range *r, struct range by) {
  *r = (struct range){fmin(r->lo, by.lo), fmax(r->hi, by.hi)};
}

/* Ranges of all pieces together; the pieces of either end as the stretch has it. */
static struct jet_range every_piece(const struct swings *s, struct jet *from, struct jet *to) {
  struct jet_range all;
  for (int64_t i = 0; i < s->count; i++) {
    struct piece pieces[HALF_PIECES];
    size_t count = swings_pieces(s, i, pieces);
    for (size_t k = 0; k < count; k++) {
      struct jet_stretch one;
      piece_jet_stretch(&pieces[k], pieces[k].t0, pieces[k].t1, &one);
      if (i == 0 && k == 0) {
        all = one.all;
        *from = one.from;
      }
      *to = one.to;
      for (int axis = 0; axis < AXIS_COUNT; axis++)
        for (int d = 0; d < 4; d++)
          grow(&all.d[axis][d], one.all.d[axis][d]);
    }
  }
  return all;
}

static void a_stretch_holds_every_piece(void **state) {
  (void)state;
  struct random random = {4412};
  for (int run = 0; run < RUNS; run++) {
    struct swings whole = random_swings(&random);
    int64_t from = 2 * random_whole(&random, 0, (int)whole.count / 2 - 1);
    int64_t count = 2 * random_whole(&random, 1, (int)(whole.count - from) / 2);
    struct swings s = swings_part(&whole, from, count);
    struct jet first, last;
    struct jet_stretch stretch;
    swings_stretch(&s, &stretch);
    struct jet_range all = every_piece(&s, &first, &last);
    double sinks = fabs(s.centre.curve.z.c1) * s.half * (double)s.count;
    assert_int_equal(s.first, whole.first + from);
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      for (int d = 0; d < 4; d++) {
        struct range is = stretch.all.d[axis][d], seen = all.d[axis][d];
        double rounding = 1e-8 * (1 + fmax(fabs(seen.lo), fabs(seen.hi)));
        double more = rounding + (axis == AXIS_Z && d == 0 ? sinks : 0);
        assert_true(is.lo <= seen.lo + rounding && is.hi >= seen.hi - rounding);
        assert_true(is.lo >= seen.lo - more && is.hi <= seen.hi + more);
        if (d == 3) /* it steps at either end */
          continue;
        assert_close(stretch.from.d[axis][d], first.d[axis][d], 1e-8, 1e-8);
        assert_close(stretch.to.d[axis][d], last.d[axis][d], 1e-8, 1e-8);
      }
  }
}

static void bounds_are_the_largest_of_any_piece(void **state) {
  (void)state;
  struct random random = {4413};
  for (int run = 0; run < RUNS; run++) {
    struct swings s = random_swings(&random);
    struct motion_bound bound = swings_bound(&s);
    struct point_bound all = motion_point_bound(&bound, 25), most = {0, 0};
    double slope = 0;
    for (int64_t i = 0; i < s.count; i++) {
      struct piece pieces[HALF_PIECES];
      size_t count = swings_pieces(&s, i, pieces);
      for (size_t k = 0; k < count; k++) {
        struct point_bound one = piece_point_bound(&pieces[k], pieces[k].t0, pieces[k].t1, 25);
        most = (struct point_bound){fmax(most.speed, one.speed), fmax(most.accel, one.accel)};
        double middle = pieces[k].curve.length / 2;
        slope =
            fmax(slope, fabs(cubic_derivative(pieces[k].curve.z, middle, 1) - s.centre.curve.z.c1));
      }
    }
    assert_close(all.speed, most.speed, 1e-9, 1e-9);
    assert_close(all.accel, most.accel, 1e-9, 1e-9);
    assert_close(swings_slope(&s), slope, 1e-9, 1e-9);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(pieces_sway),
                                     cmocka_unit_test(a_stretch_holds_every_piece),
                                     cmocka_unit_test(bounds_are_the_largest_of_any_piece)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
