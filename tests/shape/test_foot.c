/* The place of a contour nearest to a point: moved off along its normal, a place is found again. */
#include <stdio.h>

#include "borelay/arena.h"
#include "borelay/contour.h"
#include "borelay/num.h"
#include "shape/nominal.h"
#include "support/close.h"
#include "support/random.h"

enum { SHAPES = 400, PLACES = 20 };

static struct contour *random_contour(struct arena *arena, struct random *random, int kind) {
  vec2 centre = {random_between(random, -50, 50), random_between(random, -50, 50)};
  double turned = random_between(random, -7, 7), width = random_between(random, 30, 80);
  double length = width + random_between(random, 1, 60);
  if (kind == 0)
    return contour_round(arena, centre, width, turned);
  if (kind == 1)
    return contour_racetrack(arena, centre, length, width, turned);
  return contour_rectangle(arena, centre, length, width, random_between(random, 8, width / 2),
                           turned);
}

static void test_found_again(void **state) {
  (void)state;
  struct random random = {20261125};
  struct arena *arena = arena_new();
  for (int i = 0; i < SHAPES; i++) {
    struct contour *contour = random_contour(arena, &random, i % 3);
    for (int k = 0; k < PLACES; k++) {
      double s = random_between(&random, 0, contour->perimeter),
             off = random_between(&random, -9, 7);
      double distance, found = contour_foot(contour, contour_at(contour, s, off).at, &distance);
      double apart = fabs(found - s);
      assert_true(fmin(apart, contour->perimeter - apart) < 1e-7);
      assert_close(distance, -off, 1e-9, 0);
      assert_true(found >= 0 && found < contour->perimeter);
    }
  }
  arena_free(arena);
}

/* On straights of a racetrack, by hand. */
static void test_by_hand(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct contour *contour = contour_racetrack(arena, (vec2){0, 0}, 100, 40, 0);
  double distance, s = contour_foot(contour, (vec2){10, -19}, &distance);
  assert_close(s, 10, 1e-9, 0);
  assert_close(distance, -1, 1e-9, 0);
  s = contour_foot(contour, (vec2){0, 25}, &distance);
  assert_close(s, contour->perimeter / 2, 1e-9, 0);
  assert_close(distance, 5, 1e-9, 0);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_found_again),
                                     cmocka_unit_test(test_by_hand)};
  return cmocka_run_group_tests_name("feet on contours", tests, NULL, NULL);
}
