/* Pieces on one curve as one passage, and what its chords cost at most. */
#include "clear/passage.h"

#include <stdio.h>

#include "clear/chord.h"
#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

static const struct curve straight = {.length = 100,
                                      .is_line = true,
                                      .centre = {3, 4},
                                      .direction = {0.6, 0.8},
                                      .turn = {0, 1, 0, 0},
                                      .z = {50, -0.5, 0, 0}};

/* From rest to rest over 100 mm: a third each of running up, going on, running down. */
static void ride_make(struct piece pieces[3]) {
  for (int i = 0; i < 3; i++)
    pieces[i] = (struct piece){.t0 = 7 + 2 * i, .t1 = 9 + 2 * i, .curve = straight};
  pieces[0].q = (struct cubic){0, 0, 6.25, 0};
  pieces[1].q = (struct cubic){25, 25, 0, 0};
  pieces[2].q = (struct cubic){75, 25, -6.25, 0};
}

static void test_one_curve_is_one_passage(void **state) {
  (void)state;
  struct piece pieces[4];
  ride_make(pieces);
  pieces[3] = pieces[2];
  pieces[3].t0 = 11 + 2, pieces[3].t1 = 15;
  pieces[3].q = (struct cubic){0, 1, 0, 0};
  pieces[3].curve.turn.c0 = 100;
  struct passage whole = passage_find(pieces, 4, 0, 4);
  assert_int_equal(whole.last, 3);
  assert_close(whole.qa, 0, 0, 0);
  assert_close(whole.qb, 100, 1e-12, 0);
  struct passage part = passage_find(pieces, 4, 1, 2);
  assert_int_equal(part.last, 2);
  assert_close(part.qa, 25, 0, 0);
  assert_close(part.qb, 75, 1e-12, 0);
  struct passage next = passage_find(pieces, 4, 3, 4);
  assert_int_equal(next.first, 3);
  assert_int_equal(next.last, 4);
}

/* A lap whose curve is that of the lap before, q beginning anew. */
static void test_beginning_anew_is_another_passage(void **state) {
  (void)state;
  struct piece pieces[2];
  struct piece all[3];
  ride_make(all);
  pieces[0] = all[2];
  pieces[1] = all[0];
  assert_false(passage_goes_on(&pieces[0], &pieces[1]));
  assert_int_equal(passage_find(pieces, 2, 0, 2).last, 1);
}

static void test_times_and_places(void **state) {
  (void)state;
  struct piece pieces[3];
  ride_make(pieces);
  struct passage passage = passage_find(pieces, 3, 0, 3);
  const double rows[][2] = {{7, 0}, {8, 6.25}, {9, 25}, {10, 50}, {11, 75}, {12, 93.75}, {13, 100}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    assert_close(passage_place(&passage, rows[i][0]), rows[i][1], 1e-12, 0);
    assert_close(passage_time(&passage, rows[i][1]), rows[i][0], 1e-12, 0);
  }
  assert_close(passage_place(&passage, 6), 0, 0, 0);
  assert_close(passage_place(&passage, 14), 100, 1e-12, 0);
  struct piece still = {.t0 = 5, .t1 = 8, .q = {20, 0, 0, 0}, .curve = straight};
  struct passage wait = passage_find(&still, 1, 0, 1);
  assert_close(passage_time(&wait, 20), 5, 0, 0); /* where it begins */
}

/* -- chords -------------------------------------------------------------------------------- */

static struct piece random_piece(struct random *random) {
  double from = random_between(random, 0, 5), duration = random_between(random, 0.05, 2);
  struct piece piece = {.t0 = 3, .t1 = 3 + duration};
  piece.q = (struct cubic){from, random_between(random, 0, 8), random_between(random, -1, 2),
                           random_between(random, -0.3, 0.6)};
  struct curve *curve = &piece.curve;
  curve->length = 100;
  curve->is_line = random_whole(random, 0, 1);
  curve->direction = hand_polar(1, random_between(random, 0, 6));
  curve->radius = random_between(random, -30, 30);
  curve->rho = random_whole(random, 0, 1) ? random_between(random, -20, 20) : 0;
  struct cubic *cubics[3] = {&curve->turn, &curve->head, &curve->z};
  for (int i = 0; i < 3; i++)
    *cubics[i] = (struct cubic){random_between(random, -3, 3), random_between(random, -0.5, 0.5),
                                random_between(random, -0.1, 0.1),
                                random_whole(random, 0, 1) ? random_between(random, -0.1, 0.1) : 0};
  return piece;
}

/* Never less than the second derivatives at any instant; nor far more. */
static void test_rough_chords_hold(void **state) {
  (void)state;
  enum { ROUNDS = 2000, INSTANTS = 40 };
  struct random random = {77};
  double tick = 0.01, loosest = 0;
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < ROUNDS; round++) {
    struct piece piece = random_piece(&random);
    struct passage passage = passage_find(&piece, 1, 0, 1);
    struct chord_rough rough;
    chord_rough_begin(&rough);
    struct chord chord = chord_find_rough(&passage, tick, &rough);
    double level = 0, turning = 0;
    for (int i = 0; i <= INSTANTS; i++) {
      struct jet jet = piece_jet(&piece, piece.t0 + (piece.t1 - piece.t0) * i / INSTANTS);
      double x = jet.d[AXIS_X][2], y = jet.d[AXIS_Y][2], z = jet.d[AXIS_Z][2];
      level = fmax(level, sqrt(x * x + y * y + z * z));
      turning = fmax(turning, fabs(jet.d[AXIS_HEAD][2]));
    }
    assert_true(chord.level >= level * tick * tick / 8 * (1 - 1e-12));
    assert_true(chord.turning >= turning * tick * tick / 8 * (1 - 1e-12));
    loosest = fmax(loosest, chord.level / (level * tick * tick / 8));
  }
  print_message("loosest %.3g\n", loosest);
  assert_true(loosest < 100);
}

/* A piece's neighbours within a tick count, those beyond do not. */
static void test_rough_chords_reach_a_tick(void **state) {
  (void)state;
  struct piece pieces[3];
  ride_make(pieces);
  for (int i = 0; i < 3; i++)
    pieces[i].curve.z.c0 += i; /* three curves */
  struct passage middle = passage_find(pieces, 3, 1, 2);
  struct chord_rough rough;
  chord_rough_begin(&rough);
  double accel = 12.5 * sqrt(1.25), tick = 0.5;
  assert_int_equal(middle.last, 2);
  struct chord beside = chord_find_rough(&middle, tick, &rough);
  assert_close(beside.level, accel * tick * tick / 8, 1e-12, 0);
  struct passage alone = {pieces + 1, 1, 0, 1, 25, 75};
  assert_close(chord_find_rough(&alone, tick, &rough).level, 0, 0, 0);
}

static void test_straight_is_told(void **state) {
  (void)state;
  struct piece pieces[3];
  ride_make(pieces);
  struct passage whole = passage_find(pieces, 3, 0, 3);
  assert_true(chord_is_straight(&whole, 0.5));
  struct passage begin = passage_find(pieces, 3, 0, 1);
  assert_true(chord_is_straight(&begin, 0.5)); /* what follows goes on along it */
  pieces[2].curve.z.c0 += 1;
  whole = passage_find(pieces, 3, 0, 3);
  assert_false(chord_is_straight(&whole, 0.5));
  assert_true(chord_is_straight(&begin, 0.5));
  assert_true(curve_is_straight(&straight));
  struct curve bent = straight;
  bent.head.c2 = 1e-6;
  assert_false(curve_is_straight(&bent));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_one_curve_is_one_passage),
      cmocka_unit_test(test_beginning_anew_is_another_passage),
      cmocka_unit_test(test_times_and_places),
      cmocka_unit_test(test_rough_chords_hold),
      cmocka_unit_test(test_rough_chords_reach_a_tick),
      cmocka_unit_test(test_straight_is_told),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
