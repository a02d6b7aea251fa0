/* Outlines as contours: figures of a shape known in closed form, then properties of random ones. */
#include <stdio.h>

#include "shape/approach.h"
#include "shape/outline.h"
#include "shape/segments.h"

#include "drawn.h"

#define SEED   4171u
#define SHAPES 1500

static const struct placement home = {{0, 0, 0}, 0};

/* -- a shape known in closed form ------------------------------------------------------- */

/* A waisted bore of two lobes of radius 50 about (+-60, 0) and two bumps of radius 40 about (0,
 * +-h): 60^2 + h^2 = 90^2.  Each lobe is drawn as two bends, from its outermost point. */
static void waisted_draw(struct drawn *drawn) {
  memset(drawn, 0, sizeof *drawn);
  double h = sqrt(4500.0), x = 60 - 60 * 5.0 / 9,
         y = h * 5 / 9; /* 5/9 of the way between centres */
  drawn->shape.name = "waist";
  drawn->shape.kind = SHAPE_OUTLINE;
  drawn->shape.parts = drawn->parts;
  drawn->shape.outline_from = (vec2){110, 0};
  vec2 joints[] = {{60, 50},   {x, y},   {-x, y}, {-60, 50}, {-110, 0},
                   {-60, -50}, {-x, -y}, {x, -y}, {60, -50}, {110, 0}};
  for (size_t i = 0; i < 10; i++) {
    bool bump = i == 2 || i == 7;
    drawn_add(drawn, true, joints[i], bump ? 40 : 50, !bump);
  }
}

static void test_waisted(void **state) {
  (void)state;
  struct told told = told_begin();
  struct drawn drawn;
  waisted_draw(&drawn);
  const struct contour *contour = drawn_contour(&told, &drawn, &home);
  told_assert(&told, "");
  double h = sqrt(4500.0), beta = atan2(h, 60);
  assert_close(contour->perimeter, 2 * 50 * 2 * (NUM_PI - beta) + 2 * 40 * (NUM_PI - 2 * beta),
               1e-9, 0);
  assert_close(contour->centre.x, 0, 1e-9, 0);
  assert_close(contour->centre.y, 0, 1e-9, 0);
  assert_int_equal(contour->count, 10);
  assert_close(contour_at(contour, 0, 0).at.x, 110, 1e-12, 0);
  /* the waist: between both bumps */
  double waist = 2 * (h - 40);
  assert_close(contour_distance(contour, (vec2){0, 0}), -waist / 2, 1e-9, 0);
  struct contour_neck neck;
  assert_false(contour_neck_find(contour, waist / 2 - 1e-6, &neck));
  assert_true(contour_neck_find(contour, waist / 2 + 1e-3, &neck));
  assert_close(neck.width, waist, 1e-6, 0);
  assert_close(neck.s_a, contour->perimeter / 4, 1e-2, 0);
  assert_close(neck.s_b, contour->perimeter * 3 / 4, 1e-2, 0);
  assert_true(contour_neck_find(contour, 45, &neck));
  assert_close(neck.width, waist, 1e-6, 0);
  /* concave radii go before they are gone; bumps never do */
  assert_int_equal(contour_vanishing_seg(contour, 49.9, 0), -1);
  assert_int_equal(contour->segs[contour_vanishing_seg(contour, 50, 0)].turn, 1);
  told_end(&told);
}

/* A half disc of radius 30 with corners rounded by 5: area and centroid by composition. */
static void test_centroid(void **state) {
  (void)state;
  struct told told = told_begin();
  struct drawn drawn = {.shape = {.name = "d", .kind = SHAPE_OUTLINE}};
  drawn.shape.parts = drawn.parts;
  /* centres of the corners: 5 above the chord, 25 from the disc's centre */
  double c = sqrt(25.0 * 25 - 5 * 5), f = 30.0 / 25;
  drawn.shape.outline_from = (vec2){-c, 0};
  drawn_add(&drawn, false, (vec2){c, 0}, 0, false);
  drawn_add(&drawn, true, (vec2){c * f, 5 * f}, 5, true);
  drawn_add(&drawn, true, (vec2){0, 30}, 30, true);
  drawn_add(&drawn, true, (vec2){-c * f, 5 * f}, 30, true);
  drawn_add(&drawn, true, (vec2){-c, 0}, 5, true);
  const struct placement placed = {{100, 200, 0}, NUM_PI / 2};
  const struct contour *contour = drawn_contour(&told, &drawn, &placed);
  told_assert(&told, "");
  /* Simpson over strips of y, exact widths: 2 x(y) */
  enum { N = 200000 };
  double area = 0, moment = 0;
  for (int i = 0; i <= N; i++) {
    double y = 30.0 * i / N;
    double x = y < 5 * f ? c + sqrt(25 - (y - 5) * (y - 5)) : sqrt(900 - y * y);
    double w = (i == 0 || i == N ? 1 : i % 2 ? 4 : 2) * 2 * x;
    area += w;
    moment += w * y;
  }
  assert_close(contour->centre.x, 100 - moment / area, 1e-4, 0);
  assert_close(contour->centre.y, 200, 1e-9, 0);
  assert_close(contour->turned, NUM_PI / 2, 0, 0);
  /* a centre that is given */
  drawn.shape.has_centre = true;
  drawn.shape.centre = (vec2){3, 4};
  contour = drawn_contour(&told, &drawn, &placed);
  assert_close(contour->centre.x, 96, 1e-12, 0);
  assert_close(contour->centre.y, 203, 1e-12, 0);
  told_end(&told);
}

/* -- properties ------------------------------------------------------------------------- */

static double worst_joint(const struct outline *outline) {
  double worst = 0;
  for (size_t i = 0; i < outline->count; i++) {
    const struct outline_edge *a = &outline->edges[i == 0 ? outline->count - 1 : i - 1];
    worst = fmax(worst, fabs(remainder(outline->edges[i].heading0 - a->heading1, NUM_TURN)));
  }
  return worst;
}

/* Rounding off turns short parts: only where that stays small. */
static void round_off_some(struct told *told, struct random *random, struct drawn *drawn) {
  struct drawn off = *drawn;
  struct outline outline;
  off.shape.parts = off.parts;
  drawn_round_off(&off, random_whole(random, 3, 9));
  assert_true(outline_edges(told->arena, &off.shape, told->diags, &outline));
  if (worst_joint(&outline) < 0.0017)
    *drawn = off;
  drawn->shape.parts = drawn->parts;
}

typedef void drawn_property(struct told *told, struct random *random, struct drawn *drawn);

static void for_random_outlines(uint64_t seed, drawn_property *property) {
  struct random random = {seed};
  printf("  seed %u\n", (unsigned)seed);
  for (int i = 0; i < SHAPES; i++) {
    struct told told = told_begin();
    struct drawn drawn;
    drawn_random(&drawn, &random);
    property(&told, &random, &drawn);
    told_end(&told);
  }
}

/* Closed, tangent, once round, along every point drawn. */
static void sound_property(struct told *told, struct random *random, struct drawn *drawn) {
  round_off_some(told, random, drawn);
  double x = random_between(random, -900, 900), y = random_between(random, -900, 900);
  struct placement placement = {{x, y, 0}, random_between(random, -7, 7)};
  const struct contour *contour = drawn_contour(told, drawn, &placement);
  told_assert(told, "");
  struct joint_fault fault;
  if (!contour_joints_close(contour, 1e-8, 1e-9, &fault))
    fail_msg("joint %zu: gap %g, angle %g", fault.joint, fault.gap, fault.angle);
  double turn = 0;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    turn += seg->turn == 0 ? 0 : seg->turn * seg->length / seg->radius;
    struct sincos normal = num_sincos(seg->normal0);
    assert_close(seg->tangent.y, normal.cos, 1e-12, 0);
    assert_close(-seg->tangent.x, normal.sin, 1e-12, 0);
    assert_true(seg->turn == 0 || seg->radius <= 1e7);
  }
  assert_close(turn, NUM_TURN, 1e-8, 0);
  /* s = 0 at `from`, and parts lie where they were drawn */
  struct sincos t = num_sincos(placement.turned);
  for (size_t i = 0; i < drawn->shape.part_count; i++) {
    vec2 p = drawn->parts[i].to;
    vec2 at = {x + p.x * t.cos - p.y * t.sin, y + p.x * t.sin + p.y * t.cos};
    /* a round between lines cuts their corner off */
    assert_close(contour_distance(contour, at), 0, 0.004, 0);
    if (i + 1 == drawn->shape.part_count) {
      vec2 zero = contour_at(contour, 0, 0).at;
      assert_close(hypot(zero.x - at.x, zero.y - at.y), 0, 0.004, 0);
    }
  }
}

static void test_sound(void **state) {
  (void)state;
  for_random_outlines(SEED, sound_property);
}

/* Drawn the other way round: the same contour. */
static void back_property(struct told *told, struct random *random, struct drawn *drawn) {
  struct drawn back;
  round_off_some(told, random, drawn);
  drawn_turn_back(drawn, &back);
  const struct contour *a = drawn_contour(told, drawn, &home);
  const struct contour *b = drawn_contour(told, &back, &home);
  told_assert(told, "");
  assert_close(a->perimeter, b->perimeter, 1e-8, 0);
  assert_close(a->centre.x, b->centre.x, 1e-8, 0);
  assert_close(a->centre.y, b->centre.y, 1e-8, 0);
  for (int i = 0; i < 20; i++) {
    double s = random_between(random, 0, a->perimeter), offset = random_between(random, -3, 0);
    struct contour_point p = contour_at(a, s, offset), q = contour_at(b, s, offset);
    assert_close(p.at.x, q.at.x, 2e-8, 0);
    assert_close(p.at.y, q.at.y, 2e-8, 0);
    assert_close(p.normal.x, q.normal.x, 1e-8, 0);
  }
}

static void test_both_ways(void **state) {
  (void)state;
  for_random_outlines(SEED + 1, back_property);
}

/* Joints that are off by anything up to 0.1 deg and beyond: accepted just where all are within it,
 * and then the wall lies within 0.005 mm of what was drawn, and what was drawn within 0.005 of the
 * wall. */
static double shift_most = 0;
static int accepted = 0, refused = 0;

static double drawn_apart(const struct outline *outline, vec2 at) {
  struct contour_seg point = {.length = 0, .start = at, .tangent = {1, 0}};
  double nearest = (double)INFINITY;
  for (size_t i = 0; i < outline->count; i++) {
    struct contour_seg seg = outline_edge_seg(&outline->edges[i]);
    nearest = fmin(nearest, seg_approach(&seg, &point).distance);
  }
  return nearest;
}

static void shift_property(struct told *told, struct random *random, struct drawn *drawn) {
  double off = random_between(random, 0, 0.06);
  for (size_t i = 0; i < drawn->shape.part_count; i++) {
    vec2 move = {random_between(random, -off, off), random_between(random, -off, off)};
    drawn->parts[i].to = vec2_add(drawn->parts[i].to, move);
  }
  drawn->shape.outline_from = drawn->parts[drawn->shape.part_count - 1].to;
  struct outline outline;
  if (!outline_edges(told->arena, &drawn->shape, told->diags, &outline))
    return;
  double worst = worst_joint(&outline);
  const struct contour *contour = drawn_contour(told, drawn, &home);
  assert_int_equal(contour != NULL, worst <= 0.1 * NUM_PI / 180 * (1 + 1e-9));
  *(contour ? &accepted : &refused) += 1;
  if (!contour)
    return;
  for (int i = 0; i < 400; i++) {
    double s = contour->perimeter * i / 400;
    if (i % 2) /* near the joints */
      s = contour->segs[random_whole(random, 0, (int)contour->count - 1)].s0 +
          random_between(random, -9, 9);
    shift_most = fmax(shift_most, drawn_apart(&outline, contour_at(contour, s, 0).at));
  }
  for (size_t i = 0; i < outline.count; i++) {
    struct contour_seg seg = outline_edge_seg(&outline.edges[i]);
    for (int k = 0; k <= 20; k++) {
      vec2 at = seg_point(&seg, seg.length * k / 20, 0).at;
      shift_most = fmax(shift_most, fabs(contour_distance(contour, at)));
    }
  }
  assert_true(shift_most <= 0.005);
}

static void test_shift(void **state) {
  (void)state;
  for_random_outlines(SEED + 2, shift_property);
  printf("  %d accepted, %d refused, shifted by %.5f mm at most\n", accepted, refused, shift_most);
  assert_true(accepted > SHAPES / 20 && refused > SHAPES / 20 && shift_most > 1e-3);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_waisted), cmocka_unit_test(test_centroid),
      cmocka_unit_test(test_sound),   cmocka_unit_test(test_both_ways),
      cmocka_unit_test(test_shift),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
