/* The shell, on circles and straights whose nearest and farthest places are known. */
#include "support/close.h"

#include "check/hand_motion.h"
#include "check/range.h"
#include "support/random.h"

static int setup(void **state) {
  struct hand_motion *hand = hand_motion_new();
  hand_motion_begin(hand, hand_round(hand->arena, "bore", (vec2){0, 0}, 50, 0));
  struct cell *cell = &hand->scene.cell;
  cell->has_working_range = true;
  cell->range_from = (vec3){10, -20, 30};
  cell->range_radius = (struct range){100, 500};
  *state = hand;
  return 0;
}

static struct check_result judge(struct hand_motion *hand) {
  struct scene scene = {hand->arena, &hand->motion, false};
  struct range_judge range = range_begin(&scene);
  for (size_t i = 0; i < hand->run->count; i++) {
    struct jet_stretch whole = whole_of(&hand->run->pieces[i]);
    range_piece(&range, &hand->phase, &hand->run->pieces[i], &whole);
  }
  return range_end(&range);
}

/* A whole turn of radius 60 in the plane z = 30 about (10 + away, -20): distances from away - 60 to
 * away + 60.  The chords of a circle at speed v leave it by v^2 / 60 T^2 / 8. */
static void circle(struct hand_motion *hand, double away, double speed) {
  hand->run->count = 0;
  struct piece *piece = hand_piece(hand, 0, 60 * NUM_TURN / speed);
  piece->q = (struct cubic){0, speed, 0, 0};
  piece->curve = (struct curve){.length = 60 * NUM_TURN,
                                .centre = {10 + away, -20},
                                .radius = 60,
                                .turn = {0.4, 1.0 / 60, 0, 0},
                                .z = {30, 0, 0, 0}};
}

static void circle_near_both_spheres(void **state) {
  struct hand_motion *hand = *state;
  double tick = hand->scene.cell.tick, speed = 80, chord = speed * speed / 60 * tick * tick / 8;
  circle(hand, 430, speed);
  struct check_result result = judge(hand);
  assert_true(result.passed);
  assert_close(result.worst, 490 + chord, 3e-6, 0);
  assert_close(result.limit, 500, 0, 0);
  circle(hand, 170, speed);
  result = judge(hand);
  assert_true(result.passed);
  assert_close(result.worst, 110 - chord, 3e-6, 0);
  assert_close(result.limit, 100, 0, 0);
  circle(hand, 440 - chord + 1e-4, speed); /* the chord's share alone decides */
  assert_false(judge(hand).passed);
  circle(hand, 440 - chord - 1e-4, speed);
  assert_true(judge(hand).passed);
}

/* `radius 0 .. 500 mm`: H may pass its very middle. */
static void ball_has_no_hole(void **state) {
  struct hand_motion *hand = *state;
  hand->scene.cell.range_radius.lo = 0;
  double tick = hand->scene.cell.tick, speed = 80, chord = speed * speed / 60 * tick * tick / 8;
  circle(hand, 60, speed);
  struct check_result result = judge(hand);
  assert_true(result.passed);
  assert_close(result.worst, 120 + chord, 3e-6, 0);
  assert_close(result.limit, 500, 0, 0);
}

static void not_asked(void **state) {
  struct hand_motion *hand = *state;
  hand->scene.cell.has_working_range = false;
  circle(hand, 1000, 50);
  struct check_result result = judge(hand);
  assert_false(result.judged);
  assert_true(result.passed);
}

/* Random straights: the nearest place of a line is the foot of the perpendicular. */
static void straights(void **state) {
  struct hand_motion *hand = *state;
  struct random random = {19};
  vec3 from = hand->scene.cell.range_from;
  hand->scene.cell.range_radius = (struct range){1, 1e5};
  for (int i = 0; i < 500; i++) {
    hand->run->count = 0;
    double angle = random_between(&random, 0, NUM_TURN), way = random_between(&random, 10, 500);
    struct piece *piece = hand_piece(hand, 0, 10);
    piece->q = (struct cubic){0, 0.1, 0, 0};
    piece->curve = (struct curve){
        .length = 1,
        .is_line = true,
        .direction = {cos(angle), sin(angle)},
        .centre = {random_between(&random, -300, 300), random_between(&random, -300, 300)},
        .turn = {0, way, 0, 0},
        .z = {random_between(&random, -300, 300), random_between(&random, -300, 300), 0, 0}};
    double a[3] = {piece->curve.centre.x - from.x, piece->curve.centre.y - from.y,
                   piece->curve.z.c0 - from.z};
    double d[3] = {way * cos(angle), way * sin(angle), piece->curve.z.c1};
    double u =
        -(a[0] * d[0] + a[1] * d[1] + a[2] * d[2]) / (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
    u = fmin(fmax(u, 0), 1);
    double least =
        sqrt(pow(a[0] + u * d[0], 2) + pow(a[1] + u * d[1], 2) + pow(a[2] + u * d[2], 2));
    assert_close(judge(hand).worst, least, 3e-6, 0);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(circle_near_both_spheres, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(ball_has_no_hole, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(not_asked, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(straights, setup, hand_motion_teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
