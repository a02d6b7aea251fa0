/* Axis limits on motions made by hand: known profiles, known steps, and random motions full of
 * steps whose rows must never show more than the verdict. */
#include "support/close.h"

#include "check/axes.h"
#include "check/hand_motion.h"
#include "support/random.h"

static int setup(void **state) {
  struct hand_motion *hand = hand_motion_new();
  hand_motion_begin(hand, hand_round(hand->arena, "bore", (vec2){0, 0}, 50, 0));
  hand->scene.cell.axis[AXIS_HEAD].endless = true;
  hand->phase.kind = PHASE_MOVE;
  *state = hand;
  return 0;
}

static void judge(struct hand_motion *hand, struct check_result results[4]) {
  struct scene scene = {hand->arena, &hand->motion, false};
  struct axes_judge axes = axes_begin(&scene);
  for (size_t i = 0; i < hand->run->count; i++) {
    struct jet_stretch whole = whole_of(&hand->run->pieces[i]);
    axes_piece(&axes, &hand->phase, &hand->run->pieces[i], &whole);
  }
  axes_end(&axes, results);
}

/* Straight along x: x = q. */
static struct piece *along_x(struct hand_motion *hand, double t0, double t1, struct cubic q) {
  struct piece *piece = hand_piece(hand, t0, t1);
  piece->q = q;
  piece->curve =
      (struct curve){.length = 1e9, .is_line = true, .direction = {1, 0}, .turn = {0, 1, 0, 0}};
  return piece;
}

/* Rest to rest in seven segments of constant jerk; published cases MS-1 .. MS-8 (Biagiotti and
 * Melchiorri, Trajectory Planning for Automatic Machines and Robots, Springer 2008, chapter 3, from
 * memory): t_j, T_a, T_v and the peaks that result. */
static void seven_segments(void **state) {
  static const struct {
    double jerk, t_jerk, t_accel, t_cruise, v_peak, a_peak, distance;
  } rows[] = {
      {30, 0.333333333, 0.833333333, 1.166666667, 5.000000000, 10.000000000, 10},
      {200, 0.100000000, 0.600000000, 9.400000000, 10.000000000, 20.000000000, 100},
      {40, 0.500000000, 1.000000000, 2.000000000, 10.000000000, 20.000000000, 30},
      {900, 0.200000000, 0.700000000, 3.300000000, 90.000000000, 180.000000000, 360},
      {100, 0.200000000, 0.558257569, 0.000000000, 7.165151390, 20.000000000, 4},
      {30, 0.550321208, 1.100642416, 0.000000000, 9.085602964, 16.509636244, 10},
      {30, 0.255436477, 0.510872955, 0.000000000, 1.957433821, 7.663094324, 1},
      {200, 0.062996052, 0.125992105, 0.000000000, 0.793700526, 12.599210499, 0.1},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct hand_motion *hand = *state;
    hand->run->count = 0;
    double tj = rows[i].t_jerk, even = rows[i].t_accel - 2 * tj;
    double span_of[7] = {tj, even, tj, rows[i].t_cruise, tj, even, tj};
    double jerk_of[7] = {1, 0, -1, 0, -1, 0, 1};
    double t = 0, p = 0, v = 0, a = 0;
    for (int k = 0; k < 7; k++) {
      double h = span_of[k], j = rows[i].jerk * jerk_of[k];
      if (h <= 1e-8)
        continue;
      along_x(hand, t, t + h, (struct cubic){p, v, a / 2, j / 6});
      p += h * (v + h * (a / 2 + h * j / 6));
      v += h * (a + h * j / 2);
      a += h * j;
      t += h;
    }
    assert_close(p, rows[i].distance, 2e-8 * (1 + p), 0);
    struct check_result results[4];
    judge(hand, results);
    assert_close(results[0].worst, p, 1e-6, 0);
    assert_close(results[1].worst, rows[i].v_peak, 1e-5, 0);
    assert_close(results[2].worst, rows[i].a_peak, 1e-4, 0);
    assert_close(results[3].worst, rows[i].jerk, 1e-4, 0);
  }
}

/* semantics.md: a step dv counts as acceleration dv / T and jerk dv / T^2, a step da as jerk da /
 * T. */
static void steps_count(void **state) {
  struct hand_motion *hand = *state;
  double tick = hand->scene.cell.tick;
  along_x(hand, 0, 1, (struct cubic){0, 0, 0, 0});
  along_x(hand, 1, 2, (struct cubic){0, 0.02, 0, 0});
  struct check_result results[4];
  judge(hand, results);
  assert_close(results[2].worst, 0.02 / tick, 0, 1e-9);
  assert_close(results[3].worst, 0.02 / tick / tick, 0, 1e-9);
  assert_close(results[3].t, 1, 0, 0);
  assert_true(results[2].passed);
  hand->run->count = 0;
  along_x(hand, 0, 1, (struct cubic){0, 1, 0, 0});
  along_x(hand, 1, 2, (struct cubic){1, 1, 5, 0});
  judge(hand, results);
  assert_close(results[2].worst, 10, 0, 1e-9);
  assert_close(results[3].worst, 10 / tick, 0, 1e-9);
  hand->scene.cell.axis[AXIS_X].jerk = 10 / tick * (1 - 1e-5);
  judge(hand, results);
  assert_false(results[3].passed);
  assert_string_equal(results[3].name, "axis-jerk");
  assert_string_equal(results[3].unit, "mm/s3");
}

/* After a day a double tells times to 1.5e-11 s only: a place that looks 2e-9 mm off at 100 mm/s is
 * the same place then, which it is not in the first hour. */
static void a_late_place_is_no_step(void **state) {
  struct hand_motion *hand = *state;
  double tick = hand->scene.cell.tick, off = 2e-9;
  struct check_result results[4];
  hand->scene.cell.axis[AXIS_X].speed = 100;
  along_x(hand, 1, 2, (struct cubic){0, 100, 0, 0});
  along_x(hand, 2, 3, (struct cubic){100 + off, 100, 0, 0});
  judge(hand, results);
  assert_close(results[3].worst, 2 * off / (tick * tick * tick), 0, 1e-3);
  hand->run->count = 0;
  along_x(hand, 100000, 100001, (struct cubic){0, 100, 0, 0});
  along_x(hand, 100001, 100002, (struct cubic){100 + off, 100, 0, 0});
  judge(hand, results);
  assert_close(results[3].worst, 0, 0, 0);
}

static void limits_are_inclusive(void **state) {
  struct hand_motion *hand = *state;
  along_x(hand, 0, 1, (struct cubic){0, 100, 0, 0});
  struct check_result results[4];
  judge(hand, results);
  assert_true(results[1].passed);
  hand->scene.cell.axis[AXIS_X].speed = 100 * (1 - 3e-6);
  judge(hand, results);
  assert_false(results[1].passed);
}

static void travel_by_the_widest_place(void **state) {
  struct hand_motion *hand = *state;
  struct piece *piece = hand_piece(hand, 0, 10);
  piece->q = (struct cubic){0, 1, 0, 0};
  piece->curve = (struct curve){
      .length = 10, .centre = {3, 4}, .radius = 20, .turn = {0, 0.3, 0, 0}, .head = {0, 0.3, 0, 0}};
  struct check_result results[4];
  hand->scene.cell.axis[AXIS_Y].travel = (struct range){-1000, 23.999};
  judge(hand, results);
  assert_false(results[0].passed);
  assert_close(results[0].worst, 24, 1e-6, 0); /* between two ends that are lower */
  assert_close(results[0].limit, 23.999, 0, 0);
  hand->scene.cell.axis[AXIS_Y].travel = (struct range){-1000, 24};
  judge(hand, results);
  assert_true(results[0].passed);
  hand->scene.cell.axis[AXIS_HEAD].endless = false;
  hand->scene.cell.axis[AXIS_HEAD].travel = (struct range){-1, 2.9};
  judge(hand, results);
  assert_false(results[0].passed);
  assert_string_equal(results[0].unit, "deg");
  assert_close(results[0].worst, 3 * 180 / hand_pi, 0, 1e-9);
}

/* Rows at whole ticks from an offset; the differences of a random motion with steps of velocity and
 * acceleration wherever they like, several within a tick. */
static double place_at(const struct motion_run *run, double t) {
  size_t i = 0;
  while (i + 1 < run->count && t >= run->pieces[i].t1)
    i++;
  return piece_at(&run->pieces[i], t).x;
}

static void random_motion(struct hand_motion *hand, struct random *random, bool keeps_speed) {
  hand->run->count = 0;
  double t = 0, p = 0, v = 0, tick = hand->scene.cell.tick;
  int pieces = random_whole(random, 2, 25);
  for (int k = 0; k < pieces; k++) {
    double h = tick * (random_whole(random, 0, 1) ? random_between(random, 0.05, 3)
                                                  : random_between(random, 3, 20));
    struct cubic q = {p, keeps_speed ? v : random_between(random, -1, 1),
                      random_between(random, -3, 3), random_between(random, -20, 20)};
    along_x(hand, t, t + h, q);
    p = cubic_at(q, h);
    v = cubic_derivative(q, h, 1);
    t += h;
  }
}

/* Steps of velocity hide those of acceleration, so every other motion has only the latter. */
static void rows_show_no_more(void **state) {
  struct hand_motion *hand = *state;
  uint64_t seed = 77;
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  double tick = hand->scene.cell.tick, closest = 0;
  for (int i = 0; i < 400; i++) {
    random_motion(hand, &random, i % 2 == 0);
    struct check_result results[4];
    judge(hand, results);
    double end = hand->run->pieces[hand->run->count - 1].t1;
    for (int phase = 0; phase < 20; phase++)
      for (double t = tick * phase / 20; t + 3 * tick <= end; t += tick) {
        double p[4];
        for (int k = 0; k < 4; k++)
          p[k] = place_at(hand->run, t + k * tick);
        double v = fabs(p[1] - p[0]) / tick, a = fabs(p[2] - 2 * p[1] + p[0]) / (tick * tick);
        double j = fabs(p[3] - 3 * p[2] + 3 * p[1] - p[0]) / (tick * tick * tick);
        assert_true(v <= results[1].worst + 1e-6 * results[1].limit);
        assert_true(a <= results[2].worst + 1e-6 * results[2].limit);
        assert_true(j <= results[3].worst + 1e-6 * results[3].limit);
        closest = fmax(closest, j / results[3].worst);
      }
  }
  print_message("rows reach %.3f of the judged jerk\n", closest);
  assert_true(closest > 0.5); /* the bound is not idle */
}

/* After two hours times are rounded by 1e-12 s: at 100 mm/s places meet within 1e-10 mm, not
 * better. */
static void rounding_is_no_step(void **state) {
  struct hand_motion *hand = *state;
  hand->scene.cell.tick = 0.001;
  along_x(hand, 7200, 7201, (struct cubic){0, 90, 0, 0});
  along_x(hand, 7201, 7202, (struct cubic){90 + 2e-10, 90, 0, 0});
  struct check_result results[4];
  judge(hand, results);
  assert_close(results[3].worst, 0, 1e-3, 0);
  hand->run->pieces[1].q.c0 = 90 + 1e-7; /* that is one */
  judge(hand, results);
  assert_close(results[3].worst, 200, 1e-3, 0);
}

/* After ninety days times are rounded by 1e-9 s: what that makes of speed and acceleration where
 * pieces meet is no step either, though over T^2 it would be a ten-thousandth of the jerk. */
static void late_speeds_do_not_step(void **state) {
  struct hand_motion *hand = *state;
  double late = 90 * 86400.0, jerk = 3000, accel = 300;
  struct check_result results[4];
  hand->scene.cell.tick = 0.001;
  hand->scene.cell.axis[AXIS_X].accel = accel;
  hand->scene.cell.axis[AXIS_X].jerk = jerk;
  along_x(hand, late, late + 1, (struct cubic){0, 1, 0, jerk / 6});
  along_x(hand, late + 1, late + 2,
          (struct cubic){1 + jerk / 6, 1 + jerk / 2 + accel * 1e-9, jerk / 2 + jerk * 5e-10, 0});
  judge(hand, results);
  assert_close(results[3].worst, jerk, 0, 1e-9);
  hand->run->pieces[1].q.c1 += 4 * accel * 1e-9; /* that is one */
  judge(hand, results);
  assert_true(results[3].worst > jerk + 4 * accel * 1e-9 / 1e-6);
}

/* A step in acceleration that shows as J on its own, and a tenth of a tick later a smooth jerk J: a
 * row that lies well shows a third more than J, though neither side of the step does. */
static void jerk_beside_a_step(void **state) {
  struct hand_motion *hand = *state;
  double tick = hand->scene.cell.tick, a = 10, gap = 0.1 * tick, j = a / tick, most = 0;
  double v = 0.7 + a * gap, p = 0.7 * (1 + gap) + a / 2 * gap * gap;
  along_x(hand, 0, 1, (struct cubic){0, 0.7, 0, 0});
  along_x(hand, 1, 1 + gap, (struct cubic){0.7, 0.7, a / 2, 0});
  along_x(hand, 1 + gap, 1.1, (struct cubic){p, v, a / 2, j / 6});
  struct check_result results[4];
  judge(hand, results);
  for (double t = 1 - 3 * tick; t < 1; t += tick / 200) {
    double r[4];
    for (int k = 0; k < 4; k++)
      r[k] = place_at(hand->run, t + k * tick);
    most = fmax(most, (r[3] - 3 * r[2] + 3 * r[1] - r[0]) / (tick * tick * tick));
  }
  assert_true(most > 1.25 * j);
  assert_true(results[3].worst >= most);
  assert_close(results[3].worst, 1.75 * j, 0, 1e-6);
}

/* A motion that is no number somewhere keeps no limit. */
static void no_number_fails(void **state) {
  struct hand_motion *hand = *state;
  struct check_result results[4];
  along_x(hand, 0, 1, (struct cubic){0, 1, 0, 0});
  along_x(hand, 1, 2, (struct cubic){1, 1, (double)NAN, 0});
  along_x(hand, 2, 3, (struct cubic){2, 1, 0, 0});
  judge(hand, results);
  for (int k = 0; k < 4; k++)
    assert_false(results[k].passed);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(no_number_fails, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(seven_segments, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(steps_count, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(a_late_place_is_no_step, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(limits_are_inclusive, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(travel_by_the_widest_place, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(rounding_is_no_step, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(late_speeds_do_not_step, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(jerk_beside_a_step, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(rows_show_no_more, setup, hand_motion_teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
