/* Laps, pitch, offsets, depths and zones of the judge, by hand. */
#include "verify/room.h"

#include "borelay/num.h"
#include "verify/hand_job.h"

/* Worked by hand from docs/semantics.md: area = (pi/4) 1.2^2 * 1600/170, 19 pitches on 82 mm. */
static void test_figures(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  assert_true(stack.is_whole);
  assert_int_equal(stack.count, 2);
  const struct lay *a = &stack.items[0], *b = &stack.items[1];
  assert_int_equal(a->laps, 20);
  assert_close(a->pitch, 82.0 / 19, 1e-12, 0);
  assert_close(a->asked.area, 10.644455, 5e-7, 0);
  assert_close(b->asked.area, 9.781391, 5e-7, 0);
  assert_close(a->nominal, 2.466398, 5e-7, 0);
  assert_close(b->offset, 2.466398, 5e-7, 0);
  assert_close(b->nominal, 2.266420, 5e-7, 0);
  assert_close(a->first, 106, 1e-12, 0); /* from the deep edge outward */
  assert_close(a->sink, -82.0 / 19, 1e-12, 0);
  /* on a bore metal stands R - sqrt(R^2 - 2 R t) high */
  double r = 89, t = a->nominal;
  assert_close(lay_true(a, &a->wall->edges[0]), r - sqrt(r * r - 2 * r * t), 1e-12, 0);
  arena_free(hand->arena);
}

static void test_spiral(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  const struct lay *lay = &stack.items[1];
  double turn = NUM_PI * 178, pitch = 82.0 / 19;
  assert_close(lay_path_length(lay, 0), 21 * turn, 1e-9, 0);
  assert_close(lay_depth(lay, 0, 0.4 * turn).depth, 106, 1e-12, 0);
  assert_close(lay_depth(lay, 0, 1.25 * turn).depth, 106 - 0.25 * pitch, 1e-9, 0);
  assert_close(lay_depth(lay, 0, 20 * turn + 1).depth, 24, 1e-9, 0);
  assert_close(lay_depth(lay, 0, 1.25 * turn).slope, -pitch / (turn - NUM_TURN * lay->offset), 1e-9,
               0);
  assert_int_equal(lay_lap(lay, 0, 2.5 * turn), 3);
  assert_int_equal(lay_lap(lay, 0, 30 * turn), 21);
  /* s falls where the travel is clockwise */
  hand->layers[1].clockwise = true;
  stack = lay_stack_make(hand->arena, &hand->job);
  assert_close(lay_s(&stack.items[1], 0, 5), -5, 1e-12, 0);
  arena_free(hand->arena);
}

static void test_steps_and_rings(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  hand->overlay.pattern = PATTERN_STEPPED;
  hand->overlay.has_stagger = hand->overlay.has_step_length = true;
  hand->overlay.step_length = (struct along){false, 12};
  hand->overlay.stagger = (struct along){false, 20};
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  const struct lay *lay = &stack.items[0];
  double turn = NUM_PI * 178, pitch = 82.0 / 19, unit = turn + 20;
  assert_close(lay_path_length(lay, 0), 19 * unit + turn, 1e-9, 0);
  assert_close(lay_depth(lay, 0, turn + 7.99).depth, 106, 1e-12, 0);
  assert_close(lay_depth(lay, 0, turn + 14).depth, 106 - pitch / 2, 1e-9, 0);
  assert_true(lay_depth(lay, 0, turn + 14).is_step);
  assert_close(lay_depth(lay, 0, unit + 3).depth, 106 - pitch, 1e-9, 0);
  assert_int_equal(lay_lap(lay, 0, turn + 14), 1); /* a step belongs to the lap before it */
  assert_close(stack.items[1].s_start, 20, 1e-12, 0);
  hand->overlay.pattern = PATTERN_RINGS;
  hand->overlay.stagger = (struct along){true, NUM_PI / 6};
  stack = lay_stack_make(hand->arena, &hand->job);
  assert_int_equal(lay_path_count(&stack.items[0]), 20);
  assert_close(lay_path_start(&stack.items[1], 1), 21 * 89 * NUM_PI / 6, 1e-9, 0);
  assert_close(lay_depth(&stack.items[0], 3, 10).depth, 106 - 3 * pitch, 1e-9, 0);
  arena_free(hand->arena);
}

/* The second layer over the valleys of the first: 21 laps, halves of the pitch at both ends. */
static void test_over_valleys(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  double turn = NUM_PI * 178, pitch = 82.0 / 19;
  hand->overlay.over_valleys = true;
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  const struct lay *lay = &stack.items[1];
  assert_false(stack.items[0].is_over);
  assert_int_equal(lay->laps, 21);
  assert_close(lay->nominal, 9.781391 / pitch, 5e-7, 0);
  assert_close(lay_path_length(lay, 0), 22 * turn, 1e-9, 0);
  assert_close(lay_depth(lay, 0, 1.5 * turn).depth, 106 - 0.25 * pitch, 1e-9, 0);
  assert_close(lay_depth(lay, 0, 2.5 * turn).depth, 106 - pitch, 1e-9, 0);
  assert_close(lay_depth(lay, 0, 20.5 * turn).depth, 24 + 0.25 * pitch, 1e-9, 0);
  assert_close(lay_depth(lay, 0, 21.5 * turn).depth, 24, 1e-9, 0);
  struct lay_depth knee = lay_depth(lay, 0, 2 * turn + 3);
  assert_close(knee.knee, 3, 1e-9, 0);
  assert_close(knee.knee_slope, pitch / 2 / turn, 1e-12, 0);
  hand->overlay.pattern = PATTERN_RINGS;
  stack = lay_stack_make(hand->arena, &hand->job);
  static const double STEPS[] = {0, 0.5, 1.5, 2.5};
  for (size_t i = 0; i < 4; i++)
    assert_close(lay_depth(&stack.items[1], i, 10).depth, 106 - STEPS[i] * pitch, 1e-9, 0);
  assert_close(lay_depth(&stack.items[1], 20, 10).depth, 24, 1e-9, 0);
  hand->overlay.pattern = PATTERN_STEPPED;
  stack = lay_stack_make(hand->arena, &hand->job);
  lay = &stack.items[1];
  assert_close(lay_depth(lay, 0, turn + lay->step / 2).depth, 106 - 0.25 * pitch, 1e-9, 0);
  assert_close(lay_depth(lay, 0, lay->unit + 3).depth, 106 - 0.5 * pitch, 1e-9, 0);
  arena_free(hand->arena);
}

static void test_ridges(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  for (int k = 0; k < 2; k++)
    hand->layers[k] = (struct layer){.procedure = &hand->procedures[k],
                                     .has_pitch = true,
                                     .pitch = 6.4,
                                     .depths = {20, 28 + 12 * 6.4}};
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  const struct lay *lay = &stack.items[0];
  double h = 3 * lay->asked.area / 16;
  assert_close(lay_ridge(lay), h - 2 * h * 0.36, 1e-9, 0); /* x = 0.8 */
  hand->layers[0].pitch = 5.9;
  stack = lay_stack_make(hand->arena, &hand->job);
  assert_close(lay_ridge(&stack.items[0]), 0, 0, 0);
  arena_free(hand->arena);
}

/* -- zones ------------------------------------------------------------------------------------ */

static void test_zones(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  double degree = NUM_PI / 180;
  struct zone zones[2] = {
      {.name = "keyway", .has_angles = true, .angles = {80 * degree, 100 * degree}, .margin = 2},
      {.name = "port",
       .has_cross_bore = true,
       .bore_diameter = 20,
       .bore_depth = 50,
       .bore_toward = NUM_PI}};
  hand->overlay.zones = zones;
  hand->overlay.zone_count = 2;
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  const struct wall *wall = stack.items[0].wall;
  const struct arc_room *room = arc_room_make(hand->arena, &hand->overlay, wall);
  const struct zone *zone;
  double edge = 80 * degree * 89;
  assert_close(arc_room_at(room, edge - 2, 30, &zone), 0, 1e-9, 0);
  assert_ptr_equal(zone, &zones[0]);
  assert_close(arc_room_at(room, edge - 5, 90, NULL), 3, 1e-9, 0);
  assert_close(arc_room_at(room, edge, 90, NULL), -2, 1e-9, 0);
  /* the port's mouth: depths 40 and 60 on its axis, at 180 degrees */
  double side = NUM_PI * 89;
  assert_close(arc_room_at(room, side, 40, &zone), 0, 1e-9, 0);
  assert_ptr_equal(zone, &zones[1]);
  assert_close(arc_room_at(room, side, 50, NULL), -10, 1e-9, 0);
  /* over the far side the ray's end, in the bore's axis, is the nearest: 89 mm away */
  zones[0].margin = -1000;
  assert_close(arc_room_at(room, 0, 50, NULL), 79, 1e-9, 0);
  /* an on zone: outside it the arc may not be */
  zones[0] = (struct zone){
      .name = "half", .is_on = true, .has_depths = true, .depths = {20, 80}, .margin = 1};
  assert_close(arc_room_at(room, 0, 20, NULL), -1, 1e-9, 0);
  assert_close(arc_room_at(room, 0, 30, NULL), 9, 1e-9, 0);
  arena_free(hand->arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_figures),         cmocka_unit_test(test_spiral),
      cmocka_unit_test(test_over_valleys),    cmocka_unit_test(test_ridges),
      cmocka_unit_test(test_steps_and_rings), cmocka_unit_test(test_zones),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
