/* Enclosures hold what they enclose, and become narrow with the stretch. */
#include "support/close.h"

#include "path/interval.h"
#include "support/random_piece.h"

#define SAMPLES 200

static double at_sample(double ta, double tb, int i) {
  return ta + (tb - ta) * i / SAMPLES;
}

/* Least and largest sampled value of every derivative. */
static struct jet_range sampled(const struct piece *piece, double ta, double tb) {
  struct jet_range seen;
  for (int i = 0; i <= SAMPLES; i++) {
    struct jet jet = piece_jet(piece, at_sample(ta, tb, i));
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      for (int k = 0; k < 4; k++) {
        struct range *r = &seen.d[axis][k];
        double v = jet.d[axis][k];
        *r = i == 0 ? (struct range){v, v} : (struct range){fmin(r->lo, v), fmax(r->hi, v)};
      }
  }
  return seen;
}

/* Cubics in time, arcs gone round at any rate; as a rule the head turns with the guide but for a
 * constant. */
static struct piece uneven_piece(struct random *random) {
  struct piece piece = random_piece(random);
  struct curve *curve = &piece.curve;
  double times = random_whole(random, 1, 8);
  curve->turn.c1 *= times;
  curve->turn.c2 *= times;
  if (random_whole(random, 1, 3) > 1) {
    double lead = random_whole(random, 0, 1) ? random_between(random, -1, 1) : 0;
    curve->head = curve->turn;
    curve->head.c0 += lead;
  }
  if (random_whole(random, 0, 1))
    piece.q.c2 = piece.q.c3 = 0;
  else
    curve->turn.c2 = curve->turn.c3 = curve->head.c2 = curve->head.c3 = curve->z.c2 = curve->z.c3 =
        0;
  return piece;
}

typedef struct piece any_piece(struct random *random);

static void ranges_hold(any_piece *make, uint64_t seed) {
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  for (int i = 0; i < 2000; i++) {
    struct piece piece = make(&random);
    double a = random_between(&random, piece.t0, piece.t1),
           b = random_between(&random, piece.t0, piece.t1);
    double ta = fmin(a, b), tb = fmax(a, b);
    struct jet_stretch stretch;
    piece_jet_stretch(&piece, ta, tb, &stretch);
    struct jet from = piece_jet(&piece, ta), to = piece_jet(&piece, tb);
    struct jet_range seen = sampled(&piece, ta, tb);
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      for (int k = 0; k < 4; k++) {
        double slack = 1e-9 * (1 + interval_magnitude(seen.d[axis][k]));
        assert_true(stretch.all.d[axis][k].lo <= seen.d[axis][k].lo + slack);
        assert_true(stretch.all.d[axis][k].hi >= seen.d[axis][k].hi - slack);
        assert_close(stretch.from.d[axis][k], from.d[axis][k], slack, 0);
        assert_close(stretch.to.d[axis][k], to.d[axis][k], slack, 0);
      }
  }
}

static void ranges_hold_the_motion(void **state) {
  (void)state;
  ranges_hold(random_piece, 97);
  ranges_hold(uneven_piece, 98);
}

/* Sum of what the ranges hold beyond the motion, each as a share of its size. */
static double excess(const struct piece *piece, double middle, double h) {
  struct jet_range range = piece_jet_range(piece, middle - h / 2, middle + h / 2);
  struct jet_range seen = sampled(piece, middle - h / 2, middle + h / 2);
  double sum = 0;
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 0; k < 4; k++) {
      struct range r = range.d[axis][k], s = seen.d[axis][k];
      sum += (r.hi - r.lo - (s.hi - s.lo)) / (1 + interval_magnitude(s));
    }
  return sum;
}

static void excess_falls(any_piece *make) {
  struct random random = {5};
  double wide = 0, narrow = 0;
  for (int i = 0; i < 1000; i++) {
    struct piece piece = make(&random);
    double middle = (piece.t0 + piece.t1) / 2, h = 0.1 * (piece.t1 - piece.t0);
    wide += excess(&piece, middle, h);
    narrow += excess(&piece, middle, h / 10);
  }
  print_message("excess %.3g, a tenth of the stretch %.3g\n", wide, narrow);
  assert_true(narrow < wide / 60);
}

static void excess_is_of_second_order(void **state) {
  (void)state;
  excess_falls(random_piece);
  excess_falls(uneven_piece);
}

static void circle_is_enclosed_exactly(void **state) {
  (void)state;
  struct piece piece = {
      .t1 = 10,
      .q = {0, 1, 0, 0},
      .curve = {.length = 10, .radius = 20, .turn = {-1, 0.3, 0, 0}, .head = {-1, 0.3, 0, 0}}};
  struct jet_range range = piece_jet_range(&piece, 0, 10); /* turns from -1 to 2 rad */
  assert_close(range.d[AXIS_X][0].hi, 20, 1e-14, 0);
  assert_close(range.d[AXIS_X][0].lo, 20 * cos(2), 1e-14, 0);
  assert_close(range.d[AXIS_Y][0].hi, 20, 1e-14, 0);
  assert_close(range.d[AXIS_Y][1].hi, 6, 1e-14, 0);
  assert_close(range.d[AXIS_X][1].lo, -6, 1e-14, 0);
  assert_close(range.d[AXIS_X][2].lo, -1.8, 1e-14, 0);
}

/* A head that turns with the guide but for rounding: as near as a guide of the one radius less the
 * other, whose sine and cosine are not taken apart. */
static void a_head_that_turns_with_the_guide(void **state) {
  (void)state;
  struct random random = {19};
  for (int i = 0; i < 200; i++) {
    struct piece piece = uneven_piece(&random), alone;
    struct curve *curve = &piece.curve;
    if (cubic_is_linear(curve->turn) && cubic_is_linear(piece.q))
      continue; /* that guide alone would be even */
    curve->is_line = false;
    curve->rho = 26;
    curve->head = curve->turn;
    curve->head.c1 *= 1 + 0x1p-52;
    alone = piece;
    alone.curve.radius -= 26;
    alone.curve.rho = 0;
    struct jet_range range = piece_jet_range(&piece, piece.t0, piece.t1);
    struct jet_range wanted = piece_jet_range(&alone, piece.t0, piece.t1);
    for (int axis = AXIS_X; axis <= AXIS_Y; axis++)
      for (int k = 0; k < 4; k++) {
        assert_close(range.d[axis][k].lo, wanted.d[axis][k].lo, 1e-9, 1e-9);
        assert_close(range.d[axis][k].hi, wanted.d[axis][k].hi, 1e-9, 1e-9);
      }
  }
}

/* A piece whose axes are cubics in time, or turn at an even rate: q or all that follows it is
 * linear. */
static struct piece even_piece(struct random *random) {
  struct piece piece = random_piece(random);
  struct curve *curve = &piece.curve;
  bool by_q = random_whole(random, 0, 1);
  if (by_q)
    piece.q.c2 = piece.q.c3 = 0;
  else
    curve->turn.c2 = curve->turn.c3 = curve->head.c2 = curve->head.c3 = curve->z.c2 = curve->z.c3 =
        0;
  if (!curve->is_line) {
    curve->turn.c2 = curve->turn.c3 = piece.q.c2 = piece.q.c3 = 0;
    curve->turn.c1 *= random_whole(random, 1, 8);
  }
  if (curve->rho != 0)
    curve->head.c1 = curve->head.c2 = curve->head.c3 = 0;
  return piece;
}

/* What the ranges hold is what is really reached, but for what lies between two samples; and the
 * ends are what the motion is there. */
static void even_pieces_are_known_exactly(void **state) {
  (void)state;
  struct random random = {2041};
  for (int i = 0; i < 2000; i++) {
    struct piece piece = even_piece(&random);
    double a = random_between(&random, piece.t0, piece.t1),
           b = random_between(&random, piece.t0, piece.t1);
    double ta = fmin(a, b), tb = fmax(a, b);
    struct jet_stretch stretch;
    piece_jet_stretch(&piece, ta, tb, &stretch);
    struct jet from = piece_jet(&piece, ta), to = piece_jet(&piece, tb);
    struct jet_range seen = sampled(&piece, ta, tb);
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      for (int k = 0; k < 4; k++) {
        struct range r = stretch.all.d[axis][k], s = seen.d[axis][k];
        double size = 1 + interval_magnitude(s), rounding = 1e-9 * size, between = 3e-5 * size;
        assert_close(stretch.from.d[axis][k], from.d[axis][k], rounding, 0);
        assert_close(stretch.to.d[axis][k], to.d[axis][k], rounding, 0);
        assert_true(r.lo <= s.lo + rounding && r.lo >= s.lo - between);
        assert_true(r.hi >= s.hi - rounding && r.hi <= s.hi + between);
      }
  }
}

static void point_bounds_hold(void **state) {
  (void)state;
  struct random random = {31};
  for (int i = 0; i < 1500; i++) {
    struct piece piece = i % 3 == 0 ? even_piece(&random) : random_piece(&random);
    double lever = random_between(&random, 0, 120), out = random_between(&random, 0, NUM_TURN);
    struct point_bound bound = piece_point_bound(&piece, piece.t0, piece.t1, lever);
    for (int j = 0; j <= SAMPLES; j++) {
      struct jet jet = piece_jet(&piece, at_sample(piece.t0, piece.t1, j));
      const double *h = jet.d[AXIS_HEAD];
      double c = lever * cos(h[0] + out), s = lever * sin(h[0] + out);
      double vx = jet.d[AXIS_X][1] - s * h[1], vy = jet.d[AXIS_Y][1] + c * h[1];
      double ax = jet.d[AXIS_X][2] - s * h[2] - c * h[1] * h[1];
      double ay = jet.d[AXIS_Y][2] + c * h[2] - s * h[1] * h[1];
      double vz = jet.d[AXIS_Z][1], az = jet.d[AXIS_Z][2];
      assert_true(sqrt(vx * vx + vy * vy + vz * vz) <= bound.speed * (1 + 1e-12));
      assert_true(sqrt(ax * ax + ay * ay + az * az) <= bound.accel * (1 + 1e-12));
    }
  }
}

/* Run straight in x, y, z and head over the piece, a carried point stays within the bound of
 * itself. */
static void chord_bounds_hold(void **state) {
  (void)state;
  struct random random = {37};
  double nearest = 0;
  for (int i = 0; i < 1500; i++) {
    struct piece piece = i % 3 == 0 ? even_piece(&random) : random_piece(&random);
    double lever = random_between(&random, 0, 120), out = random_between(&random, 0, NUM_TURN);
    double h = piece.t1 - piece.t0;
    struct motion_bound bound = piece_motion_bound(&piece, piece.t0, piece.t1);
    double most = motion_chord_bound(&bound, lever) * h * h / 8;
    struct pose a = piece_at(&piece, piece.t0), b = piece_at(&piece, piece.t1);
    for (int j = 0; j <= SAMPLES; j++) {
      double t = at_sample(piece.t0, piece.t1, j), u = (t - piece.t0) / h;
      struct pose on = piece_at(&piece, t);
      double head = a.head + u * (b.head - a.head) + out, dz = a.z + u * (b.z - a.z) - on.z;
      double dx = a.x + u * (b.x - a.x) + lever * cos(head) - on.x - lever * cos(on.head + out);
      double dy = a.y + u * (b.y - a.y) + lever * sin(head) - on.y - lever * sin(on.head + out);
      double off = sqrt(dx * dx + dy * dy + dz * dz);
      assert_true(off <= most * (1 + 1e-9) + 1e-9);
      nearest = fmax(nearest, off / most);
    }
  }
  assert_true(nearest > 0.7); /* and it is no idle bound */
}

static void waves(void **state) {
  (void)state;
  static const struct {
    double lo, hi, cos_lo, cos_hi;
  } rows[] = {
      {0.1, 0.2, 0.98006657784124163, 0.99500416527802571},
      {-0.1, 0.2, 0.98006657784124163, 1},
      {3, 3.5, -1, -0.93645668729079634},
      {-4, 1, -1, 1},
      {-20, 20, -1, 1},
      {6, 6.5, 0.96017028665036597, 1},
      {-3.5, -3, -1, -0.93645668729079634},
      {4e15, 4e15 + 1, -1, 1}, /* farther out than quarter turns are counted */
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct range a = {rows[i].lo, rows[i].hi}, c = interval_waves(a).cos;
    struct range b = {a.lo + NUM_PI / 2, a.hi + NUM_PI / 2}, s = interval_waves(b).sin;
    assert_close(c.lo, rows[i].cos_lo, 1e-14, 0);
    assert_close(c.hi, rows[i].cos_hi, 1e-14, 0);
    assert_close(s.lo, rows[i].cos_lo, 1e-14, 0);
    assert_close(s.hi, rows[i].cos_hi, 1e-14, 0);
  }
}

/* Over any angles, of either sign: what is sampled, and no more than lies between two samples. */
static void waves_anywhere(void **state) {
  (void)state;
  struct random random = {61};
  for (int i = 0; i < 3000; i++) {
    double lo = random_between(&random, -20, 20), hi = lo + random_between(&random, 0, 8);
    struct wave_ranges waves = interval_waves((struct range){lo, hi});
    struct wave_ranges seen = {{1, -1}, {1, -1}};
    for (int j = 0; j <= SAMPLES; j++) {
      double a = at_sample(lo, hi, j), c = cos(a), s = sin(a);
      seen.cos = (struct range){fmin(seen.cos.lo, c), fmax(seen.cos.hi, c)};
      seen.sin = (struct range){fmin(seen.sin.lo, s), fmax(seen.sin.hi, s)};
    }
    assert_close(waves.cos.lo, seen.cos.lo, 3e-4, 0);
    assert_close(waves.cos.hi, seen.cos.hi, 3e-4, 0);
    assert_close(waves.sin.lo, seen.sin.lo, 3e-4, 0);
    assert_close(waves.sin.hi, seen.sin.hi, 3e-4, 0);
    assert_true(waves.cos.lo <= seen.cos.lo + 1e-14 && waves.cos.hi >= seen.cos.hi - 1e-14);
    assert_true(waves.sin.lo <= seen.sin.lo + 1e-14 && waves.sin.hi >= seen.sin.hi - 1e-14);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(ranges_hold_the_motion),
      cmocka_unit_test(excess_is_of_second_order),
      cmocka_unit_test(circle_is_enclosed_exactly),
      cmocka_unit_test(a_head_that_turns_with_the_guide),
      cmocka_unit_test(even_pieces_are_known_exactly),
      cmocka_unit_test(point_bounds_hold),
      cmocka_unit_test(chord_bounds_hold),
      cmocka_unit_test(waves),
      cmocka_unit_test(waves_anywhere),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
