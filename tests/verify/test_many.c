/* What is worked out for many rows at a time comes out, to the last bit, as for one. */
#include "support/lanes_each.h"
#include "support/random.h"
#include "verify/feet.h"
#include "verify/hand_job.h"
#include "verify/lay_even.h"

#define SEED 20261128

static const struct wall *wall_of(struct arena *arena, struct random *random, int kind) {
  static const struct outline_part PARTS[] = {
      {.to = {60, 0}},
      {.to = {80, 20}, .is_bend = true, .radius = 20, .centre_left = true},
      {.to = {80, 60}},
      {.to = {60, 80}, .is_bend = true, .radius = 20, .centre_left = true},
      {.to = {45, 80}},
      {.to = {35, 70}, .is_bend = true, .radius = 10}, /* stands into the bore */
      {.to = {25, 80}, .is_bend = true, .radius = 10, .centre_left = true},
      {.to = {0, 80}},
      {.to = {0, 0}}};
  static const struct shape OUTLINE = {.kind = SHAPE_OUTLINE,
                                       .outline_from = {0, 0},
                                       .parts = (struct outline_part *)(uintptr_t)PARTS,
                                       .part_count = sizeof PARTS / sizeof PARTS[0]};
  double size = random_between(random, 60, 200), turned = random_between(random, -3, 3);
  vec2 centre = {random_between(random, -20, 20), random_between(random, -20, 20)};
  if (kind == 0)
    return wall_round(arena, centre, size);
  if (kind == 1)
    return wall_rectangle(arena, centre, 2 * size, size, size / 2, turned);
  if (kind == 2)
    return wall_rectangle(arena, centre, 2 * size, size, size / 8, turned);
  const struct wall *wall = wall_outline(arena, &OUTLINE);
  assert_non_null(wall);
  return wall;
}

/* Points that go along the wall, beside it, over its joints too. */
static void points_along(struct random *random, const struct wall *wall, double *x, double *y) {
  double s = random_between(random, 0, wall->perimeter), off = random_between(random, -4, 4);
  double step = random_between(random, 0.001, random_whole(random, 0, 1) ? 0.05 : 2);
  for (int i = 0; i < BLOCK_ROWS; i++) {
    struct spot spot = wall_spot(wall, s + step * i);
    x[i] = spot.at.x - off * spot.normal.x;
    y[i] = spot.at.y - off * spot.normal.y;
  }
}

static void test_feet(void **state) {
  (void)state;
  struct random random = {SEED};
  size_t found = 0, rounds = 1200;
  for (size_t round = 0; round < rounds; round++) {
    struct arena *arena = arena_new();
    const struct wall *wall = wall_of(arena, &random, (int)round % 4);
    double x[BLOCK_ROWS], y[BLOCK_ROWS];
    points_along(&random, wall, x, y);
    for (size_t at = 0; at < BLOCK_ROWS;) {
      struct feet feet;
      size_t count = feet_find(wall, x + at, y + at, BLOCK_ROWS - at, &feet);
      assert_in_range(count, 0, BLOCK_ROWS - at);
      for (size_t i = 0; i < count; i++) {
        struct foot foot = wall_foot(wall, (vec2){x[at + i], y[at + i]});
        assert_memory_equal(&foot.s, &feet.s[i], sizeof foot.s);
        assert_memory_equal(&foot.inside, &feet.inside[i], sizeof foot.inside);
        assert_memory_equal(&foot.normal.x, &feet.normal_x[i], sizeof(double));
        assert_memory_equal(&foot.normal.y, &feet.normal_y[i], sizeof(double));
      }
      found += count;
      at += count > 0 ? count : 1;
    }
    arena_free(arena);
  }
  assert_in_range(found, rounds * BLOCK_ROWS * 9 / 10, rounds * BLOCK_ROWS); /* nearly all */
}

/* In the bore or not: as the foot says, near the wall and on it too. */
static void test_holds(void **state) {
  (void)state;
  struct random random = {SEED};
  for (int round = 0; round < 400; round++) {
    struct arena *arena = arena_new();
    const struct wall *wall = wall_of(arena, &random, round % 4);
    static const double OFF[] = {0, 1e-9, -1e-9, 1e-3, -1e-3, 5, -5, 30, -30};
    for (int i = 0; i < 60; i++) {
      double s = random_whole(&random, 0, 2) ? random_between(&random, 0, wall->perimeter)
                                             : wall->edges[(size_t)i % wall->count].s0;
      struct spot spot = wall_spot(wall, s);
      vec2 point = vec2_sub(spot.at, vec2_scale(spot.normal, OFF[i % 9]));
      assert_int_equal(wall_holds(wall, point), wall_foot(wall, point).inside > 0);
    }
    arena_free(arena);
  }
}

static void set_pattern(struct hand_job *hand, int kind) {
  static const enum pattern PATTERNS[] = {PATTERN_SPIRAL, PATTERN_STEPPED, PATTERN_RINGS};
  hand->overlay.pattern = PATTERNS[kind % 3];
  hand->overlay.over_valleys = kind % 2;
  hand->layers[0].clockwise = kind % 5 == 0;
  hand->layers[1].deeper = kind % 4 == 0;
  hand->overlay.has_stagger = true;
  hand->overlay.stagger = (struct along){false, 20};
  if (kind % 7 == 0)
    hand->shapes[0] =
        (struct shape){.kind = SHAPE_RACETRACK, .length = 260, .width = 178, .turned = 0.3};
  if (kind % 11 == 0)
    hand->layers[0].depths.hi = hand->layers[0].depths.lo + 8; /* one lap */
}

/* Depths, knees and ways of the pool along a path, over borders of laps, steps and edges. */
static void test_depths(void **state) {
  (void)state;
  struct random random = {SEED};
  size_t found = 0, rounds = 2000;
  for (size_t round = 0; round < rounds; round++) {
    struct hand_job *hand = hand_job_new();
    set_pattern(hand, (int)round);
    struct lay_stack stack = lay_stack_make(hand->arena, &hand->job);
    const struct lay *lay = &stack.items[round % 2];
    size_t path = lay_path_count(lay) / 2;
    double end = lay_path_length(lay, path), sigma[BLOCK_ROWS], way[BLOCK_ROWS];
    double scratch[BLOCK_ROWS], depth[BLOCK_ROWS], knee[BLOCK_ROWS];
    double step = random_between(&random, 0.001, round % 3 ? 0.05 : 3);
    double from = random_between(&random, -1, end + 10);
    if (round % 5 == 0) /* about a border of a lap */
      from = lay_lap_start(lay, random_whole(&random, 1, (int)lay->laps)) - 60 * step;
    for (int i = 0; i < BLOCK_ROWS; i++)
      sigma[i] = from + step * i;
    for (size_t at = 0; at < BLOCK_ROWS;) {
      struct lay_even even = lay_even_at(lay, path, sigma[at]);
      size_t count = lay_even_ways(&even, sigma + at, BLOCK_ROWS - at, way, scratch);
      lay_even_depths(&even, sigma + at, way, count, depth, knee);
      for (size_t i = 0; i < count; i++) {
        struct lay_depth one = lay_depth(lay, path, sigma[at + i]);
        double pool = lay_pool_way(lay, path, sigma[at + i]);
        assert_memory_equal(&pool, &way[i], sizeof pool);
        assert_memory_equal(&one.depth, &depth[i], sizeof one.depth);
        assert_memory_equal(&one.knee, &knee[i], sizeof one.knee);
        assert_true(one.slope == even.slope && one.is_step == even.is_step);
        assert_true(one.knee_slope == even.knee_slope || isinf(one.knee));
      }
      found += count;
      at += count > 0 ? count : 1;
    }
    arena_free(hand->arena);
  }
  assert_in_range(found, rounds * BLOCK_ROWS * 9 / 10, rounds * BLOCK_ROWS);
}

static int run(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_feet), cmocka_unit_test(test_holds),
                                     cmocka_unit_test(test_depths)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The loops over many numbers at each width, against the same one by one. */
int main(void) {
  return lanes_each(run);
}
