/* Ways of the tip against offset contours: exact cases, and random ones against plain sampling. */
#include "support/close.h"

#include "check/locus.h"
#include "support/hand_contour.h"
#include "support/random.h"

#define REACH 40

/* Tip on the contour's offset, torch on the normal, over a part of one segment. */
static struct curve on_segment(const struct contour_seg *seg, double offset, double from, double to,
                               bool merged) {
  struct curve curve = {.length = to - from, .rho = REACH};
  struct sincos n = num_sincos(seg->normal0);
  if (seg->turn == 0) {
    curve.is_line = true;
    curve.centre = vec2_sub(seg->start, vec2_scale((vec2){n.cos, n.sin}, offset));
    curve.direction = seg->tangent;
    curve.turn = (struct cubic){from, 1, 0, 0};
    curve.head = (struct cubic){seg->normal0, 0, 0, 0};
    return curve;
  }
  double per = seg->turn / seg->radius, radius = seg->radius - seg->turn * offset;
  curve.centre = seg->centre;
  curve.radius = seg->turn * radius; /* centre + radius e(normal) is the tip */
  curve.turn = curve.head = (struct cubic){seg->normal0 + per * from, per, 0, 0};
  if (merged) {
    curve.radius -= REACH;
    curve.rho = 0;
  }
  return curve;
}

static struct contour *pocket(struct arena *arena) {
  static const vec2 corner[] = {{-60, -40}, {60, -40}, {60, 40}, {10, 40},
                                {0, 15},    {-10, 40}, {-60, 40}};
  static const double radius[] = {12, 15, 20, 4, 6, 4, 9};
  return hand_rounded(arena, "pocket", corner, radius, 7);
}

static void true_ways_are_on_the_locus(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  const struct contour *contour = pocket(arena);
  struct random random = {3};
  for (int i = 0; i < 3000; i++) {
    const struct contour_seg *seg =
        &contour->segs[random_whole(&random, 0, (int)contour->count - 1)];
    double a = random_between(&random, 0, seg->length), b = random_between(&random, 0, seg->length);
    double offset = random_between(&random, 0, 3.5);
    struct curve curve =
        on_segment(seg, offset, fmin(a, b), fmax(a, b), random_whole(&random, 0, 1));
    double turns = NUM_TURN * random_whole(&random, -40, 40);
    curve.head.c0 += turns;
    if (!curve.is_line)
      curve.turn.c0 += turns;
    struct tip_way way = tip_way_make(&curve, REACH, 0, curve.length);
    assert_close(tip_way_distance(&way, seg, offset), 0, 2e-9, 0);
    struct cubic tilt = tip_way_tilt(&way, &curve, seg);
    assert_close(cubic_at(tilt, 0), 0, 1e-12 * (1 + fabs(turns)), 0);
    struct cubic place = tip_way_place(&way, &curve, seg, offset);
    assert_close(cubic_at(place, 0), seg->s0 + fmin(a, b), 1e-10, 0);
    assert_close(cubic_at(place, curve.length), seg->s0 + fmax(a, b), 1e-10, 0);
    struct tip_way still = tip_way_make(&curve, REACH, curve.length / 3, curve.length / 3);
    assert_int_equal(still.kind, TIP_PLACE);
    assert_close(tip_way_place(&still, &curve, seg, offset).c0,
                 seg->s0 + fmin(a, b) + curve.length / 3, 1e-8, 0);
    assert_close(cubic_at(tilt, curve.length), 0, 1e-12 * (1 + fabs(turns)), 0);
  }
  arena_free(arena);
}

static void tilt_is_the_angle_to_the_normal(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  const struct contour *contour = pocket(arena);
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    struct curve curve = on_segment(seg, 2, 0, seg->length, false);
    curve.head.c0 += 0.03;
    curve.head.c1 -= 0.001;
    struct tip_way way = tip_way_make(&curve, REACH, 0, curve.length);
    struct cubic tilt = tip_way_tilt(&way, &curve, seg);
    assert_close(cubic_at(tilt, 0), 0.03, 1e-12, 0);
    assert_close(cubic_at(tilt, curve.length), 0.03 - 0.001 * curve.length, 1e-12, 0);
    /* Where it stands, too. */
    way = tip_way_make(&curve, REACH, 1, 1);
    assert_int_equal(way.kind, TIP_PLACE);
    tilt = tip_way_tilt(&way, &curve, seg);
    assert_close(cubic_at(tilt, 1), 0.029, 1e-12, 0);
  }
  arena_free(arena);
}

/* Distance of a place from one offset segment, by plain geometry on a fine polyline of it. */
static double sampled_distance(vec2 p, const struct contour_seg *seg, double offset) {
  double least = 1e300;
  for (int i = 0; i <= 4000; i++) {
    double into = seg->length * i / 4000;
    double angle = seg->normal0 + (seg->turn ? seg->turn * into / seg->radius : 0);
    vec2 at = vec2_add(seg->start, vec2_scale(seg->tangent, into));
    if (seg->turn != 0)
      at = vec2_add(seg->centre,
                    vec2_scale((vec2){cos(angle), sin(angle)}, seg->turn * seg->radius));
    at = vec2_sub(at, vec2_scale((vec2){cos(angle), sin(angle)}, offset));
    least = fmin(least, hypot(p.x - at.x, p.y - at.y));
  }
  return least;
}

/* Wrong ways: the bound is never below what sampling sees, and not far above it. */
static void bounds_hold_for_wrong_ways(void **state) {
  (void)state;
  uint64_t seed = 51;
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  struct arena *arena = arena_new();
  const struct contour *contour = pocket(arena);
  double slackest = 0;
  for (int i = 0; i < 300; i++) {
    const struct contour_seg *seg =
        &contour->segs[random_whole(&random, 0, (int)contour->count - 1)];
    double small = pow(10, random_between(&random, -4, 0));
    struct curve curve = on_segment(seg, 2, 0, seg->length, false);
    curve.centre.x += random_between(&random, -small, small);
    curve.centre.y += random_between(&random, -small, small);
    curve.radius *= 1 + random_between(&random, -small, small) / 100;
    curve.rho += random_between(&random, -small, small);
    curve.head.c0 += random_between(&random, -small, small) / 100;
    curve.turn.c0 += random_between(&random, -small, small) / 100;
    struct tip_way way = tip_way_make(&curve, REACH, 0, curve.length);
    double bound = tip_way_distance(&way, seg, 2), seen = 0;
    for (int k = 0; k <= 20; k++) {
      struct piece piece = {.t1 = curve.length, .q = {0, 1, 0, 0}, .curve = curve};
      struct pose h = piece_at(&piece, curve.length * k / 20);
      vec2 tip = {h.x + REACH * cos(h.head), h.y + REACH * sin(h.head)};
      seen = fmax(seen, sampled_distance(tip, seg, 2));
    }
    assert_true(bound >= seen - 1e-5); /* of the polyline's own grain */
    slackest = fmax(slackest, bound / fmax(seen, 1e-4));
  }
  print_message("bound up to %.2f times what is seen\n", slackest);
  assert_true(slackest < 20); /* errors of radius and centre may cancel on a short arc */
  arena_free(arena);
}

static void cut_where_the_tip_passes_a_joint(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  const struct contour *contour = hand_racetrack(arena, "slot", (vec2){5, 3}, 60, 25, 0.3);
  /* A straight, longer by 7 mm at its end than its segment, runs out over the next joint. */
  size_t line = contour->segs[0].turn == 0 ? 0 : 1;
  const struct contour_seg *seg = &contour->segs[line];
  struct curve curve = on_segment(seg, 3, 0, seg->length + 7, false);
  struct tip_way way = tip_way_make(&curve, REACH, 0, curve.length);
  double q;
  assert_true(tip_way_distance(&way, seg, 3) > 6.9);
  assert_true(tip_way_cut(&way, &curve, contour, 3, 0.05, &q));
  assert_close(q, seg->length, 1e-9, 0);
  /* An arc that goes on beyond its half circle, clockwise. */
  seg = &contour->segs[(line + 1) % contour->count];
  curve = on_segment(seg, 3, -2, seg->length, true);
  curve.turn.c1 = -curve.turn.c1;
  curve.turn.c0 = curve.head.c0 = seg->normal0 + seg->length / seg->radius;
  curve.head.c1 = curve.turn.c1;
  curve.length = seg->length + 2;
  way = tip_way_make(&curve, REACH, 0, curve.length);
  assert_true(tip_way_cut(&way, &curve, contour, 3, 0.05, &q));
  assert_close(q, seg->length, 1e-9, 0);
  way = tip_way_make(&curve, REACH, 0, q - 1e-6);
  assert_false(tip_way_cut(&way, &curve, contour, 3, 0.05, &q));
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(true_ways_are_on_the_locus),
      cmocka_unit_test(tilt_is_the_angle_to_the_normal),
      cmocka_unit_test(bounds_hold_for_wrong_ways),
      cmocka_unit_test(cut_where_the_tip_passes_a_joint),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
