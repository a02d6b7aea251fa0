/* Stretches of a contour between two angles: closed forms first, then properties of random walls
 * of every kind, star-shaped about their centre or not. */
#include <stdio.h>

#include "borelay/arena.h"
#include "borelay/contour.h"
#include "borelay/num.h"
#include "shape/nominal.h"
#include "shape/segments.h"
#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

#include "waisted.h"

#define SEED   3101u
#define SHAPES 2000

static const double degree = NUM_PI / 180;

static void assert_sector(struct arena *arena, const struct contour *contour, double lo, double hi,
                          const struct contour_stretch *want, size_t count) {
  struct contour_stretch *got;
  struct range angles = {lo * degree, hi * degree};
  assert_int_equal(contour_sector(arena, contour, angles, &got), count);
  for (size_t i = 0; i < count; i++) {
    assert_close(got[i].from, want[i].from, 1e-8, 0);
    assert_close(got[i].to, want[i].to, 1e-8, 0);
  }
}
#define SECTOR(contour, lo, hi, ...)                                                               \
  do {                                                                                             \
    const struct contour_stretch want[] = {__VA_ARGS__};                                           \
    assert_sector(arena, contour, lo, hi, want, sizeof want / sizeof want[0]);                     \
  } while (0)

/* On a round s is radius times angle, from the part's +X. */
static void test_round(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  const struct contour *round = contour_round(arena, (vec2){7, -3}, 2 * 180 / NUM_PI, 20 * degree);
  SECTOR(round, 30, 75, {10, 55});
  SECTOR(round, 390, 435, {10, 55});
  SECTOR(round, -40, 25, {300, 365});
  SECTOR(round, 20, 380, {0, 360});
  SECTOR(round, 90, 450, {0, 360});
  SECTOR(round, 30, 380, {10, 360});
  SECTOR(round, 30, 389.999, {10, 369.999});
  struct contour_stretch *got;
  assert_int_equal(contour_sector(arena, round, (struct range){1, 1}, &got), 0);
  arena_free(arena);
}

/* Straight 80, radius 25, turned: the ray at 45 deg meets the half circle about (40, 0) where
 * (x - 40)^2 + x^2 = 625; rays into the straights by the tangent. */
static void test_racetrack(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  const struct contour *track = contour_racetrack(arena, (vec2){-20, 11}, 130, 50, -112.5 * degree);
  double t = -112.5, quarter = 40 + NUM_PI / 2 * 25;
  SECTOR(track, t - 90, t, {0, quarter});
  SECTOR(track, t - 90 - 20, t - 90 + 20,
         {track->perimeter - 25 * tan(20 * degree), track->perimeter + 25 * tan(20 * degree)});
  /* the ray whose slope leads to the joint (40, 25) */
  double joint = atan2(25, 40) / degree;
  SECTOR(track, t, t + joint, {quarter, 40 + NUM_PI * 25});
  SECTOR(track, t + joint, t + 180, {40 + NUM_PI * 25, track->perimeter / 2 + quarter});
  double a = 20 * degree; /* r^2 - 80 r cos a + 1600 - 625 = 0 */
  double r = 40 * cos(a) + sqrt(1600 * cos(a) * cos(a) - 975);
  double on_arc = atan2(r * sin(a), r * cos(a) - 40);
  SECTOR(track, t - 20, t + 20, {quarter - 25 * on_arc, quarter + 25 * on_arc});
  arena_free(arena);
}

/* 100 x 60, corner 10, s = 0 in the middle of the lower side. */
static void test_rectangle(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  const struct contour *frame = contour_rectangle(arena, (vec2){3, 4}, 100, 60, 10, 0);
  double side = 40 + 5 * NUM_PI; /* to where the right side begins */
  double up = 50 * tan(20 * degree);
  SECTOR(frame, -20, 20, {side + 20 - up, side + 20 + up});
  SECTOR(frame, 20, 340, {side + 20 + up, frame->perimeter + side + 20 - up});
  SECTOR(frame, 180 - 20, 180 + 20,
         {frame->perimeter / 2 + side + 20 - up, frame->perimeter / 2 + side + 20 + up});
  arena_free(arena);
}

/* A C open to the right, 60 x 80 outside, 20 wide, with sharp corners rounded by a thousandth:
 *
 *   y 80 +----------+      inner side of the arms at y 20 and 60
 *     60 |   +------+      back from x = 0 to x = 20
 *     20 |   +------+
 *      0 +----------+
 *        0  20      60                                                                  */
static struct contour *c_shaped(struct arena *arena, vec2 centre) {
  static const vec2 corner[8] = {{60, 0},  {60, 20}, {20, 20}, {20, 60},
                                 {60, 60}, {60, 80}, {0, 80},  {0, 0}};
  static const double radius[8] = {1e-6, 1e-6, 1e-6, 1e-6, 1e-6, 1e-6, 1e-6, 1e-6};
  struct contour *contour = hand_rounded(arena, "c", corner, radius, 8);
  contour->centre = centre;
  return contour;
}

/* From the back's middle (10, 40) the sector around +X sees the convex side of the back, and behind
 * it nothing; at 60 deg up both sides of the arm.  Lengths by the slopes of the rays; the corners
 * change them by less than 1e-5. */
static void test_behind_a_bump(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct contour_stretch *got;
  const struct contour *c = c_shaped(arena, (vec2){10, 40});
  assert_int_equal(contour_sector(arena, c, (struct range){-0.2, 0.2}, &got), 1);
  assert_close(got[0].from, 60 + 20 + 40 + 20 - 10 * tan(0.2), 1e-5, 0);
  assert_close(got[0].to, 60 + 20 + 40 + 20 + 10 * tan(0.2), 1e-5, 0);
  /* 30 deg passes the end of the arm at y = 40 + 50 tan 30 = 68.87, above 60: from (20, 45.77) on
   * metal, from the arm's inner side at x = 10 + 20 / tan 30 = 44.64 bore again, the end. */
  double d = 30 * degree, e = 35 * degree;
  assert_int_equal(contour_sector(arena, c, (struct range){d, e}, &got), 3);
  assert_close(got[0].from, 140 + 10 * tan(d), 1e-5, 0);
  assert_close(got[0].to, 140 + 10 * tan(e), 1e-5, 0);
  assert_close(got[1].from, 160 + (10 + 20 / tan(e) - 20), 1e-5, 0);
  assert_close(got[1].to, 160 + (10 + 20 / tan(d) - 20), 1e-5, 0);
  assert_close(got[2].from, 200 + (40 + 50 * tan(d) - 60), 1e-5, 0);
  assert_close(got[2].to, 200 + (40 + 50 * tan(e) - 60), 1e-5, 0);
  arena_free(arena);
}

static void assert_places(struct arena *arena, const struct contour *contour, double angle,
                          const double *want, size_t count) {
  struct contour_stretch *got;
  struct range ray = {angle, angle};
  assert_int_equal(contour_sector_or_place(arena, contour, ray, &got), count);
  for (size_t i = 0; i < count; i++) {
    assert_close(got[i].from, want[i], 1e-8, 0);
    assert_close(got[i].to, want[i], 1e-8, 0);
  }
}

/* The ray alone: places in closed form, whatever the slope of the wall to it; on a joint, and over
 * s = 0, one. */
static void test_one_ray(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  const struct contour *round = contour_round(arena, (vec2){7, -3}, 2 * 180 / NUM_PI, 20 * degree);
  assert_places(arena, round, 75 * degree, (const double[]){55}, 1);
  assert_places(arena, round, 380 * degree, (const double[]){0}, 1);
  const struct contour *small = contour_round(arena, (vec2){7, -3}, 0.5, 0);
  assert_places(arena, small, 1, (const double[]){0.25}, 1);
  const struct contour *track = contour_racetrack(arena, (vec2){-20, 11}, 130, 50, 0);
  double quarter = 40 + NUM_PI / 2 * 25, joint = 40 + NUM_PI * 25;
  assert_places(arena, track, 0, &quarter, 1);
  assert_places(arena, track, atan2(25, 40), &joint, 1);
  double flat = atan2(25, 39.9), before = joint + 0.1;
  assert_places(arena, track, flat, &before, 1);
  const struct contour *c = c_shaped(arena, (vec2){10, 40});
  double d = 30 * degree;
  struct contour_stretch *got;
  assert_int_equal(contour_sector_or_place(arena, c, (struct range){d, d}, &got), 3);
  assert_close(got[0].from, 140 + 10 * tan(d), 1e-5, 0);
  assert_close(got[1].from, 160 + (10 + 20 / tan(d) - 20), 1e-5, 0);
  assert_close(got[2].from, 200 + (40 + 50 * tan(d) - 60), 1e-5, 0);
  arena_free(arena);
}

/* From (40, 40), in the metal between the arms: the sector around -X sees both sides of the back,
 * the one around +X nothing; half turns share the whole contour out. */
static void test_centre_outside(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct contour_stretch *got;
  const struct contour *c = c_shaped(arena, (vec2){40, 40});
  assert_int_equal(contour_sector(arena, c, (struct range){-0.3, 0.3}, &got), 0);
  assert_int_equal(contour_sector(arena, c, (struct range){NUM_PI - 0.3, NUM_PI + 0.3}, &got), 2);
  assert_close(got[0].from, 140 - 20 * tan(0.3), 1e-5, 0);
  assert_close(got[0].to, 140 + 20 * tan(0.3), 1e-5, 0);
  assert_close(got[1].from, 320 - 40 * tan(0.3), 1e-5, 0);
  assert_close(got[1].to, 320 + 40 * tan(0.3), 1e-5, 0);
  /* everything lies between these */
  assert_int_equal(contour_sector(arena, c, (struct range){0.3, NUM_TURN - 0.3}, &got), 1);
  assert_close(got[0].from, 0, 0, 0);
  assert_close(got[0].to, c->perimeter, 0, 0);
  /* where a ray from the centre meets a wall that faces it */
  assert_close(contour_s_at_angle(c, NUM_PI), 320, 1e-5, 0);
  assert_close(contour_s_at_angle(c, 0), -1, 0, 0);
  arena_free(arena);
}

/* A straight side along a ray belongs to the sector on either side of it. */
static void test_side_along_a_ray(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct contour_stretch *got;
  const struct contour *c = c_shaped(arena, (vec2){10, 60}); /* level with the arm's inner side */
  assert_int_equal(contour_sector(arena, c, (struct range){0, 0.2}, &got), 1);
  assert_close(got[0].from, 160, 1e-5, 0);
  assert_close(got[0].to, 200 + 50 * tan(0.2), 1e-5, 0);
  assert_int_equal(contour_sector(arena, c, (struct range){-0.2, 0}, &got), 1);
  assert_close(got[0].from, 160 - 10 * tan(0.2), 1e-5, 0);
  assert_close(got[0].to, 200, 1e-5, 0);
  arena_free(arena);
}

/* Rays that touch a bump, or pass it by a hair: nothing, not a sliver. */
static void test_grazing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct waisted w = {.lobe = 50, .bump = 40, .h = 55};
  w.c = sqrt(90.0 * 90 - w.h * w.h);
  struct contour *contour = contour_waisted(arena, (vec2){0, 0}, w, 0.7);
  contour->centre = vec2_add((vec2){0, 0}, turned_about_zero((vec2){-w.c, 0}, 0.7));
  struct contour_stretch *got;
  /* tangent from the left lobe's centre to the upper bump */
  double at = 0.7 + atan2(w.h, w.c) - asin(40 / num_hypot(w.h, w.c));
  for (int k = -3; k <= 3; k++) {
    double angle = at + k * 1e-15;
    size_t below = contour_sector(arena, contour, (struct range){angle - 0.05, angle}, &got);
    double length = 0;
    for (size_t i = 0; i < below; i++) {
      assert_true(got[i].to - got[i].from > 1);
      length += got[i].to - got[i].from;
    }
    assert_int_equal(below, 1);
    assert_true(length > 5 && length < 20);
  }
  arena_free(arena);
}

/* -- properties ----------------------------------------------------------- */

/* A star of ten corners, the inner ones convex bumps; the centre anywhere. */
static struct contour *random_star(struct arena *arena, struct random *random) {
  vec2 corner[10];
  double radius[10];
  for (int i = 0; i < 10; i++) {
    double out = i % 2 ? random_between(random, 45, 60) : random_between(random, 90, 120);
    corner[i] = hand_polar(out, i * NUM_TURN / 10);
    radius[i] = random_between(random, 1, 6);
  }
  struct contour *star = hand_rounded(arena, "star", corner, radius, 10);
  star->centre = hand_polar(random_between(random, 0, 130), random_between(random, 0, NUM_TURN));
  return star;
}

static struct contour *random_contour(struct arena *arena, struct random *random) {
  double x = random_between(random, -500, 500), y = random_between(random, -500, 500);
  double turned = random_between(random, -10, 10), width = random_between(random, 20, 300);
  vec2 centre = {x, y};
  struct waisted w = {.lobe = width, .bump = random_between(random, 10, 60)};
  w.h = w.bump + w.lobe * random_between(random, 0.2, 0.9);
  w.c = sqrt((w.lobe + w.bump) * (w.lobe + w.bump) - w.h * w.h);
  switch (random_whole(random, 0, 4)) {
  case 0:
    return contour_round(arena, centre, width, turned);
  case 1:
    return contour_racetrack(arena, centre, width * 1.7, width, turned);
  case 2:
    return contour_rectangle(arena, centre, width * 1.2, width, width / 7, turned);
  case 3:
    return contour_waisted(arena, centre, w, turned);
  default:
    return random_star(arena, random);
  }
}

/* How far s is from the nearest end of a stretch; inside: whether it lies in one. */
static double end_distance(const struct contour *contour, const struct contour_stretch *all,
                           size_t count, double s, bool *inside) {
  double nearest = contour->perimeter;
  *inside = false;
  for (size_t i = 0; i < count; i++)
    for (int turn = 0; turn < 2; turn++) {
      double at = s + turn * contour->perimeter;
      *inside = *inside || (at >= all[i].from && at <= all[i].to);
      nearest = fmin(nearest, fmin(fabs(at - all[i].from), fabs(at - all[i].to)));
    }
  return nearest;
}

/* Order, ends on a ray, sum with the rest of the turn, and random places by their own angle. */
static void sector_property(struct arena *arena, struct random *random,
                            const struct contour *contour) {
  double lo = random_between(random, -7, 7), width = random_between(random, 0.01, NUM_TURN - 0.01);
  struct contour_stretch *in, *out;
  size_t in_count = contour_sector(arena, contour, (struct range){lo, lo + width}, &in);
  size_t out_count =
      contour_sector(arena, contour, (struct range){lo + width, lo + NUM_TURN}, &out);
  double length = 0;
  for (size_t i = 0; i < in_count; i++) {
    assert_true(in[i].from >= 0 && in[i].from < contour->perimeter && in[i].from < in[i].to);
    assert_true(in[i].to <= in[i].from + contour->perimeter);
    assert_true(i == 0 || in[i - 1].to < in[i].from);
    length += in[i].to - in[i].from;
  }
  for (size_t i = 0; i < out_count; i++)
    length += out[i].to - out[i].from;
  assert_close(length, contour->perimeter, 1e-3 * (double)(in_count + out_count), 0);
  for (int i = 0; i < 20; i++) {
    double s = random_between(random, 0, contour->perimeter);
    vec2 arm = vec2_sub(contour_at(contour, s, 0).at, contour->centre);
    double after = remainder(atan2(arm.y, arm.x) - lo, NUM_TURN);
    bool inside, want = (after < 0 ? after + NUM_TURN : after) < width;
    if (end_distance(contour, in, in_count, s, &inside) > 1e-3)
      assert_int_equal(inside, want);
  }
}

/* Every end that is no end of the whole contour lies on one of the rays. */
static void ends_property(struct arena *arena, struct random *random,
                          const struct contour *contour) {
  double lo = random_between(random, -7, 7), width = random_between(random, 0.01, NUM_TURN - 0.01);
  struct contour_stretch *in;
  size_t count = contour_sector(arena, contour, (struct range){lo, lo + width}, &in);
  if (count == 1 && in[0].to - in[0].from == contour->perimeter)
    return;
  for (size_t i = 0; i < count; i++)
    for (int end = 0; end < 2; end++) {
      vec2 arm = vec2_sub(contour_at(contour, end ? in[i].to : in[i].from, 0).at, contour->centre);
      double off = (double)INFINITY;
      for (int ray = 0; ray < 2; ray++) {
        vec2 along = hand_polar(1, lo + ray * width);
        if (vec2_dot(arm, along) > 0)
          off = fmin(off, fabs(vec2_cross(along, arm)));
      }
      assert_close(off, 0, 1e-9, 0);
    }
}

static void for_random_contours(uint64_t seed, void (*property)(struct arena *, struct random *,
                                                                const struct contour *)) {
  struct random random = {seed};
  printf("  seed %u\n", (unsigned)seed);
  for (int i = 0; i < SHAPES; i++) {
    struct arena *arena = arena_new();
    property(arena, &random, random_contour(arena, &random));
    arena_free(arena);
  }
}

static void test_random(void **state) {
  (void)state;
  for_random_contours(SEED, sector_property);
}

static void test_ends(void **state) {
  (void)state;
  for_random_contours(SEED + 1, ends_property);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_round),
      cmocka_unit_test(test_racetrack),
      cmocka_unit_test(test_rectangle),
      cmocka_unit_test(test_behind_a_bump),
      cmocka_unit_test(test_one_ray),
      cmocka_unit_test(test_centre_outside),
      cmocka_unit_test(test_side_along_a_ray),
      cmocka_unit_test(test_grazing),
      cmocka_unit_test(test_random),
      cmocka_unit_test(test_ends),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
