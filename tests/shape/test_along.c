/* Contours of the shapes: published figures first, then properties over random shapes. */
#include <stdio.h>

#include "borelay/arena.h"
#include "borelay/contour.h"
#include "borelay/num.h"
#include "shape/nominal.h"
#include "shape/segments.h"
#include "support/close.h"
#include "support/random.h"

#include "waisted.h"

#define SEED   9102u
#define SHAPES 3000

static const double degree = NUM_PI / 180;

/* Twice the area by the boundary integral of x dy - y dx, in closed form for lines and arcs. */
static double area_of(const struct contour *contour) {
  double twice = 0;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    vec2 end = seg_point(seg, seg->length, 0).at;
    if (seg->turn == 0) {
      twice += vec2_cross(seg->start, end);
      continue;
    }
    double sweep = seg->turn * seg->length / seg->radius;
    twice += seg->radius * seg->radius * sweep + vec2_cross(seg->centre, vec2_sub(end, seg->start));
  }
  return twice / 2;
}

static struct contour *racetrack_of(struct arena *arena, double straight, double radius) {
  return contour_racetrack(arena, (vec2){0, 0}, straight + 2 * radius, 2 * radius, 0);
}

/* Perimeter and area.  S-1, S-2 from published pages (calculator.cpu.com.cn "stadium",
 * superglobalcalculator.com "stadium shape"); S-3 to S-6 from P = 2a + 2 pi R, A = 2aR + pi R^2. */
static void test_racetrack_sizes(void **state) {
  (void)state;
  static const struct {
    double a, r, perimeter, area, page;
  } rows[] = {{3, 2, 18.566370614, 24.566370614, 18.56637},
              {80, 40, 411.327412287, 11426.548245744, 411.3},
              {120, 40, 491.327412287, 14626.548245744, 0},
              {80, 25, 317.079632679, 5963.495408494, 0},
              {63.5, 19.05, 246.694680102, 3559.441827969, 0},
              {0, 50, 314.159265359, 7853.981633974, 0}};
  struct arena *arena = arena_new();
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    struct contour *contour = racetrack_of(arena, rows[i].a, rows[i].r);
    assert_close(contour->perimeter, rows[i].perimeter, 1e-9, 0);
    assert_close(area_of(contour), rows[i].area, 1e-9, 1e-12);
    if (rows[i].page > 0)
      assert_close(contour->perimeter, rows[i].page, 0.05, 0);
  }
  assert_int_equal(racetrack_of(arena, 0, 50)->count, 2); /* no straights of no length */
  assert_int_equal(racetrack_of(arena, 80, 25)->count, 5);
  arena_free(arena);
}

/* Arc-length map of a racetrack a 80, R 25: rows AM, exact geometry. */
static void test_racetrack_map(void **state) {
  (void)state;
  static const struct {
    double s, x, y, normal;
  } rows[] = {{0, 0, -25, -90},
              {20, 20, -25, -90},
              {40, 40, -25, -90},
              {60, 57.933902272, -17.417667734, -44.163376},
              {79.269908170, 65, 0, 0},
              {118.539816340, 40, 25, 90},
              {160, -1.460183660, 25, 90},
              {158.539816340, 0, 25, 90},
              {198.539816340, -40, 25, 90},
              {250, -62.086366393, -11.712916783, 207.938053},
              {300, -17.079632679, -25, 270}};
  struct arena *arena = arena_new();
  struct contour *contour = racetrack_of(arena, 80, 25);
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    struct contour_point got = contour_at(contour, rows[i].s, 0);
    assert_close(got.at.x, rows[i].x, 1e-9, 0);
    assert_close(got.at.y, rows[i].y, 1e-9, 0);
    assert_close(got.angle, rows[i].normal * degree, 1e-8, 0);
    struct contour_point later = contour_at(contour, rows[i].s + 3 * contour->perimeter, 0);
    assert_close(later.angle, rows[i].normal * degree + 3 * NUM_TURN, 1e-8, 0);
  }
  arena_free(arena);
}

/* Signed distances, rows SD: hypot(max(|x| - a/2, 0), y) - R. */
static void test_racetrack_distances(void **state) {
  (void)state;
  static const struct {
    double x, y, distance;
  } rows[] = {{0, 0, -25},
              {0, 20, -5},
              {65, 0, 0},
              {70, 0, 5},
              {50, 10, -10.857864376},
              {41, 24, -0.979175701},
              {-45, -26, 1.476404590}};
  struct arena *arena = arena_new();
  struct contour *contour = racetrack_of(arena, 80, 25);
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
    assert_close(contour_distance(contour, (vec2){rows[i].x, rows[i].y}), rows[i].distance, 1e-9,
                 0);
  arena_free(arena);
}

/* Row OF-1: an inward offset of 3 mm takes 2 pi 3 off the perimeter, exactly. */
static void test_offset_perimeter(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct contour *contour = racetrack_of(arena, 80, 25);
  assert_close(contour_offset_length(contour, 3, 0, contour->perimeter), 298.230076758, 1e-9, 0);
  double area = area_of(contour), inner = area_of(racetrack_of(arena, 80, 22));
  assert_close(area - inner, 922.964564156, 1e-9, 0);
  arena_free(arena);
}

/* Box of a turned racetrack, rows BB: the farthest points lie where the normal is along an axis. */
static void test_racetrack_box(void **state) {
  (void)state;
  static const struct {
    double a, r, turned, x, y;
  } rows[] = {{80, 25, 30, 59.641016151, 45}, {63.5, 19.05, -112.5, 31.200198978, 48.383175157}};
  struct arena *arena = arena_new();
  for (size_t i = 0; i < 2; i++) {
    struct contour *contour = contour_racetrack(arena, (vec2){0, 0}, rows[i].a + 2 * rows[i].r,
                                                2 * rows[i].r, rows[i].turned * degree);
    double x = 0, y = 0;
    for (size_t k = 0; k < contour->count; k++) {
      const struct contour_seg *seg = &contour->segs[k];
      if (seg->turn == 0)
        continue;
      x = fmax(x, fabs(seg->centre.x) + seg->radius);
      y = fmax(y, fabs(seg->centre.y) + seg->radius);
    }
    assert_close(x, rows[i].x, 1e-8, 0);
    assert_close(y, rows[i].y, 1e-8, 0);
  }
  arena_free(arena);
}

/* -- properties ----------------------------------------------------------- */

static vec2 random_point(struct random *random, double size) {
  double x = random_between(random, -size, size), y = random_between(random, -size, size);
  return (vec2){x, y};
}

/* A wall of any kind. */
struct wall {
  struct contour *contour;
  double inward, outward; /* how far it can be offset before it folds */
};

static struct wall random_waisted(struct arena *arena, struct random *random, vec2 centre,
                                  double turned) {
  struct waisted w = {.lobe = random_between(random, 20, 80),
                      .bump = random_between(random, 10, 60)};
  w.h = w.bump + w.lobe * random_between(random, 0.2, 0.9);
  w.c = sqrt((w.lobe + w.bump) * (w.lobe + w.bump) - w.h * w.h);
  return (struct wall){contour_waisted(arena, centre, w, turned), w.h - w.bump, w.bump};
}

static struct wall random_wall(struct arena *arena, struct random *random) {
  vec2 centre = random_point(random, 500);
  double turned = random_between(random, -10, 10), width = random_between(random, 20, 300);
  double length = width + (random_whole(random, 0, 5) ? random_between(random, 0, 300) : 0);
  double corner = width / 2 * (random_whole(random, 0, 3) ? random_between(random, 0.05, 1) : 1);
  switch (random_whole(random, 0, 3)) {
  case 0:
    return (struct wall){contour_round(arena, centre, width, turned), width / 2, 200};
  case 1:
    return (struct wall){contour_racetrack(arena, centre, length, width, turned), width / 2, 200};
  case 2:
    return (struct wall){contour_rectangle(arena, centre, length, width, corner, turned), corner,
                         200};
  default:
    return random_waisted(arena, random, centre, turned);
  }
}

typedef void wall_property(struct random *random, struct wall wall);

static void for_random_walls(uint64_t seed, wall_property *property) {
  struct random random = {seed};
  printf("  seed %u\n", (unsigned)seed);
  for (int i = 0; i < SHAPES; i++) {
    struct arena *arena = arena_new();
    property(&random, random_wall(arena, &random));
    arena_free(arena);
  }
}

static double shortest_radius(const struct contour *contour) {
  double shortest = contour->perimeter;
  for (size_t i = 0; i < contour->count; i++)
    if (contour->segs[i].turn != 0)
      shortest = fmin(shortest, contour->segs[i].radius);
  return shortest;
}

static void joints_property(struct random *random, struct wall wall) {
  const struct contour *contour = wall.contour;
  struct joint_fault fault;
  if (!contour_joints_close(contour, 1e-9, 1e-12, &fault))
    fail_msg("joint %zu: gap %g, angle %g", fault.joint, fault.gap, fault.angle);
  double turn = 0, offset = random_between(random, -0.9, 0.9);
  offset *= offset < 0 ? fmin(wall.outward, 10) : wall.inward;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    if (seg->turn != 0)
      turn += seg->turn * seg->length / seg->radius;
    assert_true(seg->length > 0);
    struct sincos normal = num_sincos(seg->normal0);
    assert_close(seg->tangent.y, normal.cos, 1e-14, 0);
    assert_close(-seg->tangent.x, normal.sin, 1e-14, 0);
    double s = seg->s0 + (i == 0 ? contour->perimeter : 0);
    struct contour_point before = contour_at(contour, s - 1e-7, offset),
                         after = contour_at(contour, s + 1e-7, offset);
    double step = 2e-7 * (1 + fabs(offset) / shortest_radius(contour)) + 1e-10;
    assert_close(before.at.x, after.at.x, step, 0);
    assert_close(before.at.y, after.at.y, step, 0);
    assert_close(before.angle, after.angle, 1e-6, 0);
  }
  assert_close(turn, NUM_TURN, 1e-12, 0);
  assert_true(contour->segs[0].s0 == 0);
}

/* Segments meet with one tangent, and the normal's angle grows by a turn in all. */
static void test_joints(void **state) {
  (void)state;
  for_random_walls(SEED, joints_property);
}

static void wrap_property(struct random *random, struct wall wall) {
  const struct contour *contour = wall.contour;
  for (int i = 0; i < 20; i++) {
    double s = random_between(random, -3000, 3000), turns;
    if (i % 5 == 0) /* on the seam and beside it */
      s = contour->perimeter * random_whole(random, -9, 9) + (i % 10 ? 1e-13 : -1e-13);
    double rest = contour_wrap(contour, s, &turns);
    assert_true(rest >= 0 && rest < contour->perimeter && turns == floor(turns));
    assert_close(rest + turns * contour->perimeter, s, 1e-11, 0);
    size_t at = contour_seg_at(contour, rest);
    assert_true(contour->segs[at].s0 <= rest);
    assert_true(at + 1 == contour->count || rest < contour->segs[at + 1].s0);
    struct contour_point here = contour_at(contour, s, 1),
                         next = contour_at(contour, s + contour->perimeter, 1);
    assert_close(next.angle - here.angle, NUM_TURN, 1e-9, 0);
    assert_close(next.at.x, here.at.x, 1e-9, 0);
    assert_close(next.at.y, here.at.y, 1e-9, 0);
  }
  for (size_t i = 0; i < contour->count; i++) /* a joint belongs to what follows it */
    assert_int_equal(contour_seg_at(contour, contour->segs[i].s0), i);
}

static void test_wrap(void **state) {
  (void)state;
  for_random_walls(SEED + 1, wrap_property);
}

/* A point moved along the normal by d lies d away; on the inside that is -d. */
static void distance_property(struct random *random, struct wall wall) {
  const struct contour *contour = wall.contour;
  for (int i = 0; i < 20; i++) {
    double s = random_between(random, -2000, 2000);
    if (i % 4 == 0)
      s = contour->segs[random_whole(random, 0, (int)contour->count - 1)].s0;
    double offset = random_between(random, -wall.outward, wall.inward);
    assert_close(contour_distance(contour, contour_at(contour, s, 0).at), 0, 1e-11, 0);
    assert_close(contour_distance(contour, contour_at(contour, s, offset).at), -offset, 1e-11, 0);
  }
}

static void test_distance(void **state) {
  (void)state;
  for_random_walls(SEED + 2, distance_property);
}

/* contour_advance() undoes contour_offset_length(), either way round, and lengths add up. */
static void advance_property(struct random *random, struct wall wall) {
  const struct contour *contour = wall.contour;
  for (int i = 0; i < 20; i++) {
    double offset = random_between(random, -0.95 * wall.outward, 0.95 * wall.inward);
    double a = random_between(random, -2000, 2000);
    if (i % 4 == 0)
      a = contour->segs[random_whole(random, 0, (int)contour->count - 1)].s0;
    double b = a + (i % 8 ? random_between(random, 0, 1500) : contour->perimeter);
    double length = contour_offset_length(contour, offset, a, b);
    assert_true(length > 0);
    double slack = 1e-9 * 20; /* an arc may have shrunk to a twentieth */
    assert_close(contour_advance(contour, offset, a, 1, length), b, slack, 0);
    assert_close(contour_advance(contour, offset, b, -1, length), a, slack, 0);
    double m = random_between(random, a, b);
    assert_close(contour_offset_length(contour, offset, a, m) +
                     contour_offset_length(contour, offset, m, b),
                 length, 1e-9, 0);
  }
}

static void test_advance(void **state) {
  (void)state;
  for_random_walls(SEED + 3, advance_property);
}

/* The length under an offset is that of the points themselves: chords of n steps fall short of an
 * arc of angle w by less than w^3 / (24 n^2) times its radius. */
static void length_property(struct random *random, struct wall wall) {
  const struct contour *contour = wall.contour;
  enum { STEPS = 400 };
  double offset = random_between(random, -0.9 * wall.outward, 0.9 * wall.inward), chords = 0;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    vec2 from = seg_point(seg, 0, offset).at;
    for (int k = 1; k <= STEPS; k++) {
      vec2 to = seg_point(seg, seg->length * k / STEPS, offset).at;
      chords += num_hypot(to.x - from.x, to.y - from.y);
      from = to;
    }
  }
  double length = contour_offset_length(contour, offset, 0, contour->perimeter);
  assert_true(chords <= length + 1e-9 && chords >= length * (1 - 7 * 7 * 7.0 / 24 / STEPS / STEPS));
  assert_close(length, contour->perimeter - NUM_TURN * offset, 1e-9, 0);
}

static void test_length(void **state) {
  (void)state;
  for_random_walls(SEED + 4, length_property);
}

/* The ray from the centre at that angle ends on the contour, and does not cross it before. */
static void ray_property(struct random *random, struct wall wall) {
  const struct contour *contour = wall.contour;
  for (int i = 0; i < 20; i++) {
    double angle = random_between(random, -20, 20);
    if (i % 3 == 0) { /* straight at a joint */
      vec2 to = vec2_sub(contour->segs[random_whole(random, 0, (int)contour->count - 1)].start,
                         contour->centre);
      angle = num_atan2(to.y, to.x);
    }
    double s = contour_s_at_angle(contour, angle);
    assert_true(s >= 0 && s < contour->perimeter);
    vec2 arm = vec2_sub(contour_at(contour, s, 0).at, contour->centre);
    struct sincos d = num_sincos(angle);
    assert_close(arm.x * d.sin - arm.y * d.cos, 0, 2e-9, 0);
    assert_true(arm.x * d.cos + arm.y * d.sin > 0);
    for (int k = 0; k < 10; k++) { /* in the bore all the way: the first crossing */
      vec2 before = vec2_add(contour->centre, vec2_scale(arm, k / 10.0));
      assert_true(contour_distance(contour, before) < 1e-9);
    }
  }
}

static void test_ray(void **state) {
  (void)state;
  for_random_walls(SEED + 5, ray_property);
}

/* On a round the ray's s is the angle itself, and its zero is exactly 0. */
static void test_ray_round(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct random random = {SEED + 6};
  for (int i = 0; i < SHAPES; i++) {
    double turned = random_between(&random, -10, 10), angle = random_between(&random, 0, 6.28);
    struct contour *contour = contour_round(arena, random_point(&random, 300), 178, turned);
    assert_close(contour_s_at_angle(contour, turned + angle), 89 * angle, 1e-11, 0);
    assert_close(contour_s_at_angle(contour, turned), 0, 1e-12, 0);
    assert_true(contour_at(contour, 0, 0).angle == turned);
  }
  arena_free(arena);
}

/* Zero of s: language.md, "Along the contour". */
static void test_zero(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct contour *contour =
      contour_rectangle(arena, (vec2){10, 20}, 120, 60, 15, 90 * degree); /* side turned to +X */
  struct contour_point zero = contour_at(contour, 0, 0);
  assert_close(zero.at.x, 40, 1e-12, 0);
  assert_close(zero.at.y, 20, 1e-12, 0);
  assert_close(zero.angle, 0, 1e-15, 0);
  assert_int_equal(contour->count, 9);
  assert_int_equal(contour_rectangle(arena, (vec2){0, 0}, 90, 60, 30, 0)->count, 7);
  assert_int_equal(contour_rectangle(arena, (vec2){0, 0}, 60, 60, 30, 0)->count, 4);
  arena_free(arena);
}

static void test_vanishing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct contour *contour = contour_rectangle(arena, (vec2){0, 0}, 120, 60, 15, 0);
  assert_int_equal(contour_vanishing_seg(contour, 14.9, 0), -1);
  assert_int_equal(contour_vanishing_seg(contour, 14.9, 0.2), 1);
  assert_int_equal(contour_vanishing_seg(contour, 15, 0), 1);
  /* Two bends of a wall by hand: a bump (convex) grows where a corner shrinks. */
  struct contour_seg segs[2] = {{.length = 5, .turn = -1, .radius = 10},
                                {.length = 5, .turn = 1, .radius = 12}};
  struct contour bump = {.segs = segs, .count = 2};
  assert_int_equal(contour_vanishing_seg(&bump, 11, 0), -1);
  assert_int_equal(contour_vanishing_seg(&bump, 12, 0), 1);
  assert_int_equal(contour_vanishing_seg(&bump, -10, 0), 0);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_racetrack_sizes),
      cmocka_unit_test(test_racetrack_map),
      cmocka_unit_test(test_racetrack_distances),
      cmocka_unit_test(test_offset_perimeter),
      cmocka_unit_test(test_racetrack_box),
      cmocka_unit_test(test_joints),
      cmocka_unit_test(test_wrap),
      cmocka_unit_test(test_distance),
      cmocka_unit_test(test_advance),
      cmocka_unit_test(test_length),
      cmocka_unit_test(test_ray),
      cmocka_unit_test(test_ray_round),
      cmocka_unit_test(test_zero),
      cmocka_unit_test(test_vanishing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
