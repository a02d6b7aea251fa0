/* Coverage on runs made by hand round a bore of radius 50: what stays bare, and gaps between laps.
 */
#include "support/close.h"

#include "check/cover.h"
#include "check/hand_motion.h"

#define TURN (100 * hand_pi)

/* A layer on the wall itself, so that contour length and the pool's path are one; 3 mm/s. */
static int setup(void **state) {
  struct hand_motion *hand = hand_motion_new();
  hand_motion_begin(hand, hand_round(hand->arena, "bore", (vec2){0, 0}, 50, 0));
  struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
  layer->first_depth = 76; /* half a bead of 8 mm inside 20 .. 80 */
  layer->last_depth = 24;
  layer->wanted_pitch = layer->pitch = 4;
  layer->laps = 14;
  hand->run->speed = 3;
  hand->run->travel_t0 = 10;
  *state = hand;
  return 0;
}

/* A level turn, 13 that rise by the pitch, a level one, a tie-in. */
static void spiral(struct hand_motion *hand, double tie_in) {
  hand_leg(hand, TURN, TURN, 76, 76);
  for (int i = 0; i < 13; i++)
    hand_leg(hand, TURN, hypot(TURN, 4), 76 - 4 * i, 72 - 4 * i);
  hand_leg(hand, TURN, TURN, 24, 24);
  if (tie_in > 0)
    hand_leg(hand, tie_in, tie_in, 24, 24);
  hand->plan_path.tie_in = tie_in;
}

/* The wire feeds from `late` s after travel begins until the run's end. */
static struct check_result judge(struct hand_motion *hand, double late, struct bare_list *list) {
  struct scene scene = {hand->arena, &hand->motion, false};
  double tick = hand->scene.cell.tick;
  hand->phase.wire.feed0 = (int64_t)floor((hand->run->travel_t0 + late) / tick + 0.5);
  hand->phase.wire.feed1 =
      (int64_t)floor((hand->run->travel_t0 + hand->run->info.length / 3) / tick + 1.5);
  *list = (struct bare_list){.arena = hand->arena};
  return cover_check(&scene, list);
}

static void rings_tie_in(void **state) {
  static const struct {
    double late, tie_in, bare;
  } rows[] = {
      {0, 0, 0}, {0, 8, 0},  {2, 8, 0},                      /* 6 mm late, tied in over 8 */
      {4, 8, 4}, {8, 8, 16}, {4, 0, 12}, {200, 8, TURN - 8}, /* never on */
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct hand_motion *hand = *state;
    struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
    struct overlay pattern = {.name = "wall", .pattern = PATTERN_RINGS};
    hand->scene.overlays[0].overlay = &pattern;
    layer->first_depth = layer->last_depth = 50;
    ((struct layer *)(uintptr_t)layer->layer)->depths = (struct range){46, 54};
    layer->laps = 1;
    hand->plan_run.leg_count = 0;
    hand_leg(hand, TURN, TURN, 50, 50);
    if (rows[i].tie_in > 0)
      hand_leg(hand, rows[i].tie_in, rows[i].tie_in, 50, 50);
    hand->plan_path.tie_in = rows[i].tie_in;
    struct bare_list list;
    struct check_result result = judge(hand, rows[i].late, &list);
    double bare = rows[i].late > 100 ? TURN : rows[i].bare; /* without wire there is no tie-in */
    assert_close(result.worst, bare, 1e-6, 0);
    assert_int_equal(result.passed, bare == 0);
    assert_int_equal(list.count, bare > 0);
    if (bare > 0) {
      assert_close(list.items[0].length, bare, 1e-6, 0);
      assert_close(list.items[0].s, rows[i].late > 100 ? 0 : rows[i].tie_in, 1e-6, 0);
      assert_int_equal(list.items[0].lap, 1);
    }
  }
}

/* The next turn of a spiral runs over the start: after x mm it is 4 x / TURN mm away in depth, a
 * quarter of the bead (2 mm) only after half a turn. */
static void spiral_covers_its_own_start(void **state) {
  struct hand_motion *hand = *state;
  spiral(hand, 8);
  struct bare_list list;
  assert_true(judge(hand, 20, &list).passed);
  struct check_result result = judge(hand, (TURN / 2 + 30) / 3, &list);
  double tick_way = hand->scene.cell.tick * 3;
  assert_false(result.passed);
  assert_close(result.worst, 30, tick_way, 0);
  assert_close(list.items[0].s, TURN / 2, 1e-3, 0);
}

static void drawn_back_wire_comes_later(void **state) {
  struct hand_motion *hand = *state;
  struct overlay pattern = {.name = "wall", .pattern = PATTERN_RINGS};
  hand->scene.overlays[0].overlay = &pattern;
  hand->procedure.wire_retract = 25; /* 1 s at 25 mm/s: 3 mm of travel */
  struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
  layer->first_depth = layer->last_depth = 50;
  ((struct layer *)(uintptr_t)layer->layer)->depths = (struct range){46, 54};
  hand_leg(hand, TURN, TURN, 50, 50);
  struct bare_list list;
  assert_close(judge(hand, 0, &list).worst, 3, 1e-6, 0);
}

/* No zone ends the run: what the wire leaves out at its end is missing, not a downslope's. */
static void wire_that_stops_early(void **state) {
  struct hand_motion *hand = *state;
  struct overlay pattern = {.name = "wall", .pattern = PATTERN_RINGS};
  hand->scene.overlays[0].overlay = &pattern;
  struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
  layer->first_depth = layer->last_depth = 50;
  ((struct layer *)(uintptr_t)layer->layer)->depths = (struct range){46, 54};
  hand_leg(hand, TURN, TURN, 50, 50);
  hand->run->info.length -= 9; /* the wire goes with it, 3 s early; the arc stays on */
  struct bare_list list;
  struct check_result result = judge(hand, 0, &list);
  double tick_way = hand->scene.cell.tick * 3;
  assert_false(result.passed);
  assert_close(result.worst, 9, 1.6 * tick_way, 0);
  assert_int_equal(list.count, 1);
  assert_int_equal(list.items[0].kind, BARE_WIRE);
}

static void clockwise_is_measured_backward(void **state) {
  struct hand_motion *hand = *state;
  struct overlay pattern = {.name = "wall", .pattern = PATTERN_RINGS};
  hand->scene.overlays[0].overlay = &pattern;
  struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
  layer->first_depth = layer->last_depth = 50;
  ((struct layer *)(uintptr_t)layer->layer)->depths = (struct range){46, 54};
  layer->dir = -1;
  hand->plan_run.s_start = hand->plan_path.s_start = 5;
  hand_leg(hand, TURN, TURN, 50, 50);
  struct bare_list list;
  assert_close(judge(hand, 4, &list).worst, 12, 1e-6, 0);
  assert_close(list.items[0].s, 5, 1e-6, 0);
}

/* -- the band ---------------------------------------------------------------------------------- */

static void whole_band(void **state) {
  struct hand_motion *hand = *state;
  spiral(hand, 8);
  struct bare_list list;
  struct check_result result = judge(hand, 0, &list);
  assert_true(result.passed);
  assert_close(result.worst, 0, 0, 0);
}

static void gaps_are_seen(void **state) {
  struct hand_motion *hand = *state;
  struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
  struct bare_list list;
  spiral(hand, 8);
  hand->legs[5].depth_to -= 0.5; /* two turns half a millimetre too far apart */
  hand->legs[6].depth_from -= 0.5;
  assert_close(judge(hand, 0, &list).worst, 0.5, 1e-9, 0);
  hand->legs[5].depth_to += 0.5;
  hand->legs[6].depth_from += 0.5;
  hand->legs[0].depth_from = 75.9; /* the first turn not level */
  assert_close(judge(hand, 0, &list).worst, 0.1, 1e-9, 0);
  hand->legs[0].depth_from = 76;
  ((struct layer *)(uintptr_t)layer->layer)->depths = (struct range){19.8, 80};
  assert_close(judge(hand, 0, &list).worst, 0.2, 1e-9, 0); /* the edge */
  ((struct layer *)(uintptr_t)layer->layer)->depths = (struct range){20, 80};
  layer->wanted_pitch = 3.9; /* asked closer than laid */
  assert_close(judge(hand, 0, &list).worst, 0.1, 1e-9, 0);
  layer->wanted_pitch = 4;
  assert_true(judge(hand, 0, &list).passed);
  hand->legs[14].s_length = TURN - 1; /* the last turn is not whole */
  assert_false(judge(hand, 0, &list).passed);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(rings_tie_in, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(spiral_covers_its_own_start, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(drawn_back_wire_comes_later, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(wire_that_stops_early, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(clockwise_is_measured_backward, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(whole_band, setup, hand_motion_teardown),
      cmocka_unit_test_setup_teardown(gaps_are_seen, setup, hand_motion_teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
