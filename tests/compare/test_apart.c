/* The largest distance between two ways: ways whose answer is known in closed form, and random ones
 * against a fine sampler, which may find less than the bound but never more. */
#include "compare/apart.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "support/close.h"
#include "support/random.h"

enum { MOST = 400 };

struct ways {
  struct tip_line lines[2][MOST];
  struct tip_course course[2];
};

static void way_start(struct ways *ways) {
  for (int i = 0; i < 2; i++)
    ways->course[i] = (struct tip_course){ways->lines[i], 0};
}

static void way_line(struct ways *ways, int side, vec3 from, vec3 to) {
  size_t n = ways->course[side].count++;
  ways->lines[side][n] = (struct tip_line){from, to, (double)n, (double)n + 1, NULL};
}

/* A turn of a circle of n chords. */
static void way_circle(struct ways *ways, int side, double radius, double z, int n) {
  for (int i = 0; i < n; i++) {
    double a = 2 * M_PI * i / n, b = 2 * M_PI * (i + 1) / n;
    way_line(ways, side, (vec3){radius * cos(a), radius * sin(a), z},
             (vec3){radius * cos(b), radius * sin(b), z});
  }
}

static struct apart find(struct ways *ways) {
  struct arena *arena = arena_new();
  struct apart apart = apart_find(arena, &ways->course[0], &ways->course[1]);
  arena_free(arena);
  return apart;
}

static void test_same(void **state) {
  (void)state;
  static struct ways ways;
  way_start(&ways);
  way_circle(&ways, 0, 50, 0, 200);
  way_circle(&ways, 1, 50, 0, 200);
  assert_close(find(&ways).distance, 0, 1e-9, 0);
}

/* Two level circles: sqrt(dr^2 + dz^2) everywhere. */
static void test_circles(void **state) {
  (void)state;
  static struct ways ways;
  way_start(&ways);
  way_circle(&ways, 0, 50, 0, 360);
  way_circle(&ways, 1, 53, 4, 360);
  assert_close(find(&ways).distance, 5, APART_SURE, 0);
}

/* A way that goes on farther: its end is the farthest, found from either side. */
static void test_longer(void **state) {
  (void)state;
  static struct ways ways;
  for (int side = 0; side < 2; side++) {
    way_start(&ways);
    way_line(&ways, side, (vec3){0, 0, 0}, (vec3){100, 0, 0});
    way_line(&ways, 1 - side, (vec3){0, 0, 0}, (vec3){137, 0, 0});
    struct apart apart = find(&ways);
    assert_close(apart.distance, 37, APART_SURE, 0);
    assert_int_equal(apart.side, 1 - side);
    assert_close(apart.at.x, 137, APART_SURE, 0);
    assert_close(apart.t, 1, 1e-3, 0);
  }
}

/* The farthest place lies between two lines, not at a corner: the middle between two walls. */
static void test_between(void **state) {
  (void)state;
  static struct ways ways;
  way_start(&ways);
  way_line(&ways, 0, (vec3){-10, 0, 0}, (vec3){10, 0, 0});
  way_line(&ways, 1, (vec3){-10, -20, 0}, (vec3){-10, 20, 0});
  way_line(&ways, 1, (vec3){10, -20, 0}, (vec3){10, 20, 0});
  struct apart apart = find(&ways);
  /* seen from the first, 10 in its middle; seen from the second, 20 at the walls' ends */
  assert_close(apart.distance, 20, APART_SURE, 0);
  ways.course[1].lines[0].from.y = ways.course[1].lines[1].from.y = -1;
  ways.course[1].lines[0].to.y = ways.course[1].lines[1].to.y = 1;
  apart = find(&ways);
  assert_close(apart.distance, 10, APART_SURE, 0);
  assert_int_equal(apart.side, 0);
  assert_close(apart.at.x, 0, 2 * APART_SURE, 0);
}

static void test_empty(void **state) {
  (void)state;
  static struct ways ways;
  way_start(&ways);
  way_line(&ways, 0, (vec3){0, 0, 0}, (vec3){1, 0, 0});
  assert_false(find(&ways).is_there);
}

/* -- random ways ------------------------------------------------------------------------------- */

static double distance_to_line(const struct tip_line *line, vec3 p) {
  double best = HUGE_VAL;
  for (int i = 0; i <= 200; i++) {
    vec3 q = tip_line_at(line, i / 200.0);
    best = fmin(best, sqrt((p.x - q.x) * (p.x - q.x) + (p.y - q.y) * (p.y - q.y) +
                           (p.z - q.z) * (p.z - q.z)));
  }
  return best;
}

static double sampled(const struct ways *ways) {
  double most = 0;
  for (int side = 0; side < 2; side++)
    for (size_t i = 0; i < ways->course[side].count; i++)
      for (int k = 0; k <= 20; k++) {
        vec3 p = tip_line_at(&ways->lines[side][i], k / 20.0);
        double least = HUGE_VAL;
        for (size_t n = 0; n < ways->course[1 - side].count; n++)
          least = fmin(least, distance_to_line(&ways->lines[1 - side][n], p));
        most = fmax(most, least);
      }
  return most;
}

static void random_way(struct ways *ways, int side, struct random *random) {
  vec3 at = {0, 0, 0};
  int count = random_whole(random, 1, 12);
  for (int i = 0; i < count; i++) {
    vec3 to = {at.x + random_between(random, -5, 9), at.y + random_between(random, -5, 5),
               at.z + random_between(random, -5, 5)};
    way_line(ways, side, at, to);
    at = to;
  }
}

static void test_random(void **state) {
  (void)state;
  static struct ways ways;
  struct random random = {20260};
  print_message("seed 20260\n");
  for (int i = 0; i < 60; i++) {
    way_start(&ways);
    random_way(&ways, 0, &random);
    random_way(&ways, 1, &random);
    double found = find(&ways).distance, some = sampled(&ways);
    assert_true(found + APART_SURE >= some - 0.05); /* samples measure up to 0.05 too far */
    assert_true(found <= some + 0.5);               /* and lie 0.5 apart */
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_same),   cmocka_unit_test(test_circles),
                                     cmocka_unit_test(test_longer), cmocka_unit_test(test_between),
                                     cmocka_unit_test(test_empty),  cmocka_unit_test(test_random)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
