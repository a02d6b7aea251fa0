/* Distances to metal, by plane geometry. */
#include "verify/solid.h"

#include "borelay/num.h"
#include "verify/hand_job.h"

static const struct standing BARE = {0, false};

static double point(const struct solid *solid, double x, double y, double z) {
  return solid_distance(solid, BARE, (vec2){x, y}, z, z, 0);
}

static void test_bore(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  struct solid *solid = solid_make(hand->arena, &hand->job, &stack);
  assert_close(point(solid, 0, 0, -60), 60, 1e-9, 0); /* the floor at 120 */
  assert_close(point(solid, 80, 0, -60), 9, 1e-9, 0);
  assert_close(point(solid, 0, 86, 4), 5, 1e-9, 0); /* 3 beside the edge, 4 above it */
  assert_close(point(solid, 100, 0, 7), 7, 1e-9, 0);
  assert_true(point(solid, 95, 0, -1) <= 0);
  assert_true(point(solid, 0, 0, -121) <= 0);
  /* an upright body of radius 10 */
  assert_close(solid_distance(solid, BARE, (vec2){60, 0}, -110, 50, 10), 10, 1e-9, 0);
  assert_close(solid_distance(solid, BARE, (vec2){60, 0}, -113, 50, 10), 7, 1e-9, 0);
  assert_true(solid_distance(solid, BARE, (vec2){80, 0}, -50, 50, 10) < 0);
  arena_free(hand->arena);
}

/* A solid collar over the datum face, through which the bore goes on. */
static void test_collar(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  hand->shapes[1] = (struct shape){.name = "collar", .kind = SHAPE_ROUND, .diameter = 240};
  hand->volumes[1] =
      (struct volume){.is_free = false, .shape = &hand->shapes[1], .depths = {-30, 0}};
  hand->volumes[0].depths.lo = -30;
  hand->envelope.volume_count = 2;
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  struct solid *solid = solid_make(hand->arena, &hand->job, &stack);
  assert_close(point(solid, 85, 0, 15), 4, 1e-9, 0);  /* the collar's bore */
  assert_close(point(solid, 125, 0, 15), 5, 1e-9, 0); /* its outside */
  assert_close(point(solid, 0, 124, 33), 5, 1e-9, 0); /* its outer edge: 4 and 3 */
  assert_true(point(solid, 100, 0, 15) <= 0);
  arena_free(hand->arena);
}

/* Two bores that cross: what lies inside the other bounds nothing.  Radius 50, axes 60 apart: the
 * circles meet 40 beside the middle (Pythagoras, 30-40-50). */
static void test_crossing_bores(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  hand->shapes[0] =
      (struct shape){.name = "a", .kind = SHAPE_ROUND, .diameter = 100, .centre = {-30, 0}};
  hand->shapes[1] =
      (struct shape){.name = "b", .kind = SHAPE_ROUND, .diameter = 100, .centre = {30, 0}};
  hand->volumes[1] =
      (struct volume){.is_free = true, .shape = &hand->shapes[1], .depths = {0, 120}};
  hand->envelope.volume_count = 2;
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  struct solid *solid = solid_make(hand->arena, &hand->job, &stack);
  double middle = point(solid, 0, 0, -60);
  assert_true(middle <= 40 && middle > 40 - 0.004); /* never more, a splinter less */
  assert_close(point(solid, -70, 0, -60), 10, 1e-9, 0);
  assert_close(point(solid, 70, 0, -60), 10, 1e-9, 0);
  arena_free(hand->arena);
}

/* A volume that is given twice, and one above the datum face without anything solid round it. */
static void test_volumes_along(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  hand->volumes[1] = hand->volumes[0];
  hand->volumes[1].depths.lo = -40;
  hand->envelope.volume_count = 2;
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  struct solid *solid = solid_make(hand->arena, &hand->job, &stack);
  assert_close(point(solid, 85, 0, -60), 4, 1e-9, 0);
  assert_close(point(solid, 85, 0, 20), num_hypot(4, 20), 1e-9, 0);
  for (size_t i = 0; i < solid->slab_count; i++)
    assert_true(solid->slabs[i].edge_count <= 4); /* not cut to splinters */
  arena_free(hand->arena);
}

/* Clad stands over its band only, at its true or its nominal thickness. */
static void test_clad(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
  struct solid *solid = solid_make(hand->arena, &hand->job, &stack);
  double nominal = stack.items[0].nominal, r = 89, high = r - sqrt(r * r - 2 * r * nominal);
  vec2 at = {80, 0};
  assert_close(solid_distance(solid, (struct standing){1, false}, at, -60, -60, 0), 9 - high, 1e-9,
               0);
  assert_close(solid_distance(solid, (struct standing){1, true}, at, -60, -60, 0), 9 - nominal,
               1e-9, 0);
  assert_close(solid_distance(solid, (struct standing){2, true}, at, -60, -60, 0),
               9 - nominal - stack.items[1].nominal, 1e-9, 0);
  assert_close(solid_distance(solid, (struct standing){1, true}, at, -10, -10, 0), 9, 1e-9, 0);
  /* within the metal of the wall, and deeper in the clad: the deeper one counts */
  assert_close(solid_distance(solid, (struct standing){1, true}, (vec2){89.5, 0}, -60, -60, 0),
               0.5 - nominal, 1e-9, 0);
  double beside = 9 - nominal; /* 4 above the band's edge */
  assert_close(solid_distance(solid, (struct standing){1, true}, at, -16, -16, 0),
               num_hypot(beside, 4), 1e-9, 0);
  arena_free(hand->arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_bore),           cmocka_unit_test(test_collar),
      cmocka_unit_test(test_crossing_bores), cmocka_unit_test(test_volumes_along),
      cmocka_unit_test(test_clad),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
