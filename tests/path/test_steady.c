/* What evenly moving pieces come to the quick way: within its bound of piece_at() and of GNU MPFR,
 * and, where it is sure, the same millionths. */
#include "support/close.h"

#include <inttypes.h>
#include <string.h>

#include <mpfr.h>

#include "borelay/digits.h"
#include "borelay/steady.h"
#include "support/steady_piece.h"

#define DEGREES   (180.0 / NUM_PI)
#define PRECISION 200
static const double TICK = 0.004;

enum { AXES = 4 };
static const int BITS[AXES] = {STEADY_PLACE_BITS, STEADY_PLACE_BITS, STEADY_Z_BITS,
                               STEADY_HEAD_BITS};

/* Numbers as whoever asks works them out. */
struct held {
  uint64_t word[AXES], margins[AXES];
  int64_t upper[AXES]; /* above the word */
};

static uint64_t bits_of(double x) {
  uint64_t bits;
  memcpy(&bits, &x, sizeof bits);
  return bits;
}

static struct held held_at(const struct steady_rows *rows, size_t i) {
  double sine = rows->steady->sine[i], cosine = rows->steady->cosine_less_one[i];
  double x = rows->x + (rows->along * cosine - rows->across * sine);
  double y = rows->y + (rows->across * cosine + rows->along * sine);
  struct held held = {{bits_of(x) + rows->x_base, bits_of(y) + rows->y_base,
                       rows->z.start + i * rows->z.step, rows->head.start + i * rows->head.step},
                      {rows->margins, rows->margins, rows->z.margins, rows->head.margins},
                      {0, 0, rows->z.upper, rows->head.upper}};
  held.upper[0] = (int64_t)held.word[0] < 0 ? -1 : 0;
  held.upper[1] = (int64_t)held.word[1] < 0 ? -1 : 0;
  return held;
}

static int64_t whole_of(const struct held *held, int axis, uint64_t more) {
  uint64_t word = held->word[axis] + more;
  return (int64_t)((uint64_t)held->upper[axis] << (64 - BITS[axis]) | word >> BITS[axis]);
}

static bool is_sure(const struct held *held, int axis) {
  return whole_of(held, axis, 0) == whole_of(held, axis, held->margins[axis]);
}

/* -- what it is ------------------------------------------------------------------------------- */

struct exact {
  mpfr_t q, turn, head, sine, cosine, axis[AXES], scratch;
};

static void exact_open(struct exact *e) {
  mpfr_inits2(PRECISION, e->q, e->turn, e->head, e->sine, e->cosine, e->scratch, (mpfr_ptr)0);
  for (int k = 0; k < AXES; k++)
    mpfr_init2(e->axis[k], PRECISION);
}

static void exact_close(struct exact *e) {
  mpfr_clears(e->q, e->turn, e->head, e->sine, e->cosine, e->scratch, (mpfr_ptr)0);
  for (int k = 0; k < AXES; k++)
    mpfr_clear(e->axis[k]);
  mpfr_free_cache();
}

/* to = p.c0 + p.c1 x */
static void exact_even(mpfr_t to, struct cubic p, mpfr_t x) {
  mpfr_mul_d(to, x, p.c1, MPFR_RNDN);
  mpfr_add_d(to, to, p.c0, MPFR_RNDN);
}

/* axis += by * factor */
static void exact_add(struct exact *e, int axis, mpfr_t by, double factor) {
  mpfr_mul_d(e->scratch, by, factor, MPFR_RNDN);
  mpfr_add(e->axis[axis], e->axis[axis], e->scratch, MPFR_RNDN);
}

/* In mm and rad, then in millionths of what rows show. */
static void exact_at(struct exact *e, const struct piece *piece, int64_t tick) {
  const struct curve *curve = &piece->curve;
  mpfr_set_d(e->q, (double)tick, MPFR_RNDN);
  mpfr_mul_d(e->q, e->q, TICK, MPFR_RNDN);
  mpfr_sub_d(e->q, e->q, piece->t0, MPFR_RNDN);
  exact_even(e->q, piece->q, e->q);
  exact_even(e->turn, curve->turn, e->q);
  exact_even(e->axis[2], curve->z, e->q);
  exact_even(e->axis[3], curve->head, e->q);
  mpfr_set_d(e->axis[0], curve->centre.x, MPFR_RNDN);
  mpfr_set_d(e->axis[1], curve->centre.y, MPFR_RNDN);
  mpfr_sin_cos(e->sine, e->cosine, e->turn, MPFR_RNDN);
  exact_add(e, 0, curve->is_line ? e->turn : e->cosine,
            curve->is_line ? curve->direction.x : curve->radius);
  exact_add(e, 1, curve->is_line ? e->turn : e->sine,
            curve->is_line ? curve->direction.y : curve->radius);
  mpfr_sin_cos(e->sine, e->cosine, e->axis[3], MPFR_RNDN);
  exact_add(e, 0, e->cosine, -curve->rho);
  exact_add(e, 1, e->sine, -curve->rho);
  mpfr_mul_d(e->axis[3], e->axis[3], DEGREES, MPFR_RNDN);
  for (int k = 0; k < AXES; k++)
    mpfr_mul_d(e->axis[k], e->axis[k], 1e6, MPFR_RNDN);
}

/* How far the middle between word and word + margins is from 1/2 more than the number, in the
 * bound. */
static double share_of_bound(struct exact *e, const struct held *held, int axis) {
  double below = (double)(held->word[axis] & (((uint64_t)1 << BITS[axis]) - 1));
  mpfr_set_sj(e->scratch, whole_of(held, axis, 0), MPFR_RNDN);
  mpfr_sub(e->scratch, e->scratch, e->axis[axis], MPFR_RNDN);
  mpfr_sub_d(e->scratch, e->scratch, 0.5, MPFR_RNDN);
  mpfr_mul_2si(e->scratch, e->scratch, BITS[axis], MPFR_RNDN);
  mpfr_add_d(e->scratch, e->scratch, below + (double)held->margins[axis] / 2, MPFR_RNDN);
  return fabs(mpfr_get_d(e->scratch, MPFR_RNDN)) / ((double)held->margins[axis] / 2);
}

/* -- tests ------------------------------------------------------------------------------------ */

static int64_t tick_within(struct random *random, const struct piece *piece) {
  double t = random_between(random, piece->t0 + 2 * TICK, piece->t1 - 2 * TICK);
  return (int64_t)(t / TICK);
}

static void begin(struct steady *steady, const struct piece *piece) {
  steady->has_table = false;
  assert_true(steady_begin(steady, piece, TICK, 2 * STEADY_REACH));
}

/* Some number of ticks from the middle, and none outside of the piece. */
static int reach_of(struct random *random, const struct piece *piece, int64_t middle) {
  int k = random_whole(random, -STEADY_REACH, STEADY_REACH - 1);
  double t = (double)(middle + k) * TICK;
  return t >= piece->t0 && t <= piece->t1 ? k : 0;
}

static void within_its_bound(void **state) {
  (void)state;
  uint64_t seed = 20261129;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  static struct steady steady;
  struct exact exact;
  double worst[AXES] = {0};
  exact_open(&exact);
  for (int n = 0; n < 1000; n++) {
    struct piece piece = steady_piece(&random);
    struct steady_rows rows;
    begin(&steady, &piece);
    int64_t middle = tick_within(&random, &piece);
    if (!steady_rows_at(&steady, middle, &rows))
      continue;
    for (int i = 0; i < 20; i++) {
      int k = reach_of(&random, &piece, middle);
      struct held held = held_at(&rows, (size_t)(STEADY_REACH + k));
      exact_at(&exact, &piece, middle + k);
      for (int axis = 0; axis < AXES; axis++)
        worst[axis] = fmax(worst[axis], share_of_bound(&exact, &held, axis));
    }
  }
  exact_close(&exact);
  print_message("at most so much of the bound: %.3f %.3f %.3f %.3f\n", worst[0], worst[1], worst[2],
                worst[3]);
  for (int axis = 0; axis < AXES; axis++)
    assert_true(worst[axis] < 1 && worst[axis] > 0.2);
}

/* So that one of its numbers lies by a half of a millionth, at tick `tick`. */
static void move_to_half(struct random *random, struct piece *piece, int64_t tick) {
  struct pose pose = piece_at(piece, (double)tick * TICK);
  double off = random_between(random, -3e-13, 3e-13) * random_whole(random, 0, 1);
  double to_x = (floor(pose.x * 1e6) + 0.5) / 1e6 - pose.x + off;
  double to_z = (floor(pose.z * 1e6) + 0.5) / 1e6 - pose.z + off;
  double head = pose.head * DEGREES;
  double to_head = ((floor(head * 1e6) + 0.5) / 1e6 - head) / DEGREES + off;
  int axis = random_whole(random, 0, 2);
  if (axis == 0)
    piece->curve.centre.x += to_x;
  else if (axis == 1)
    piece->curve.z.c0 += to_z;
  else
    piece->curve.head.c0 += to_head;
}

static void same_rows_where_sure(void **state) {
  (void)state;
  uint64_t seed = 20261130;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  static struct steady steady;
  int sure = 0, unsure = 0, by_half = 0;
  for (int n = 0; n < 4000; n++) {
    struct piece piece = steady_piece(&random);
    int64_t middle = tick_within(&random, &piece);
    int k = reach_of(&random, &piece, middle);
    struct steady_rows rows;
    move_to_half(&random, &piece, middle + k);
    begin(&steady, &piece);
    if (!steady_rows_at(&steady, middle, &rows))
      continue;
    for (int i = 0; i < 100; i++, k = reach_of(&random, &piece, middle)) {
      struct held held = held_at(&rows, (size_t)(STEADY_REACH + k));
      struct pose pose = piece_at(&piece, (double)(middle + k) * TICK);
      const double values[AXES] = {pose.x, pose.y, pose.z, pose.head * DEGREES};
      for (int axis = 0; axis < AXES; axis++) {
        bool is_sure_here = is_sure(&held, axis);
        if (is_sure_here)
          assert_int_equal(whole_of(&held, axis, 0), digits_scale(values[axis], 6));
        sure += is_sure_here;
        unsure += !is_sure_here;
        by_half += !is_sure_here && i == 0;
      }
    }
  }
  print_message("%d sure, %d not, %d of them by a half\n", sure, unsure, by_half);
  assert_true(sure > 1000000 && by_half > 3500 && unsure < sure / 5);
}

static struct piece plain_piece(void) {
  return (struct piece){
      .t1 = 100,
      .q = {.c1 = 4},
      .curve = {
          .radius = 20, .turn = {1, 0.02, 0, 0}, .head = {1, 0.02, 0, 0}, .z = {40, 0.01, 0, 0}}};
}

static void only_what_is_even(void **state) {
  (void)state;
  static struct steady steady;
  struct piece piece = plain_piece();
  assert_false(steady_begin(&steady, &piece, TICK, 200)); /* not worth a table */
  assert_true(steady_begin(&steady, &piece, TICK, 2 * STEADY_REACH));
  assert_true(steady_begin(&steady, &piece, TICK, 200)); /* there is one */
  piece.curve.is_line = true;
  assert_false(steady_begin(&steady, &piece, TICK, 200)); /* for arcs */
  piece = plain_piece();
  piece.curve.rho = 30; /* the head's circle would want a table, too */
  assert_false(steady_begin(&steady, &piece, TICK, 10000));
  piece.curve.head.c1 = 0;
  assert_true(steady_begin(&steady, &piece, TICK, 10000));
  for (int of = 0; of < 8; of++) {
    piece = plain_piece();
    struct cubic *cubics[] = {&piece.q, &piece.curve.turn, &piece.curve.head, &piece.curve.z};
    *(of % 2 ? &cubics[of / 2]->c2 : &cubics[of / 2]->c3) = 1e-9;
    assert_false(steady_begin(&steady, &piece, TICK, 10000));
  }
}

static void only_what_has_room(void **state) {
  (void)state;
  static struct steady steady;
  struct piece piece;
  double *const values[] = {&piece.curve.centre.x, &piece.curve.centre.y, &piece.curve.radius,
                            &piece.curve.z.c0,     &piece.curve.head.c0,  &piece.curve.turn.c1,
                            &piece.curve.z.c1,     &piece.curve.head.c1,  &piece.t1};
  static const double FAR[] = {1e9, 1e14, (double)INFINITY, (double)NAN};
  for (size_t of = 0; of < sizeof values / sizeof values[0]; of++)
    for (size_t k = 0; k < sizeof FAR / sizeof FAR[0]; k++) {
      piece = plain_piece();
      *values[of] = FAR[k];
      assert_false(steady_begin(&steady, &piece, TICK, 10000));
    }
  piece = plain_piece();
  assert_true(steady_begin(&steady, &piece, TICK, 10000));
}

/* What lies above the word of z, or of the head's angle, is not the same on both sides of these. */
static void not_over_a_border(void **state) {
  (void)state;
  static struct steady steady;
  struct steady_rows rows;
  static const double BORDERS[] = {0, 4294.967296, -4294.967296};
  for (size_t of = 0; of < sizeof BORDERS / sizeof BORDERS[0]; of++) {
    struct piece piece = plain_piece();
    piece.curve.z.c0 = BORDERS[of] - 0.05 * piece.curve.z.c1; /* there after 3 ticks */
    begin(&steady, &piece);
    assert_false(steady_rows_at(&steady, 4, &rows));
    assert_false(steady_rows_at(&steady, 510, &rows));
    assert_true(steady_rows_at(&steady, 600, &rows));
  }
  struct piece piece = plain_piece();
  piece.curve.head.c0 = -0.0008;
  begin(&steady, &piece);
  assert_false(steady_rows_at(&steady, 4, &rows));
  assert_true(steady_rows_at(&steady, 600, &rows));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(within_its_bound),  cmocka_unit_test(same_rows_where_sure),
      cmocka_unit_test(only_what_is_even), cmocka_unit_test(only_what_has_room),
      cmocka_unit_test(not_over_a_border),
  };
  return cmocka_run_group_tests_name("path steady", tests, NULL, NULL);
}
