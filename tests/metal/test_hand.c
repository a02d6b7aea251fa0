/* Distances whose answers are plain geometry; the racetrack's are those of a stadium of straights
 * 80 and radius 25, distance = distance to the segment of length 80 less 25 (computed by hand from
 * that formula). */
#include "borelay/metal.h"

#include "support/close.h"
#include "support/hand_contour.h"

static const struct clad_state no_clad = {0};

static double point(const struct metal *metal, double x, double y, double z) {
  return metal_distance_point(metal, (vec3){x, y, z}).distance;
}

/* -- the stadium, from inside and from outside --------------------------------- */

struct stadium_case {
  const char *name;
  double x, y, distance; /* signed, negative in the bore */
};
static const struct stadium_case stadium_cases[] = {
    {"middle", 0, 0, -25},
    {"near a straight", 0, 20, -5},
    {"on the apex", 65, 0, 0},
    {"beyond the apex", 70, 0, 5},
    {"in the half circle", 50, 10, -10.857864376},
    {"just inside the half circle", 41, 24, -0.979175701},
    {"outside the other half circle", -45, -26, 1.476404590},
};

static void test_stadium(void **state) {
  const struct stadium_case *c = *state;
  for (int turned = 0; turned < 8; turned++) {
    struct arena *arena = arena_new();
    struct hand_scene free_scene, solid_scene;
    double angle = turned * 0.5, face = 300;
    struct contour *stadium = hand_racetrack(arena, "stadium", (vec2){7, -3}, 80, 25, angle);
    double x = 7 + c->x * cos(angle) - c->y * sin(angle),
           y = -3 + c->x * sin(angle) + c->y * cos(angle);
    hand_scene_begin(&free_scene, arena, face);
    hand_volume(&free_scene, true, stadium, 0, 200);
    hand_scene_begin(&solid_scene, arena, face);
    hand_volume(&solid_scene, false, stadium, -200, 0);
    const struct metal *bore = metal_make(arena, &free_scene.plan, no_clad);
    const struct metal *boss = metal_make(arena, &solid_scene.plan, no_clad);
    assert_close(point(bore, x, y, face - 100), fmax(0, -c->distance), 1e-9, 0);
    assert_close(point(boss, x, y, face + 100), fmax(0, c->distance), 1e-9, 0);
    if (fabs(c->distance) > 1e-6) {
      assert_true(metal_contains(bore, (vec3){x, y, face - 100}) == (c->distance > 0));
      assert_true(metal_contains(boss, (vec3){x, y, face + 100}) == (c->distance < 0));
    }
    arena_free(arena);
  }
}

/* What is no number is in metal, wherever the metal is. */
static void test_no_numbers(void **state) {
  (void)state;
  static const double numbers[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 300);
  hand_volume(&scene, true, hand_racetrack(arena, "stadium", (vec2){7, -3}, 80, 25, 0.3), 0, 200);
  const struct metal *metal = metal_make(arena, &scene.plan, no_clad);
  for (size_t i = 0; i < 9; i++) {
    double at[3] = {7, -3, 400};
    at[i % 3] = numbers[i / 3];
    vec3 p = {at[0], at[1], at[2]}, q = {8, -2, 410};
    vec2 level = {at[0], at[1]};
    assert_true(metal_contains(metal, p));
    assert_true(metal_distance_point(metal, p).distance == 0);
    assert_true(metal_distance_segment(metal, p, q, 1e-3).distance == 0);
    assert_true(metal_distance_segment(metal, q, p, 1e-3).distance == 0);
    assert_true(metal_distance_upright(metal, level, level, 3, at[2], at[2] + 10).distance == 0);
    struct metal_region region = {.is_ring = true,
                                  .centre = level,
                                  .outer = 1,
                                  .lo = {at[0] - 1, at[1] - 1},
                                  .hi = {at[0] + 1, at[1] + 1},
                                  .within = level};
    assert_false(metal_stays_off(metal, &region, 1, at[2], at[2] + 10, 2));
  }
  arena_free(arena);
}

/* -- the head in a stadium: far wall and near wall ------------------------------- */

struct head_case {
  const char *name;
  double out;      /* of the head axis from the near straight */
  bool far;        /* the near wall is cut away */
  double distance; /* of a body of radius 12 */
};
static const struct head_case head_cases[] = {
    {"20 from the near wall", 20, false, 8},
    {"far wall at 2 R - 20 - 12", 20, true, 18},
    {"reach beyond the radius: far wall at 2 R - 30 - 12", 30, true, 8},
};

static void test_head(void **state) {
  const struct head_case *c = *state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, true, hand_racetrack(arena, "stadium", (vec2){0, 0}, 80, 25, 0), 0, 200);
  if (c->far)
    hand_volume(&scene, true, hand_rectangle(arena, "slot", (vec2){0, -60}, 160, 120, 4, 0), 0,
                200);
  const struct metal *metal = metal_make(arena, &scene.plan, no_clad);
  for (double x = -30; x <= 30; x += 10) {
    vec2 at = {x, -25 + c->out};
    struct metal_hit hit = metal_distance_upright(metal, at, at, 12, -80, -60);
    assert_close(hit.distance, c->distance, 1e-9, 0);
    assert_int_equal(hit.kind, METAL_VOLUME);
    assert_int_equal(hit.index, 0);
  }
  arena_free(arena);
}

/* -- stacked and coinciding volumes ------------------------------------------------ */

static void test_stacked_bores_have_no_floor_between(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 10);
  struct contour *bore = hand_round(arena, "bore", (vec2){0, 0}, 40, 0.3);
  struct contour *again = hand_round(arena, "again", (vec2){0, 0}, 40, 2.1);
  struct contour *narrow = hand_round(arena, "narrow", (vec2){0, 0}, 15, 0);
  hand_volume(&scene, true, bore, 0, 30);
  hand_volume(&scene, true, bore, 30, 60);
  hand_volume(&scene, true, again, 20, 50); /* overlaps both, same circle */
  hand_volume(&scene, true, narrow, 60, 100);
  const struct metal *metal = metal_make(arena, &scene.plan, no_clad);
  for (double z = 9; z > -12; z -= 0.5) /* deeper, the ledge is nearer */
    assert_close(point(metal, 1, 2, z), 40 - hypot(1, 2), 1e-9, 0);
  vec2 centre = {0, 0}, off = {20, 0};
  /* Above the ledge at depth 60 (z = -50): over the narrow bore its rim counts. */
  assert_close(metal_distance_upright(metal, off, off, 3, -45, 0).distance, 5, 1e-9, 0);
  assert_close(metal_distance_upright(metal, centre, centre, 3, -45, 0).distance, hypot(12, 5),
               1e-9, 0);
  assert_close(metal_distance_upright(metal, centre, centre, 3, -80, 0).distance, 10, 1e-9, 0);
  assert_close(metal_distance_upright(metal, centre, off, 3, -80, -75).distance, 0, 0, 0);
  struct metal_hit floor = metal_distance_point(metal, (vec3){0, 0, -85});
  assert_close(floor.distance, 5, 1e-9, 0);
  assert_string_equal(metal_hit_name(arena, metal, floor), "the floor of free narrow");
  struct metal_hit ledge = metal_distance_point(metal, (vec3){30, 0, -48});
  assert_close(ledge.distance, 2, 1e-9, 0);
  assert_string_equal(metal_hit_name(arena, metal, ledge), "the floor of free bore");
  struct metal_hit face = metal_distance_point(metal, (vec3){70, 0, 15});
  assert_close(face.distance, 5, 1e-9, 0);
  assert_string_equal(metal_hit_name(arena, metal, face), "the datum face");
  struct metal_hit beside = metal_distance_point(metal, (vec3){60, 0, -70});
  assert_close(beside.distance, 0, 0, 0);
  assert_string_equal(metal_hit_name(arena, metal, beside), "the metal of the part");
  arena_free(arena);
}

static void test_free_and_solid_of_one_contour(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 0);
  struct contour *shape = hand_rectangle(arena, "pad", (vec2){0, 0}, 60, 40, 5, 0.2);
  hand_volume(&scene, false, shape, -50, 80);
  hand_volume(&scene, true, shape, -50, 80); /* free wins over the whole of it */
  const struct metal *metal = metal_make(arena, &scene.plan, no_clad);
  assert_close(point(metal, 0, 0, -10), 20, 1e-9, 0);
  assert_close(point(metal, 0, 0, 30), sqrt(20 * 20 + 30 * 30), 1e-9, 0);
  arena_free(arena);
}

/* Of one length and width, with other corners: each side of the wider one is cut where the other's
 * leaves it. */
static void test_solid_around_a_free_of_one_box(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, false, hand_rectangle(arena, "pad", (vec2){0, 0}, 60, 40, 5, 0), -50, -10);
  hand_volume(&scene, true, hand_rectangle(arena, "hole", (vec2){0, 0}, 60, 40, 15, 0), -50, -10);
  const struct metal *metal = metal_make(arena, &scene.plan, no_clad);
  assert_true(metal_contains(metal, (vec3){27, 17, 45}));
  assert_close(point(metal, 0, 21, 45), sqrt(15 * 15 + 1), 1e-6, 0);
  assert_close(point(metal, 31, 0, 45), sqrt(5 * 5 + 1), 1e-6, 0);
  arena_free(arena);
}

static void test_no_volume(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 5);
  const struct metal *metal = metal_make(arena, &scene.plan, no_clad);
  assert_close(point(metal, 3, 4, 12), 7, 1e-12, 0);
  assert_close(point(metal, 3, 4, -1e5), 0, 0, 0);
  assert_true(metal_contains(metal, (vec3){0, 0, 4.9}));
  assert_false(metal_contains(metal, (vec3){0, 0, 5.1}));
  vec3 a = {0, 0, 8}, b = {50, 0, 30};
  double d = metal_distance_segment(metal, a, b, 1e-3).distance;
  assert_true(d <= 3 && d >= 3 - 1e-3);
  arena_free(arena);
}

/* -- clad ------------------------------------------------------------------------- */

static void test_clad_on_a_round(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 0);
  struct contour *bore = hand_round(arena, "bore", (vec2){0, 0}, 50, 0);
  hand_volume(&scene, true, bore, 0, 300);
  double thickness[2] = {2, 1.5};
  struct range bands[2] = {{20, 60}, {20, 40}};
  hand_overlay(&scene, "seal", bore, 2, thickness, bands);
  /* R - sqrt(R^2 - 2 R t) on 50 and on 48 (docs/semantics.md, Deposit). */
  double first = 50 - sqrt(2500 - 200), second = 48 - sqrt(48 * 48 - 2 * 48 * 1.5);
  struct {
    size_t layers;
    bool nominal;
    double at_30, at_50, at_80;
  } rows[] = {
      {0, false, 50, 50, 50},
      {1, false, 50 - first, 50 - first, 50},
      {2, false, 50 - first - second, 50 - first, 50},
      {2, true, 46.5, 48, 50},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct clad_state clad = {&rows[i].layers, rows[i].nominal};
    const struct metal *metal = metal_make(arena, &scene.plan, clad);
    vec2 o = {0, 0};
    assert_close(metal_distance_upright(metal, o, o, 0, -30, -30).distance, rows[i].at_30, 1e-9, 0);
    assert_close(metal_distance_upright(metal, o, o, 0, -59, -55).distance, rows[i].at_50, 1e-9, 0);
    struct metal_hit hit = metal_distance_upright(metal, o, o, 0, -78, -76);
    assert_true(hit.distance <= rows[i].at_80 + 1e-9 && hit.distance >= 46);
    hit = metal_distance_point(metal, (vec3){45, 0, -25});
    assert_string_equal(metal_hit_name(arena, metal, hit),
                        rows[i].layers ? "the clad of seal" : "the wall of free bore");
    assert_int_equal(metal_contains(metal, (vec3){49, 0, -25}), rows[i].layers > 0);
  }
  arena_free(arena);
}

static void test_clad_steps_at_a_joint(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 0);
  struct contour *wall = hand_racetrack(arena, "cavity", (vec2){0, 0}, 80, 25, 0);
  hand_volume(&scene, true, wall, 0, 100);
  double thickness = 3;
  struct range band = {10, 90};
  size_t layers = 1;
  hand_overlay(&scene, "lining", wall, 1, &thickness, &band);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){&layers, false});
  double bent = 25 - sqrt(625 - 150);
  assert_close(point(metal, 0, 0, -50), 22, 1e-9, 0);
  assert_close(point(metal, 55, 0, -50), 10 - bent, 1e-9, 0);
  /* Just beside the joint, on the straight's side: the step's edge is nearer than the flat face. */
  assert_close(point(metal, 39.9, -21, -50), hypot(0.1, 25 - bent - 21), 1e-9, 0);
  assert_true(metal_contains(metal, (vec3){40.01, -25 + bent - 0.01, -50}));
  assert_false(metal_contains(metal, (vec3){39.99, -25 + bent - 0.01, -50}));
  arena_free(arena);
}

/* Where the wall bends right the clad is thinner than on the flat: sqrt(R^2 + 2 R t) - R, where it
 * bends left thicker: R - sqrt(R^2 - 2 R t) (docs/semantics.md, Deposit). */
static void test_clad_on_bends_of_both_senses(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 0);
  vec2 corner[5] = {{-40, -30}, {40, -30}, {40, 30}, {0, 5}, {-40, 30}};
  double radius[5] = {8, 6, 7, 9, 8}, nominal = 1.2;
  struct contour *wall = hand_rounded(arena, "pocket", corner, radius, 5);
  struct range band = {0, 50};
  size_t layers = 1;
  hand_volume(&scene, true, wall, 0, 50);
  hand_overlay(&scene, "lining", wall, 1, &nominal, &band);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){&layers, false});
  int senses[3] = {0, 0, 0};
  for (size_t i = 0; i < wall->count; i++) {
    const struct contour_seg *seg = &wall->segs[i];
    double thick = nominal, R = seg->radius;
    vec2 at = vec2_add(seg->start, vec2_scale(seg->tangent, seg->length / 2));
    double angle = seg->normal0;
    if (seg->turn) {
      thick = seg->turn > 0 ? R - sqrt(R * R - 2 * R * nominal) : sqrt(R * R + 2 * R * nominal) - R;
      angle += seg->turn * seg->length / R / 2;
      at = vec2_add(seg->centre, hand_polar(seg->turn * R, angle));
    }
    vec2 in = vec2_sub(at, hand_polar(thick + 0.25, angle));
    struct metal_hit hit = metal_distance_point(metal, (vec3){in.x, in.y, -25});
    assert_close(hit.distance, 0.25, 1e-9, 0);
    assert_int_equal(hit.kind, METAL_CLAD);
    senses[seg->turn + 1]++;
  }
  assert_int_equal(senses[0], 1);
  assert_int_equal(senses[1], 5);
  assert_int_equal(senses[2], 4);
  arena_free(arena);
}

int main(void) {
  enum { STADIUMS = sizeof stadium_cases / sizeof *stadium_cases };
  enum { HEADS = sizeof head_cases / sizeof *head_cases };
  struct CMUnitTest tests[STADIUMS + HEADS + 8];
  size_t n = 0;
  for (size_t i = 0; i < STADIUMS; i++)
    tests[n++] = (struct CMUnitTest){stadium_cases[i].name, test_stadium, NULL, NULL,
                                     (void *)(uintptr_t)&stadium_cases[i]};
  for (size_t i = 0; i < HEADS; i++)
    tests[n++] = (struct CMUnitTest){head_cases[i].name, test_head, NULL, NULL,
                                     (void *)(uintptr_t)&head_cases[i]};
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_no_numbers);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_stacked_bores_have_no_floor_between);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_free_and_solid_of_one_contour);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_solid_around_a_free_of_one_box);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_no_volume);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_clad_on_a_round);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_clad_steps_at_a_joint);
  tests[n++] = (struct CMUnitTest)cmocka_unit_test(test_clad_on_bends_of_both_senses);
  return cmocka_run_group_tests(tests, NULL, NULL);
}
