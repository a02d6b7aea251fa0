/* wall-in-envelope for round and rectangular bores whose distances are known. */
#include "support/close.h"

#include "check/wall.h"
#include "check/wall_face.h"
#include "support/hand_contour.h"

struct place {
  struct arena *arena;
  struct hand_scene hand;
  struct motion motion;
};

static int setup(void **state) {
  struct place *place = calloc(1, sizeof *place);
  place->arena = arena_new();
  hand_scene_begin(&place->hand, place->arena, 100);
  place->motion.plan = &place->hand.plan;
  *state = place;
  return 0;
}

static int teardown(void **state) {
  struct place *place = *state;
  arena_free(place->arena);
  free(place);
  return 0;
}

static void wall(struct place *place, const struct contour *contour, double lo, double hi) {
  double thickness[1] = {2};
  struct range band[1] = {{lo, hi}};
  place->hand.plan.overlay_count = 0;
  hand_overlay(&place->hand, "wall", contour, 1, thickness, band);
}

static struct check_result judge(struct place *place) {
  struct scene scene = {place->arena, &place->motion, false};
  return wall_check(&scene);
}

/* A wall of radius 50, off by `shift`, in a bore of another radius: off by at most
 * |50 - radius| + shift, which is reached on the line of centres. */
static void round_walls(void **state) {
  static const struct {
    double radius, shift, off;
    bool holds;
  } rows[] = {
      {50, 0, 0, true},        {50.4, 0, 0.4, true},     {50.6, 0, 0.6, false},
      {49.6, 0, 0.4, true},    {49.4, 0, 0.6, false},    {50, 0.45, 0.45, true},
      {50, 0.55, 0.55, false}, {50.3, 0.15, 0.45, true}, {49.7, 0.3, 0.6, false},
      {45, 0, 5, false},       {60, 0, 10, false},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct place *place = *state;
    place->hand.envelope.volume_count = 0;
    hand_volume(&place->hand, true,
                hand_round(place->arena, "bore", (vec2){rows[i].shift, 0}, rows[i].radius, 0), 0,
                200);
    wall(place, hand_round(place->arena, "wall", (vec2){0, 0}, 50, 0), 20, 80);
    struct check_result result = judge(place);
    assert_int_equal(result.passed, rows[i].holds);
    /* looked at here and there only: the proof is for the limit, the worst is what was seen */
    assert_close(result.worst, rows[i].off, 0.02 * rows[i].off + (rows[i].holds ? 0.02 : 0), 0);
    assert_close(result.limit, 0.5, 0, 0);
  }
}

/* A wall that is the face is told as 0, not as what rounding leaves of it; a narrow slot in it is
 * seen all the same. */
static void walls_that_are_the_face(void **state) {
  struct place *place = *state;
  struct contour *const walls[] = {
      hand_round(place->arena, "round", (vec2){3.1, -7.7}, 46.3, 0.3),
      hand_rectangle(place->arena, "rectangle", (vec2){-4.7, 2.9}, 120, 70, 11, 0.2)};
  for (size_t i = 0; i < sizeof walls / sizeof *walls; i++) {
    place->hand.envelope.volume_count = 0;
    hand_volume(&place->hand, true, walls[i], 0, 200);
    wall(place, walls[i], 20, 80);
    for (size_t k = 0; k < walls[i]->count; k++)
      assert_true(wall_on_face(
          metal_make(place->arena, place->motion.plan, (struct clad_state){.layers = NULL}),
          walls[i], &walls[i]->segs[k], 0.5, place->hand.plan.placement.at.z - 50));
    struct check_result result = judge(place);
    assert_true(result.passed && result.worst == 0);
    vec2 at = contour_at(walls[i], 10, 0).at;
    hand_volume(&place->hand, true, hand_rectangle(place->arena, "slot", at, 8, 3, 0.5, 0.1), 30,
                70);
    assert_false(judge(place).passed);
  }
}

static void slots_and_steps(void **state) {
  struct place *place = *state;
  struct contour *round = hand_round(place->arena, "bore", (vec2){0, 0}, 50, 0);
  struct contour *mouth = hand_round(place->arena, "mouth", (vec2){0, 0}, 62, 0);
  struct contour *slot = hand_rectangle(place->arena, "slot", (vec2){50, 0}, 20, 3, 0.5, 0);
  struct contour *narrow = hand_rectangle(place->arena, "narrow", (vec2){50, 0}, 20, 0.9, 0.2, 0);
  hand_volume(&place->hand, true, round, 0, 200);
  wall(place, round, 20, 80);
  assert_true(judge(place).passed);
  hand_volume(&place->hand, true, slot, 40, 42); /* a keyway 2 mm high, 3 mm wide */
  struct check_result result = judge(place);
  assert_false(result.passed);
  assert_close(result.worst, 1, 0.02, 0); /* half its height */
  place->hand.volumes[1].depths = (struct range){30, 60};
  result = judge(place);
  assert_false(result.passed);
  assert_close(result.worst, 1.5, 0.03, 0); /* half its width */
  place->hand.contours[1] = narrow; /* 0.9 mm wide: nowhere farther than 0.45 mm from metal */
  assert_true(judge(place).passed);
  place->hand.envelope.volume_count = 1;
  hand_volume(&place->hand, true, mouth, 0, 15); /* above the band: no matter */
  assert_true(judge(place).passed);
  place->hand.volumes[1].depths.hi = 25; /* 5 mm into it */
  result = judge(place);
  assert_false(result.passed);
  assert_close(result.worst, 2.5, 1e-3, 0); /* from the step below, half the slab's height */
}

/* A band that reaches above the datum face has a wall only up to there, one that reaches past a
 * ledge only up to that: told by the band's edge, which is farthest from the metal, not by the
 * middle of what stands out.  A groove has metal above and below: its middle is farthest. */
static void thin_slabs(void **state) {
  static const struct {
    double lo, hi, radius,
        groove;         /* bore of `radius` from 70.5 on; a groove from 40 on, this high */
    double least, most; /* what is told */
    bool holds;
  } rows[] = {
      {-0.4, 40, 50, 0, 0.2, 0.4, true},     {-0.6, 40, 50, 0, 0.55, 0.6, false},
      {-0.99, 40, 50, 0, 0.94, 0.99, false}, {20, 70.9, 55, 0, 0.2, 0.4, true},
      {20, 71.3, 55, 0, 0.75, 0.8, false},   {20, 60, 50, 0.9, 0.4, 0.45, true},
      {20, 60, 50, 0.99, 0.45, 0.495, true}, {20, 60, 50, 1.2, 0.59, 0.601, false},
      {20, 71.3, 50.48, 0, 0.47, 0.5, true},
  };
  struct place *place = *state;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct contour *round = hand_round(place->arena, "bore", (vec2){0, 0}, 50, 0);
    struct contour *below = hand_round(place->arena, "below", (vec2){0, 0}, rows[i].radius, 0);
    struct contour *wide = hand_round(place->arena, "wide", (vec2){0, 0}, 60, 0);
    place->hand.envelope.volume_count = 0;
    hand_volume(&place->hand, true, round, 0, 70.5);
    hand_volume(&place->hand, true, below, 70.5, 200);
    if (rows[i].groove > 0)
      hand_volume(&place->hand, true, wide, 40, 40 + rows[i].groove);
    wall(place, round, rows[i].lo, rows[i].hi);
    struct check_result result = judge(place);
    assert_int_equal(result.passed, rows[i].holds);
    assert_true(result.worst >= rows[i].least && result.worst <= rows[i].most);
  }
}

/* A slot 1.2 mm wide is farther than 0.5 mm from metal only in its middle 0.2 mm, a rib left
 * between two bores of the same wall is 0.2 mm thick: wherever they lie along the wall, they are
 * found. */
static void slivers_are_found(void **state) {
  for (int i = 0; i < 40; i++) {
    struct place *place = *state;
    double x = -20 + 1.037 * i;
    struct contour *whole = hand_rectangle(place->arena, "pocket", (vec2){0, 0}, 100, 60, 8, 0);
    struct contour *slot = hand_rectangle(place->arena, "slot", (vec2){x, -30}, 1.2, 10, 0.1, 0);
    struct contour *left =
        hand_rectangle(place->arena, "left", (vec2){x / 2 - 25.05, 0}, x + 49.9, 60, 0.01, 0);
    struct contour *right =
        hand_rectangle(place->arena, "right", (vec2){x / 2 + 25.05, 0}, 49.9 - x, 60, 0.01, 0);
    struct contour *wide = hand_rectangle(place->arena, "wide", (vec2){0, 0}, 100, 60, 0.01, 0);
    place->hand.envelope.volume_count = 0;
    hand_volume(&place->hand, true, whole, 0, 200);
    hand_volume(&place->hand, true, slot, 0, 200);
    wall(place, whole, 20, 80);
    struct check_result result = judge(place);
    assert_false(result.passed);
    assert_close(result.worst, 0.6, 0.012, 0);
    place->hand.envelope.volume_count = 0;
    hand_volume(&place->hand, true, left, 0, 200);
    hand_volume(&place->hand, true, right, 0, 200);
    wall(place, wide, 20, 80);
    assert_false(judge(place).passed);
  }
}

static void solid_in_the_way(void **state) {
  struct place *place = *state;
  struct contour *round = hand_round(place->arena, "bore", (vec2){0, 0}, 50, 0);
  struct contour *rib = hand_rectangle(place->arena, "rib", (vec2){-48, 0}, 8, 4, 1, 0);
  hand_volume(&place->hand, true, round, 0, 200);
  wall(place, round, 20, 80);
  hand_volume(&place->hand, false, rib, 30, 60); /* free wins over solid: still a bore */
  assert_true(judge(place).passed);
}

static void above_the_face(void **state) {
  struct place *place = *state;
  struct contour *round = hand_round(place->arena, "bore", (vec2){0, 0}, 50, 0);
  hand_volume(&place->hand, true, round, 0, 200);
  wall(place, round, -4, 60); /* the band reaches 4 mm above the datum face: no metal there */
  struct check_result result = judge(place);
  assert_false(result.passed);
  assert_close(result.worst, 2, 1e-6, 0);
}

static void taught_walls_have_their_own_tolerance(void **state) {
  struct place *place = *state;
  struct contour *bore = hand_round(place->arena, "bore", (vec2){0, 0}, 50.3, 0);
  struct contour *taught = hand_round(place->arena, "wall", (vec2){0, 0}, 50, 0);
  hand_volume(&place->hand, true, bore, 0, 200);
  wall(place, taught, 20, 80);
  assert_true(judge(place).passed);
  taught->taught = true;
  ((struct shape *)(uintptr_t)taught->shape)->fit_tolerance = 0.2;
  struct check_result result = judge(place);
  assert_false(result.passed);
  assert_close(result.limit, 0.2, 0, 0);
  ((struct shape *)(uintptr_t)taught->shape)->fit_tolerance = 0.35;
  assert_true(judge(place).passed);
}

/* Two bores with a web between them that ends 0.3 mm before a wall, whose face it leaves whole: 0.5
 * mm inside the wall is metal.  Seen wherever it lies, on straight walls and on round ones. */
static void webs_before_the_wall(void **state) {
  struct place *place = *state;
  for (int i = 0; i < 20; i++) {
    double x = -19.3 + 2.037 * i;
    struct contour *whole = hand_rectangle(place->arena, "wall", (vec2){0, 0}, 100, 60, 0.01, 0);
    struct contour *strip =
        hand_rectangle(place->arena, "strip", (vec2){0, -29.85}, 100, 0.3, 0.01, 0);
    struct contour *left =
        hand_rectangle(place->arena, "left", (vec2){x / 2 - 25.05, 0}, x + 49.9, 59.6, 0.01, 0);
    struct contour *right =
        hand_rectangle(place->arena, "right", (vec2){x / 2 + 25.05, 0}, 49.9 - x, 59.6, 0.01, 0);
    struct contour *far = hand_rectangle(place->arena, "far", (vec2){0, 20}, 100, 20, 0.01, 0);
    place->hand.envelope.volume_count = 0;
    hand_volume(&place->hand, true, strip, 0, 200);
    hand_volume(&place->hand, true, left, 0, 200);
    hand_volume(&place->hand, true, right, 0, 200);
    hand_volume(&place->hand, true, far, 0, 200);
    wall(place, whole, 20, 80);
    assert_false(judge(place).passed);
    place->hand.envelope.volume_count = 1;
    hand_volume(&place->hand, true, whole, 0, 200);
    assert_true(judge(place).passed);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(round_walls, setup, teardown),
      cmocka_unit_test_setup_teardown(walls_that_are_the_face, setup, teardown),
      cmocka_unit_test_setup_teardown(thin_slabs, setup, teardown),
      cmocka_unit_test_setup_teardown(slots_and_steps, setup, teardown),
      cmocka_unit_test_setup_teardown(webs_before_the_wall, setup, teardown),
      cmocka_unit_test_setup_teardown(slivers_are_found, setup, teardown),
      cmocka_unit_test_setup_teardown(solid_in_the_way, setup, teardown),
      cmocka_unit_test_setup_teardown(above_the_face, setup, teardown),
      cmocka_unit_test_setup_teardown(taught_walls_have_their_own_tolerance, setup, teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
