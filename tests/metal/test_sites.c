/* Metal by sites against the same metal as one: a volume far below everything else, which joins all
 * boxes, changes no distance above it. */
#include <stdio.h>

#include "metal/state.h"
#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

enum { ROUNDS = 60, QUERIES = 60, PLACES = 4 };
static const double TOLERANCE = 1e-4;

static vec2 place(int i) {
  return (vec2){i % 2 * 140.0, i / 2 * 130.0};
}

/* At four places: bores and cavities with ledges, posts on the face, clad. */
static void scene_make(struct hand_scene *scene, struct arena *arena, struct random *random,
                       bool joined) {
  static const char *const names[PLACES] = {"one", "two", "three", "four"};
  static const double thickness[2] = {2, 1.5};
  hand_scene_begin(scene, arena, 0);
  for (int i = 0; i < PLACES; i++) {
    double depth = random_between(random, 30, 200), ledge = random_between(random, 10, depth);
    struct contour *wall =
        random_whole(random, 0, 1)
            ? hand_round(arena, names[i], place(i), random_between(random, 20, 60), i)
            : hand_racetrack(arena, names[i], place(i), random_between(random, 5, 40),
                             random_between(random, 20, 40), random_between(random, 0, 3));
    if (random_whole(random, 0, 4) > 0)
      hand_volume(scene, true, wall, 0, depth);
    if (random_whole(random, 0, 1))
      hand_volume(scene, true, hand_round(arena, "neck", place(i), 15, 1), 0, ledge + 100);
    if (random_whole(random, 0, 1))
      hand_volume(scene, false,
                  hand_round(arena, "post", vec2_add(place(i), hand_polar(30, 2 * i)),
                             random_between(random, 4, 20), 0),
                  random_between(random, -60, -5), random_between(random, -4, 10));
    struct range bands[2] = {{10, ledge + 10}, {10, ledge}};
    hand_overlay(scene, names[i], wall, 2, thickness, bands);
  }
  if (joined)
    hand_volume(scene, true, hand_rectangle(arena, "below", (vec2){0, 0}, 3000, 3000, 10, 0), 2000,
                2001);
}

static vec3 random_point(struct random *random) {
  return (vec3){random_between(random, -90, 230), random_between(random, -90, 220),
                random_whole(random, 0, 1) ? random_between(random, -220, 0)
                                           : random_between(random, -5, 80)};
}

static void told_alike(struct arena *arena, const struct metal *apart, struct metal_hit a,
                       const struct metal *joined, struct metal_hit b, double tolerance) {
  assert_close(a.distance, b.distance, tolerance, 0);
  if (tolerance <= 1e-9 && a.distance > 0 && !isinf(a.distance))
    assert_string_equal(metal_hit_name(arena, apart, a), metal_hit_name(arena, joined, b));
}

static void query(struct arena *arena, const struct metal *apart, const struct metal *joined,
                  struct random *random) {
  vec3 a = random_point(random), b = random_point(random);
  vec2 p = {a.x, a.y}, q = {b.x, b.y};
  double radius = random_between(random, 0, 30), height = random_between(random, 0, 60);
  assert_int_equal(metal_contains(apart, a), metal_contains(joined, a));
  told_alike(arena, apart, metal_distance_point(apart, a), joined, metal_distance_point(joined, a),
             1e-9);
  assert_close(metal_distance_upright(apart, p, q, radius, a.z, a.z + height).distance,
               metal_distance_upright(joined, p, q, radius, a.z, a.z + height).distance, 1e-9, 0);
  vec3 near = {a.x + 0.2 * (b.x - a.x), a.y + 0.2 * (b.y - a.y), a.z + 0.3 * (b.z - a.z)};
  told_alike(arena, apart, metal_distance_segment(apart, a, near, TOLERANCE), joined,
             metal_distance_segment(joined, a, near, TOLERANCE), TOLERANCE);
  told_alike(arena, apart, metal_distance_segment(apart, a, b, TOLERANCE), joined,
             metal_distance_segment(joined, a, b, TOLERANCE), TOLERANCE);
}

/* The largest distance that is quickly told, found by halves. */
static double largest_told(const struct metal *metal, vec2 a, vec2 b, double radius, double z_lo,
                           double z_hi) {
  double lo = 0, hi = 500;
  for (int i = 0; i < 40; i++) {
    double middle = 0.5 * (lo + hi);
    if (metal_upright_stays_off(metal, a, b, radius, z_lo, z_hi, middle))
      lo = middle;
    else
      hi = middle;
  }
  return lo;
}

/* Never more than is so; whether most of it is told. */
static bool query_quickly(const struct metal *metal, struct random *random) {
  vec3 a = random_point(random);
  vec2 p = {a.x, a.y}, q = vec2_add(p, hand_polar(random_between(random, 0, 20), a.z));
  double radius = random_between(random, 0, 10), top = a.z + random_between(random, 0, 40);
  double is = metal_distance_upright(metal, p, q, radius, a.z, top).distance;
  double told = largest_told(metal, p, q, radius, a.z, top);
  assert_true(told <= is + 1e-9);
  return is > 1 && told > 0.9 * is;
}

static struct metal_region region_of(struct random *random) {
  vec3 centre = random_point(random);
  double radius = random_between(random, 0, 200);
  struct metal_region region = {.is_ring = random_whole(random, 0, 1),
                                .centre = {centre.x, centre.y},
                                .inner = radius,
                                .outer = radius + random_between(random, 0, 10)};
  double half = region.is_ring ? region.outer : random_between(random, 0, 90);
  if (!region.is_ring)
    region.outer = half * 1.4143;
  region.lo = (vec2){centre.x - half, centre.y - half};
  region.hi = (vec2){centre.x + half, centre.y + half};
  region.corner[0] = region.lo;
  region.corner[1] = (vec2){region.hi.x, region.lo.y};
  region.corner[2] = region.hi;
  region.corner[3] = (vec2){region.lo.x, region.hi.y};
  region.within = region.is_ring ? (vec2){centre.x, centre.y + radius} : region.lo;
  return region;
}

static int query_region(const struct metal *apart, const struct metal *joined,
                        struct random *random) {
  struct metal_region region = region_of(random);
  double z = random_point(random).z, height = random_between(random, 0, 40);
  double radius = random_between(random, 0, 10), distance = random_between(random, 0.1, 10);
  bool a = metal_stays_off(apart, &region, radius, z, z + height, distance);
  assert_int_equal(a, metal_stays_off(joined, &region, radius, z, z + height, distance));
  return a;
}

static void test_apart_as_joined(void **state) {
  (void)state;
  struct random random = {77};
  int stay_off = 0, quickly = 0;
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene apart, joined;
    struct random again = random;
    scene_make(&apart, arena, &random, false);
    scene_make(&joined, arena, &again, true);
    size_t layers[PLACES];
    for (int i = 0; i < PLACES; i++)
      layers[i] = (size_t)random_whole(&random, 0, 2);
    struct clad_state clad = {layers, random_whole(&random, 0, 1)};
    const struct metal *a = metal_make(arena, &apart.plan, clad);
    const struct metal *b = metal_make(arena, &joined.plan, clad);
    assert_true(a->sites.count > 1);
    assert_int_equal(b->sites.count, 1);
    for (int i = 0; i < QUERIES; i++) {
      query(arena, a, b, &random);
      stay_off += query_region(a, b, &random);
      quickly += query_quickly(a, &random) + query_quickly(b, &random);
    }
    arena_free(arena);
  }
  print_message("%d regions stay off, %d solids are quickly told to\n", stay_off, quickly);
  assert_true(stay_off > ROUNDS && quickly > ROUNDS);
}

/* Slabs in which the kept metal has the very cross-section that it has without clad. */
static int sections_shared(const struct metal *kept, const struct metal *bare) {
  int shared = 0;
  for (size_t i = 0; i < kept->sites.count; i++)
    for (size_t k = 0; k < kept->stacks[i].count; k++)
      for (size_t j = 0; j < bare->stacks[i].count; j++)
        shared += kept->stacks[i].slabs[k].section == bare->stacks[i].slabs[j].section;
  return shared;
}

/* With the metal without clad to begin with: the same, and what has no clad is not made again. */
static void test_kept_from_bare(void **state) {
  (void)state;
  struct random random = {6};
  for (int round = 0; round < ROUNDS / 4; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    scene_make(&scene, arena, &random, round % 3 == 0);
    size_t layers[PLACES] = {0};
    struct metal_kept kept = {
        .home = round % 4 < 2 ? arena : NULL,
        .bare = metal_make(arena, &scene.plan, (struct clad_state){.layers = NULL})};
    bool nominal = round % 2 == 0;
    for (int step = 0; step < 40; step++) { /* begun afresh in between */
      struct clad_state clad = {layers, nominal};
      const struct metal *a = metal_keep(&kept, &scene.plan, clad);
      const struct metal *b = metal_make(arena, &scene.plan, clad);
      for (int i = 0; i < QUERIES / 10; i++) {
        vec3 p = random_point(&random);
        told_alike(arena, a, metal_distance_point(a, p), b, metal_distance_point(b, p), 0);
      }
      assert_true(sections_shared(a, kept.bare) > 0);
      for (size_t i = 0; i < a->sites.count && step == 0; i++)
        assert_ptr_equal(a->stacks[i].slabs, kept.bare->stacks[i].slabs);
      layers[random_whole(&random, 0, PLACES - 1)] = (size_t)random_whole(&random, 0, 2);
    }
    metal_kept_release(&kept);
    arena_free(arena);
  }
}

/* A second walk over the same states takes from the first one's last what they have in common. */
static void test_kept_given_on(void **state) {
  (void)state;
  struct random random = {7};
  for (int round = 0; round < ROUNDS / 4; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    scene_make(&scene, arena, &random, round % 3 == 0);
    size_t layers[PLACES] = {0};
    bool nominal = round % 2 == 0;
    struct metal_kept first = {
        .home = round % 4 < 2 ? arena : NULL,
        .bare = metal_make(arena, &scene.plan, (struct clad_state){.layers = NULL})};
    assert_null(metal_kept_give(&first, arena));
    for (int i = 0; i < PLACES; i++) {
      layers[i] = 2;
      metal_keep(&first, &scene.plan, (struct clad_state){layers, nominal});
    }
    assert_true(first.home ? !first.arena : first.arena != NULL);
    struct metal_kept second = {.bare = first.bare, .other = metal_kept_give(&first, arena)};
    assert_null(first.metal);
    for (int i = 0; i < PLACES; i++)
      layers[i] = 0;
    for (int i = 0; i < PLACES; i++) {
      layers[i] = 2;
      struct clad_state clad = {layers, nominal};
      const struct metal *a = metal_keep(&second, &scene.plan, clad);
      const struct metal *b = metal_make(arena, &scene.plan, clad);
      for (int k = 0; k < QUERIES / 4; k++) {
        vec3 p = random_point(&random);
        told_alike(arena, a, metal_distance_point(a, p), b, metal_distance_point(b, p), 0);
      }
      const struct stack *stack = &a->stacks[a->sites.of_overlay[i]];
      const struct stack *other = &second.other->stacks[a->sites.of_overlay[i]];
      for (size_t k = 0; k < stack->count && a->sites.count == PLACES; k++)
        assert_ptr_equal(stack->slabs[k].section, other->slabs[k].section);
    }
    metal_kept_release(&second);
    arena_free(arena);
  }
}

/* What is kept from state to state is what would be made anew. */
static void test_kept_as_made(void **state) {
  (void)state;
  struct random random = {5};
  for (int round = 0; round < ROUNDS / 4; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct metal_kept kept = {0};
    scene_make(&scene, arena, &random, round % 3 == 0);
    size_t layers[PLACES] = {0};
    for (int step = 0; step < 12; step++) {
      layers[random_whole(&random, 0, PLACES - 1)] = (size_t)random_whole(&random, 0, 2);
      struct clad_state clad = {layers, false};
      const struct metal *a = metal_keep(&kept, &scene.plan, clad);
      const struct metal *b = metal_make(arena, &scene.plan, clad);
      for (int i = 0; i < QUERIES / 4; i++) {
        vec3 p = random_point(&random);
        told_alike(arena, a, metal_distance_point(a, p), b, metal_distance_point(b, p), 0);
      }
    }
    metal_kept_release(&kept);
    arena_free(arena);
  }
}

/* Nothing but the face below: the bare part. */
static void test_no_volume_at_all(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  hand_scene_begin(&scene, arena, 100);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  struct metal_hit hit = metal_distance_point(metal, (vec3){3, 4, 112});
  assert_close(hit.distance, 12, 1e-12, 0);
  assert_string_equal(metal_hit_name(arena, metal, hit), "the datum face");
  assert_true(metal_contains(metal, (vec3){3, 4, 99}));
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_apart_as_joined),  cmocka_unit_test(test_kept_as_made),
      cmocka_unit_test(test_kept_from_bare),   cmocka_unit_test(test_kept_given_on),
      cmocka_unit_test(test_no_volume_at_all),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
