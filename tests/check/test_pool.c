/* travel-speed where slopes are eased: pieces made by hand along a straight wall, against windows
 * taken by force. */
#include "support/close.h"

#include "check/hand_motion.h"
#include "check/pool.h"
#include "support/random.h"

enum { SAMPLES = 256 }; /* of a piece */

static int setup(void **state) {
  struct hand_motion *hand = hand_motion_new();
  hand_motion_begin(hand, hand_racetrack(hand->arena, "slot", (vec2){5, 3}, 60, 25, 0.3));
  hand->run->speed = hand->procedure.travel_speed;
  hand->run->info.travel_t1 = 100;
  *state = hand;
  return 0;
}

/* The next piece: the pool's place along the wall and its height, cubics in q. */
static void eased(struct hand_motion *hand, double length, struct cubic place, struct cubic z) {
  struct motion_run *run = hand->run;
  const struct contour_seg *seg = &hand->scene.overlays[0].contour->segs[1];
  double t0 = run->count > 0 ? run->pieces[run->count - 1].t1 : 0;
  struct piece *piece = hand_piece(hand, t0, t0 + length / run->speed);
  piece->q = (struct cubic){0, run->speed, 0, 0};
  piece->curve = (struct curve){.length = length,
                                .is_line = true,
                                .centre = seg->start,
                                .direction = seg->tangent,
                                .turn = place,
                                .z = z};
}

static struct check_result judged(struct hand_motion *hand) {
  struct scene scene = {hand->arena, &hand->motion, false};
  struct pool_judge pool = pool_begin(&scene);
  for (size_t i = 0; i < hand->run->count; i++) {
    const struct piece *piece = &hand->run->pieces[i];
    struct tip_way way = tip_way_make(&piece->curve, 0, 0, piece->curve.length);
    pool_way(&pool, &hand->phase, piece, &way, &hand->scene.overlays[0].contour->segs[1]);
  }
  return pool_end(&pool);
}

static double own_speed(const struct curve *curve, double q) {
  return hypot(cubic_derivative(curve->turn, q, 1), cubic_derivative(curve->z, q, 1));
}

/* Largest deviation of 0.5 mm / (time for it) from the speed, %; the pool's own way by Simpson's
 * rule. */
static double window_by_force(const struct hand_motion *hand) {
  static double q[HAND_PIECES * SAMPLES], own[HAND_PIECES * SAMPLES];
  size_t count = 1;
  for (size_t i = 0; i < hand->run->count; i++) {
    const struct curve *curve = &hand->run->pieces[i].curve;
    double step = curve->length / SAMPLES;
    for (int k = 0; k < SAMPLES && count < HAND_PIECES * SAMPLES; k++, count++) {
      double sum = own_speed(curve, k * step) + 4 * own_speed(curve, (k + 0.5) * step) +
                   own_speed(curve, (k + 1) * step);
      q[count] = q[count - 1] + step;
      own[count] = own[count - 1] + sum * step / 6;
    }
  }
  double worst = 0;
  for (size_t i = 0, k = 0; i < count; i++) {
    while (k < count && own[k] - own[i] < 0.5)
      k++;
    if (k == count)
      break;
    double share = (own[i] + 0.5 - own[k - 1]) / (own[k] - own[k - 1]);
    double way = q[k - 1] + share * (q[k] - q[k - 1]) - q[i];
    worst = fmax(worst, 100 * fabs(0.5 / way - 1));
  }
  return worst;
}

static const struct cubic LEVEL = {0, 0, 0, 0}, EVEN = {0, 1, 0, 0};

/* z' from 0 to a slope and back, the pool no slower along the wall for it: it gains. */
static void a_slope_that_is_taken_too_fast(void **state) {
  static const struct {
    double length, slope;
    bool holds;
  } rows[] = {{0.0123, 0.0138, true}, {0.1, 0.2, true}, {0.1, 0.4, false},
              {0.5, 0.12, true},      {2, 0.1, true},   {2, 0.16, false}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct hand_motion *hand = *state;
    double length = rows[i].length, c2 = rows[i].slope / (2 * length);
    hand->run->count = 0;
    eased(hand, 1, EVEN, LEVEL);
    eased(hand, length, EVEN, (struct cubic){0, 0, c2, 0});
    eased(hand, length, EVEN, (struct cubic){0, rows[i].slope, -c2, 0});
    eased(hand, 1, EVEN, LEVEL);
    struct check_result result = judged(hand);
    double forced = window_by_force(hand);
    print_message("over %.4f mm to a slope of %.4f: judged %.6f %%, by force %.6f %%\n", length,
                  rows[i].slope, result.worst, forced);
    assert_true(result.worst >= forced * (1 - 1e-6));
    assert_true(result.worst <= forced * 1.25 + 1e-4);
    assert_int_equal(result.passed, rows[i].holds);
  }
}

static struct cubic random_slope(struct random *random, double c1, double length, double most) {
  double bend = random_between(random, -most, most), twist = random_between(random, -most, most);
  return (struct cubic){0, c1, bend / length, twist / (length * length)};
}

/* An eased piece on which the pool gains about `lead` of its length, more or less by up to half of
 * `most`. */
static void eased_anyhow(struct hand_motion *hand, struct random *random, double length,
                         double lead, double most) {
  double slope = random_between(random, -sqrt(most), sqrt(most));
  double along = sqrt(1 - slope * slope) + lead + random_between(random, -most, most) / 4;
  struct cubic place = random_slope(random, along, length, most / 16);
  eased(hand, length, place, random_slope(random, slope, length, sqrt(most) / 16));
}

/* Pieces of any length one behind the other, on which the pool gains here and loses there. */
static void slopes_of_any_kind(void **state) {
  struct hand_motion *hand = *state;
  struct random random = {7};
  for (int i = 0; i < 200; i++) {
    hand->run->count = 0;
    for (double at = 0, length; at < 4; at += length) {
      length = random_between(&random, 0.01, i % 3 == 0 ? 0.1 : 0.6);
      eased_anyhow(hand, &random, length, 0, i % 2 == 0 ? 0.004 : 0.02);
    }
    struct check_result result = judged(hand);
    double forced = window_by_force(hand);
    assert_true(result.worst >= forced * (1 - 1e-6));
    assert_true(result.worst <= forced * 1.5 + 0.03);
  }
}

/* Up to three short pieces alone, on which the pool only gains, or only loses: all that is gained
 * lies in one window, and is known closely. */
static void short_slopes_are_known_closely(void **state) {
  struct hand_motion *hand = *state;
  struct random random = {8};
  for (int i = 0; i < 1000; i++) {
    hand->run->count = 0;
    eased(hand, 1, EVEN, LEVEL);
    double most = random_between(&random, 0.001, 0.1), lead = i % 2 == 0 ? most : -most;
    for (int k = 0; k <= i % 3; k++)
      eased_anyhow(hand, &random, random_between(&random, 0.005, 0.015), lead, most);
    eased(hand, 1, EVEN, LEVEL);
    struct check_result result = judged(hand);
    double forced = window_by_force(hand);
    assert_true(result.worst >= forced - 1e-8);
    assert_true(result.worst <= forced * 1.001 + 1e-4);
  }
}

/* Slopes that change by what rounding leaves gain nothing, however long they are. */
static void a_slope_but_for_rounding(void **state) {
  struct hand_motion *hand = *state;
  double slope = 0.0138, along = sqrt(1 - slope * slope);
  for (int i = 0; i < 40; i++)
    eased(hand, 50, (struct cubic){0, along, 0, 0}, (struct cubic){0, slope, 1e-18, -1e-20});
  assert_close(judged(hand).worst, 0, 1e-9, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(a_slope_that_is_taken_too_fast, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(slopes_of_any_kind, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(short_slopes_are_known_closely, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(a_slope_but_for_rounding, setup, hand_motion_teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
