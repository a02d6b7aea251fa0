/* The judge's walls and fits, against geometry that was not worked out here. */
#include "verify/fit.h"
#include "verify/wall.h"

#include "borelay/arena.h"
#include "borelay/num.h"
#include "support/close.h"
#include "support/random.h"

/* W. Gander, G. H. Golub, R. Strebel, "Least-squares fitting of circles and ellipses", BIT 34
 * (1994) 558-578: z = (4.7398, 2.9835), r = 4.7142 (from memory). */
static void test_published_circle(void **state) {
  (void)state;
  static const vec2 points[] = {{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}};
  struct fitted fitted;
  assert_true(fit_circle(points, 6, &fitted));
  assert_close(fitted.centre.x, 4.7398, 5e-5, 0);
  assert_close(fitted.centre.y, 2.9835, 5e-5, 0);
  assert_close(fitted.diameter / 2, 4.7142, 5e-5, 0);
  static const vec2 in_line[] = {{0, 0}, {1, 1}, {2, 2}};
  assert_false(fit_circle(in_line, 3, &fitted));
}

/* Touches on a racetrack that is known come back as it, in either sense, anywhere on their parts.
 */
static void test_track_comes_back(void **state) {
  (void)state;
  struct random random = {4};
  for (int i = 0; i < 300; i++) {
    double r = random_between(&random, 20, 90), b = random_between(&random, 10, 80);
    double turned = random_between(&random, -3, 3);
    int sense = i % 2 ? 1 : -1;
    double a3 = random_between(&random, -1, 1), a5 = random_between(&random, -1, 1);
    /* sense -1: straight 2 first, so that touches run the other way round */
    vec2 own[5] = {{-0.8 * b * sense, -r},
                   {0.7 * b * sense, -r},
                   {sense * (b + r * num_sincos(a3).cos), r * num_sincos(a3).sin},
                   {0.1 * b, r},
                   {-sense * (b + r * num_sincos(a5).cos), r * num_sincos(a5).sin}};
    vec2 tips[5];
    struct sincos sc = num_sincos(turned);
    for (int k = 0; k < 5; k++)
      tips[k] = (vec2){7 + sc.cos * own[k].x - sc.sin * own[k].y,
                       -5 + sc.sin * own[k].x + sc.cos * own[k].y};
    struct fitted fitted;
    assert_true(fit_track(tips, &fitted));
    assert_close(fitted.centre.x, 7, 1e-8, 0);
    assert_close(fitted.centre.y, -5, 1e-8, 0);
    assert_close(fitted.width, 2 * r, 1e-8, 0);
    assert_close(fitted.length, 2 * (b + r), 1e-8, 0);
    double off = (fitted.turned - turned) / NUM_TURN;
    assert_close(off - floor(off + 0.5), 0, 1e-9, 0);
  }
}

/* Perimeter of a stadium, 2 b + pi w, and of a rectangle with rounded corners: plane geometry. */
static void test_perimeters(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  vec2 centre = {3, -4};
  struct wall *track = wall_rectangle(arena, centre, 190, 100, 50, 0.3);
  assert_close(track->perimeter, 2 * 90 + NUM_PI * 100, 1e-9, 0);
  struct wall *box = wall_rectangle(arena, centre, 160, 120, 12, -0.7);
  assert_close(box->perimeter, 2 * (136 + 96) + NUM_TURN * 12, 1e-9, 0);
  /* the pool inside by d loses 2 pi d a turn (any convex curve; Steiner's formula) */
  assert_close(wall_pool_way(box, 2, 2 * box->perimeter), 2 * (box->perimeter - NUM_TURN * 2), 1e-9,
               0);
  assert_close(wall_pool_way(box, 2, -box->perimeter), -(box->perimeter - NUM_TURN * 2), 1e-9, 0);
  arena_free(arena);
}

/* The foot is nowhere farther than any place of the wall, and a point that was moved off it along
 * the normal comes back. */
static void test_feet(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct random random = {5};
  struct wall *walls[] = {wall_round(arena, (vec2){2, 1}, 120),
                          wall_rectangle(arena, (vec2){0, 0}, 160, 110, 25, 0.4),
                          wall_rectangle(arena, (vec2){5, 5}, 190, 100, 50, -1.2)};
  for (int i = 0; i < 3000; i++) {
    const struct wall *wall = walls[i % 3];
    double s = random_between(&random, 0, wall->perimeter), d = random_between(&random, -30, 20);
    struct spot spot = wall_spot(wall, s);
    vec2 point = vec2_sub(spot.at, vec2_scale(spot.normal, d));
    struct foot foot = wall_foot(wall, point);
    assert_close(foot.inside, d, 1e-9, 0);
    double apart = fabs(foot.s - s);
    assert_true(fmin(apart, wall->perimeter - apart) < 1e-7);
    vec2 other = wall_spot(wall, random_between(&random, 0, wall->perimeter)).at;
    assert_true(num_hypot(other.x - point.x, other.y - point.y) >= fabs(foot.inside) - 1e-9);
  }
  arena_free(arena);
}

/* From the centre of a square with rounded corners the ray at 0 meets the middle of a side. */
static void test_rays(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct wall *wall = wall_rectangle(arena, (vec2){0, 0}, 100, 100, 10, 0);
  double quarter = wall->perimeter / 4; /* s = 0 in the middle of the side at negative y */
  for (int k = 0; k < 4; k++)
    assert_close(wall_ray_start(wall, (k - 1) * NUM_PI / 2 + 1e-9), k * quarter, 1e-6, 0);
  arena_free(arena);
}

/* An outline with a bump into the bore, drawn clockwise: area and sense are found. */
static void test_outline(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outline_part parts[] = {{true, {0, 40}, 40, false, {0, 0, 0}},
                                 {true, {40, 0}, 40, false, {0, 0, 0}},
                                 {true, {0, -40}, 40, false, {0, 0, 0}},
                                 {true, {-40, 0}, 40, false, {0, 0, 0}}};
  struct shape shape = {
      .kind = SHAPE_OUTLINE, .outline_from = {-40, 0}, .parts = parts, .part_count = 4};
  const struct wall *wall = wall_outline(arena, &shape);
  assert_non_null(wall);
  assert_close(wall->perimeter, NUM_TURN * 40, 1e-9, 0);
  assert_close(wall->centre.x, 0, 1e-9, 0);
  assert_close(wall->centre.y, 0, 1e-9, 0);
  assert_close(wall_foot(wall, (vec2){30, 1}).inside, 40 - num_hypot(30, 1), 1e-9, 0);
  /* anticlockwise from `from` at (-40, 0): a quarter on lies at negative y */
  assert_close(wall_spot(wall, wall->perimeter / 4).at.y, -40, 1e-9, 0);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_published_circle),
      cmocka_unit_test(test_track_comes_back),
      cmocka_unit_test(test_perimeters),
      cmocka_unit_test(test_feet),
      cmocka_unit_test(test_rays),
      cmocka_unit_test(test_outline),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
