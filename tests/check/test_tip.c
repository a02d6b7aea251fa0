/* tip-path, torch-angle and travel-speed on weld travel made by hand around a racetrack. */
#include "support/close.h"

#include <string.h>

#include "check/hand_motion.h"
#include "check/tip.h"
#include "support/random.h"

#define REACH 20
#define DROP  100
#define DEG   (hand_pi / 180)

/* Straights of 60, ends of radius 25 in two quarters each; layer offset 2, arc length 3: pool
 * radius 23, tip radius 20.
 */
static int setup(void **state) {
  struct hand_motion *hand = hand_motion_new();
  hand_motion_begin(hand, hand_racetrack(hand->arena, "slot", (vec2){5, 3}, 60, 25, 0.3));
  hand->scene.cell.reach = REACH;
  hand->scene.cell.drop = DROP;
  hand->scene.overlays[0].layers[0].offset = 2;
  hand->run->speed = 3;
  *state = hand;
  return 0;
}

static struct piece *travel(struct hand_motion *hand, double length) {
  struct motion_run *run = hand->run;
  double t0 = run->count > 0 ? run->pieces[run->count - 1].t1 : run->travel_t0;
  struct piece *piece = hand_piece(hand, t0, t0 + length / run->speed);
  piece->q = (struct cubic){0, run->speed, 0, 0};
  piece->curve = (struct curve){.length = length, .rho = REACH, .z = {DROP - 20, 0, 0, 0}};
  return piece;
}

/* One lap anticlockwise at depth 20 from the first straight on, the head simply on the normal. */
static void lap_make(struct hand_motion *hand) {
  const struct contour *contour = hand->scene.overlays[0].contour;
  double length = 0;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[(i + 1) % contour->count];
    vec2 n = hand_polar(1, seg->normal0);
    if (seg->turn == 0) {
      struct curve *curve = &travel(hand, seg->length)->curve;
      curve->is_line = true;
      curve->centre = vec2_sub(seg->start, vec2_scale(n, 5));
      curve->direction = seg->tangent;
      curve->turn = (struct cubic){0, 1, 0, 0};
      curve->head = (struct cubic){seg->normal0, 0, 0, 0};
      length += seg->length;
    } else {
      double way = seg->length * 23 / 25;
      struct curve *curve = &travel(hand, way)->curve;
      curve->centre = seg->centre;
      curve->radius = 20;
      curve->turn = curve->head = (struct cubic){seg->normal0, 1.0 / 23, 0, 0};
      length += way;
    }
  }
  hand_leg(hand, contour->perimeter, length, 20, 20);
  hand->run->info.travel_t0 = hand->run->travel_t0;
  hand->run->info.travel_t1 = hand->run->pieces[hand->run->count - 1].t1;
}

static void judge(struct hand_motion *hand, struct check_result results[4]) {
  struct scene scene = {hand->arena, &hand->motion, false};
  struct tip_judge tip = tip_begin(&scene);
  for (size_t i = 0; i < hand->run->count; i++)
    tip_piece(&tip, &hand->phase, &hand->run->pieces[i]);
  tip_end(&tip, results);
}

static void a_true_lap_holds(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  struct check_result results[4];
  judge(hand, results);
  for (int i = 0; i < 3; i++)
    assert_true(results[i].judged && results[i].passed);
  assert_close(results[0].worst, 0, 1e-8, 0);
  assert_close(results[1].worst, 0, 1e-9, 0);
  assert_close(results[2].worst, 0, 1e-8, 0);
}

static void tip_limit(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  struct check_result results[4];
  hand->run->pieces[2].curve.centre.x += 0.00099;
  judge(hand, results);
  assert_true(results[0].passed);
  assert_true(results[0].worst > 0.00099 * fabs(sin(0.3)) - 1e-9);
  hand->run->pieces[2].curve.centre.x += 0.005;
  judge(hand, results);
  assert_false(results[0].passed);
  assert_close(results[0].t, hand->run->pieces[2].t0, hand->run->pieces[2].t1, 0);
}

static void a_wrong_radius_is_seen(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  struct check_result results[4];
  hand->run->pieces[1].curve.radius -= 0.002;
  judge(hand, results);
  assert_false(results[0].passed);
  assert_close(results[0].worst, 0.002, 1e-7, 0);
}

/* What is no number keeps none of the limits. */
static void no_numbers(void **state) {
  struct hand_motion *hand = *state;
  for (int i = 0; i < 6; i++) {
    hand->run->count = 0;
    lap_make(hand);
    struct piece *piece = &hand->run->pieces[1];
    double *const at[] = {&piece->curve.radius,  &piece->curve.z.c0,    &piece->curve.head.c0,
                          &piece->curve.head.c2, &piece->curve.turn.c1, &piece->q.c1};
    *at[i] = (double)NAN;
    struct check_result results[4];
    judge(hand, results);
    bool passed[3];
    for (int k = 0; k < 3; k++)
      passed[k] = results[k].passed;
    if (passed[0] && passed[1] && passed[2])
      print_error("number %d\n", i);
    assert_false(passed[0] && passed[1] && passed[2]);
  }
}

static void height_limit(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  struct check_result results[4];
  hand->run->pieces[1].curve.z.c0 += 0.0015;
  judge(hand, results);
  assert_false(results[0].passed);
  assert_close(results[0].worst, 0.0015, 1e-7, 0);
  hand->run->pieces[1].curve.z.c0 -= 0.0015;
  hand->run->pieces[1].curve.z.c1 =
      0.01 / hand->run->pieces[1].curve.length; /* ends 0.01 too high */
  judge(hand, results);
  assert_close(results[0].worst, 0.01, 1e-6, 0);
}

static void torch_angle_between_the_ends(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  struct check_result results[4];
  /* head - normal = 4 a (q/L) (1 - q/L): largest, a, in the middle, 0 at both ends */
  struct curve *curve = &hand->run->pieces[0].curve;
  double a = 2.9 * DEG;
  curve->head.c1 += 4 * a / curve->length;
  curve->head.c2 -= 4 * a / curve->length / curve->length;
  judge(hand, results);
  assert_true(results[1].passed);
  assert_close(results[1].worst, 2.9, 1e-9, 0);
  assert_close(results[1].t, curve->length / 2 / hand->run->speed, 1e-6, 0);
  assert_true(results[0].passed); /* the tip is where it was */
  curve->head.c0 += 0.11 * DEG;
  judge(hand, results);
  assert_false(results[1].passed);
  assert_close(results[1].worst, 3.01, 1e-9, 0);
  assert_close(results[1].limit, 3, 1e-12, 0);
  curve->head.c0 -= 10 * DEG; /* to the other side: now the ends are worst */
  judge(hand, results);
  assert_close(results[1].worst, 9.89, 1e-9, 0);
}

static void without_arc_nothing_is_judged(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  hand->phase.arc = false;
  struct check_result results[4];
  judge(hand, results);
  for (int i = 0; i < 4; i++)
    assert_false(results[i].judged);
}

/* -- travel-speed ------------------------------------------------------------------------------ */

static void a_slow_run(void **state) {
  struct hand_motion *hand = *state;
  hand->procedure.travel_speed = 3 / 0.991;
  lap_make(hand);
  struct check_result results[4];
  judge(hand, results);
  assert_true(results[2].passed);
  assert_close(results[2].worst, 0.9, 1e-6, 0);
  hand->procedure.travel_speed = 3 / 0.989;
  judge(hand, results);
  assert_false(results[2].passed);
  assert_close(results[2].worst, 1.1, 1e-6, 0);
}

/* On the first straight the pool lags by up to `lag` mm, as 16 lag u^2 (1 - u)^2 would in about the
 * middle; here by two cubics that meet with a common slope: x = q -+ lag bump.  Window means are
 * taken by brute force. */
static void lag_on_the_straight(struct hand_motion *hand, double at, double half, double lag) {
  struct piece whole = hand->run->pieces[0];
  struct piece rest[HAND_PIECES];
  size_t count = hand->run->count;
  memcpy(rest, hand->run->pieces, sizeof rest);
  double cut[5] = {0, at - half, at, at + half, whole.curve.length};
  hand->run->count = 0;
  for (int i = 0; i < 4; i++) {
    struct piece *piece = &hand->run->pieces[hand->run->count++];
    double length = cut[i + 1] - cut[i];
    *piece = whole;
    piece->t0 = whole.t0 + cut[i] / 3;
    piece->t1 = whole.t0 + cut[i + 1] / 3;
    piece->curve.length = length;
    piece->curve.turn.c0 = cut[i];
    /* smooth step 3 u^2 - 2 u^3 down, then up again */
    double k = lag / (half * half);
    if (i == 1) {
      piece->curve.turn.c2 = -3 * k;
      piece->curve.turn.c3 = 2 * k / half;
    } else if (i == 2) {
      piece->curve.turn.c0 -= lag;
      piece->curve.turn.c2 = 3 * k;
      piece->curve.turn.c3 = -2 * k / half;
    }
  }
  for (size_t i = 1; i < count; i++)
    hand->run->pieces[hand->run->count++] = rest[i];
}

static double place_on_straight(const struct hand_motion *hand, double t) {
  size_t i = 0;
  while (i + 1 < hand->run->count && t >= hand->run->pieces[i].t1 &&
         hand->run->pieces[i + 1].curve.is_line)
    i++;
  const struct piece *piece = &hand->run->pieces[i];
  return cubic_at(piece->curve.turn, cubic_at(piece->q, t - piece->t0));
}

/* Largest deviation of 0.5 mm / (time for it) from 3 mm/s. */
static double window_by_force(const struct hand_motion *hand) {
  double worst = 0;
  for (double t = 3; t < 15; t += 0.0005) {
    double goal = place_on_straight(hand, t) + 0.5, lo = t, hi = t + 1;
    for (int i = 0; i < 40; i++) {
      double mid = (lo + hi) / 2;
      if (place_on_straight(hand, mid) < goal)
        lo = mid;
      else
        hi = mid;
    }
    worst = fmax(worst, fabs(0.5 / (lo - t) / 3 - 1));
  }
  return worst;
}

static void lagging_pool(void **state) {
  static const struct {
    double half, lag;
    bool holds;
  } rows[] = {{0.2, 0.0045, true},   {0.2, 0.006, false},  {0.05, 0.0045, true},
              {0.05, 0.0055, false}, {0.1, -0.0045, true}, {0.1, -0.0055, false}};
  struct hand_motion *hand = *state;
  lap_make(hand);
  struct motion_run first = *hand->run;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    *hand->run = first;
    lag_on_the_straight(hand, 20, rows[i].half, rows[i].lag);
    struct check_result results[4];
    judge(hand, results);
    double forced = window_by_force(hand) * 100;
    print_message("half %.2f lag %.4f: judged %.4f %%, by force %.4f %%\n", rows[i].half,
                  rows[i].lag, results[2].worst, forced);
    assert_true(results[2].worst >= forced * (1 - 1e-3));
    assert_true(results[2].worst <= forced * 1.02);
    assert_int_equal(results[2].passed, rows[i].holds);
  }
}

/* Two lags behind each other, 0.3 % of half a millimetre each, count together. */
static void lags_that_follow_each_other_add(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  lag_on_the_straight(hand, 20, 0.1, 0.003);
  struct piece *first = &hand->run->pieces[1], *second = &hand->run->pieces[2];
  second->curve.turn.c2 = first->curve.turn.c2; /* on down instead of up again */
  second->curve.turn.c3 = first->curve.turn.c3;
  hand->run->pieces[3].curve.turn.c0 -= 0.006;
  struct check_result results[4];
  judge(hand, results);
  double forced = window_by_force(hand) * 100;
  assert_true(forced > 1.1);
  assert_false(results[2].passed);
  assert_close(results[2].worst, forced, 0.01, 0.01);
}

/* The first straight in pieces of any length, each of which gains or loses a little evenly: windows
 * reach over few of them or many. */
static void random_lags(struct hand_motion *hand, struct random *random, double most) {
  struct piece whole = hand->run->pieces[0];
  double at = 0, gained = 0;
  hand->run->count = 0;
  for (int i = 0; i < HAND_PIECES - 2 && at < 24; i++) {
    struct piece *piece = &hand->run->pieces[hand->run->count++];
    bool plain = i == 0;
    double length = plain ? 15 : random_between(random, 0.01, i % 3 == 0 ? 0.1 : 0.4);
    double gain = plain ? 0 : length * random_between(random, -most, most);
    *piece = whole;
    piece->t0 = whole.t0 + at / 3;
    piece->t1 = whole.t0 + (at + length) / 3;
    piece->curve.length = length;
    piece->curve.turn = (struct cubic){at + gained, 1 + gain / length, 0, 0};
    at += length;
    gained += gain;
  }
  struct piece *last = &hand->run->pieces[hand->run->count++];
  *last = whole;
  last->t0 = whole.t0 + at / 3;
  last->t1 = whole.t0 + (at + 8) / 3;
  last->curve.length = 8;
  last->curve.turn.c0 = at + gained;
}

/* From anywhere in one piece to anywhere in another, no more than 0.55 mm of others between them:
 * by every two of them. */
static double windows_by_pairs(const struct hand_motion *hand) {
  const struct piece *pieces = hand->run->pieces;
  double least = 0, most = 0;
  for (size_t i = 0; i < hand->run->count; i++) {
    double between = 0, gained = 0;
    for (size_t n = i; n < hand->run->count && between <= 0.55; n++) {
      double own = (pieces[i].curve.turn.c1 - 1) * pieces[i].curve.length;
      double gain = (pieces[n].curve.turn.c1 - 1) * pieces[n].curve.length;
      least = fmin(least, n == i ? gain : fmin(own, 0) + gained + fmin(gain, 0));
      most = fmax(most, n == i ? gain : fmax(own, 0) + gained + fmax(gain, 0));
      between += n == i ? 0 : pieces[n].curve.length;
      gained += n == i ? 0 : gain;
    }
  }
  return fmax(1 / (1 - most / 0.5) - 1, 1 - 1 / (1 - least / 0.5));
}

static void windows_over_any_pieces(void **state) {
  struct hand_motion *hand = *state;
  struct random random = {40};
  lap_make(hand);
  struct motion_run first = *hand->run;
  for (int i = 0; i < 40; i++) {
    *hand->run = first;
    random_lags(hand, &random, i % 2 == 0 ? 0.008 : 0.02);
    struct check_result results[4];
    judge(hand, results);
    assert_close(results[2].worst, 100 * windows_by_pairs(hand), 1e-9, 1e-9);
    assert_true(results[2].worst >= 100 * window_by_force(hand) * (1 - 1e-3));
  }
}

/* The pool runs ahead and back within one piece, then lags in the next: from the middle of the one
 * to the end of the other. */
static void a_lag_from_the_middle_of_a_piece(void **state) {
  struct hand_motion *hand = *state;
  lap_make(hand);
  lag_on_the_straight(hand, 20, 0.1, 0.003);
  struct curve *first = &hand->run->pieces[1].curve, *second = &hand->run->pieces[2].curve;
  double c2 = first->turn.c2, c3 = first->turn.c3;
  first->turn.c1 = 1 + 4 * 0.003 / first->length;
  first->turn.c2 = -4 * 0.003 / (first->length * first->length);
  first->turn.c3 = 0;
  second->turn = (struct cubic){second->turn.c0 + 0.003, 1, c2, c3};
  hand->run->pieces[3].curve.turn.c0 -= 0.003;
  struct check_result results[4];
  judge(hand, results);
  double forced = window_by_force(hand) * 100;
  assert_true(forced > 1.1);
  assert_close(results[2].worst, forced, 0.01, 0.01);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(no_numbers, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(a_true_lap_holds, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(tip_limit, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(a_wrong_radius_is_seen, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(height_limit, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(torch_angle_between_the_ends, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(without_arc_nothing_is_judged, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(a_slow_run, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(lagging_pool, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(lags_that_follow_each_other_add, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(windows_over_any_pieces, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(a_lag_from_the_middle_of_a_piece, setup,
                                      hand_motion_teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
