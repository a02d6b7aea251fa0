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

/* Several passages in a row cost what the dearest of them does. */
static void test_a_row_costs_its_dearest(void **state) {
  (void)state;
  enum { ROUNDS = 200, PIECES = 6 };
  struct random random = {78};
  for (int round = 0; round < ROUNDS; round++) {
    struct piece pieces[PIECES];
    double t = 3, tick = random_between(&random, 0.01, 0.5), level = 0, turning = 0;
    for (int i = 0; i < PIECES; i++) {
      pieces[i] = random_piece(&random);
      double duration = pieces[i].t1 - pieces[i].t0;
      pieces[i].t0 = t;
      pieces[i].t1 = t += duration;
    }
    struct passage row = {pieces,
                          PIECES,
                          (size_t)random_whole(&random, 0, 2),
                          (size_t)random_whole(&random, 3, PIECES),
                          0,
                          0};
    struct chord_rough rough;
    chord_rough_begin(&rough);
    for (size_t i = row.first; i < row.last; i++) {
      struct passage passage = passage_find(pieces, PIECES, i, i + 1);
      struct chord chord = chord_find_rough(&passage, tick, &rough);
      level = fmax(level, chord.level);
      turning = fmax(turning, chord.turning);
    }
    struct chord chord = chord_find_over(&row, tick, &rough);
    assert_close(chord.level, level, 0, 0);
    assert_close(chord.turning, turning, 0, 0);
  }
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

/* -- every chord has its match ------------------------------------------------------------- */

/* Two passages along one curve, as a batch of pieces may cut it, with q run through at a speed that
 * falls and rises; each in three stretches, the first and the last one a tick long. */
enum { PIECES = 6, STRETCHES = 6 };
struct drive {
  struct piece pieces[PIECES];
  double tick;
  struct allowed {
    double t, q, cost; /* where the stretch ends */
  } stretches[STRETCHES];
};

static const double arm = 20; /* mm */

static void drive_pieces(struct drive *drive, struct random *random) {
  struct curve curve = random_piece(random).curve;
  double rates[PIECES + 1], q = 0, t = 2;
  curve.is_line = true;
  curve.rho = 0;
  curve.turn = (struct cubic){0, 1, 0, 0};
  curve.z = (struct cubic){0, 0, random_between(random, -3, 3), 0};
  rates[0] = random_between(random, 1, 12);
  for (int i = 0; i < PIECES; i++) {
    double length = random_between(random, 0.15, 0.4);
    rates[i + 1] = fmax(0.2, rates[i] + random_between(random, -8, 8));
    drive->pieces[i] = (struct piece){t, t + length, {q, rates[i], 0, 0}, curve};
    drive->pieces[i].q.c2 = (rates[i + 1] - rates[i]) / (2 * length);
    q += (rates[i] + rates[i + 1]) / 2 * length;
    t += length;
  }
}

static void drive_stretches(struct drive *drive) {
  for (size_t k = 0; k < 2; k++) {
    struct passage passage = passage_find(drive->pieces, PIECES, 3 * k, 3 * k + 3);
    double ta = drive->pieces[3 * k].t0, tb = drive->pieces[3 * k + 2].t1, tick = drive->tick;
    const double cuts[4] = {ta, ta + tick, tb - tick, tb};
    for (int i = 0; i < 3; i++) {
      struct chord chord = chord_find(&passage, cuts[i], cuts[i + 1], tick);
      drive->stretches[3 * k + (size_t)i] = (struct allowed){
          cuts[i + 1], passage_place(&passage, cuts[i + 1]), chord_cost(&chord, arm)};
    }
  }
}

static double drive_place(const struct drive *drive, double t) {
  int i = 0;
  while (i + 1 < PIECES && drive->pieces[i].t1 < t)
    i++;
  return cubic_at(drive->pieces[i].q, t - drive->pieces[i].t0);
}

static struct pose drive_at(const struct drive *drive, double q) {
  struct passage passage = passage_find(drive->pieces, PIECES, 0, 1);
  struct piece by_place = passage_by_place(&passage);
  return piece_at(&by_place, q);
}

/* Whether the chord's point at a share of it lies as near to its match as the match's stretch
 * allows for. */
static bool is_allowed(const struct drive *drive, double t, double share, bool by_place) {
  double qa = drive_place(drive, t), qb = drive_place(drive, t + drive->tick);
  double at = t + share * drive->tick, q = qa + share * (qb - qa);
  struct pose a = drive_at(drive, qa), b = drive_at(drive, qb);
  struct pose match = drive_at(drive, by_place ? q : drive_place(drive, at));
  double x = a.x + share * (b.x - a.x) - match.x, y = a.y + share * (b.y - a.y) - match.y;
  double z = a.z + share * (b.z - a.z) - match.z;
  double head = a.head + share * (b.head - a.head) - match.head;
  int i = 0;
  while (i + 1 < STRETCHES && (by_place ? drive->stretches[i].q < q : drive->stretches[i].t < at))
    i++;
  return sqrt(x * x + y * y + z * z) + arm * fabs(head) <= drive->stretches[i].cost + 1e-9;
}

/* By place all along, or by time all along: no point of a chord may be left to a stretch that
 * reckons with the other match. */
static void test_chords_are_matched_one_way(void **state) {
  (void)state;
  enum { ROUNDS = 400, STARTS = 60, SHARES = 20 };
  struct random random = {4711};
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < ROUNDS; round++) {
    struct drive drive = {.tick = 0.1};
    drive_pieces(&drive, &random);
    drive_stretches(&drive);
    double last = drive.pieces[PIECES - 1].t1 - drive.tick - drive.pieces[0].t0;
    for (int n = 0; n <= STARTS; n++) {
      double t = drive.pieces[0].t0 + last * n / STARTS;
      bool by_place = true, by_time = true;
      for (int i = 0; i <= SHARES; i++) {
        by_place = by_place && is_allowed(&drive, t, (double)i / SHARES, true);
        by_time = by_time && is_allowed(&drive, t, (double)i / SHARES, false);
      }
      assert_true(by_place || by_time);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_one_curve_is_one_passage),
      cmocka_unit_test(test_beginning_anew_is_another_passage),
      cmocka_unit_test(test_times_and_places),
      cmocka_unit_test(test_rough_chords_hold),
      cmocka_unit_test(test_rough_chords_reach_a_tick),
      cmocka_unit_test(test_a_row_costs_its_dearest),
      cmocka_unit_test(test_straight_is_told),
      cmocka_unit_test(test_chords_are_matched_one_way),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
