/* Parts of a standing head against metal: closed forms, and the least of many sampled places. */
#include "verify/near.h"

#include "borelay/num.h"
#include "support/random.h"
#include "verify/hand_job.h"

enum { BORE_RADIUS = 89 };

/* A rectangle of 400 x 100 mm beside the bore's job, for walls that run along the torch. */
static const struct solid *solid_of(struct hand_job *hand, bool is_rectangle) {
  if (is_rectangle)
    hand->shapes[0] = (struct shape){
        .name = "slot", .kind = SHAPE_RECTANGLE, .length = 400, .width = 100, .corner = 20};
  struct lay_stack *stack = arena_alloc(hand->arena, 1, sizeof *stack);
  *stack = lay_stack_make(hand->arena, &hand->job);
  return solid_make(hand->arena, &hand->job, stack);
}

/* Bare metal; the torch points along +X. */
static struct look look_at(const struct hand_job *hand, const struct solid *solid, enum group_id id,
                           vec3 h, double shift) {
  return (struct look){.cell = &hand->cell,
                       .solid = solid,
                       .id = id,
                       .limit = 1,
                       .shift = shift,
                       .h = {h.x, h.y},
                       .z = h.z,
                       .torch = {0, 1}};
}

static struct capsule capsule_of(double radius, vec3 from, vec3 to) {
  return (struct capsule){.radius = radius, .from = from, .to = to};
}

/* Gives and takes of the search: docs/verify.md, "Clearance". */
static void assert_near(double told, double truth) {
  double room = truth - 1, give = fmax(2 * NEAR_FINEST, (room < 0 ? -room : room) / 4);
  assert_true(told <= truth + 1e-9);
  assert_true(told >= truth - give - 1e-9);
}

struct stand {
  const char *name;
  bool is_rectangle;
  struct capsule torch;
  vec3 h;
  double shift, distance;
};
static const struct stand STANDS[] = {
    {"level, above the datum face",
     false,
     {.radius = 7, .from = {0, 0, 0}, .to = {32, 0, 0}},
     {200, 0, 8.9},
     1,
     1.9},
    {"level, its ball below the datum face",
     false,
     {.radius = 7, .from = {0, 0, 0}, .to = {32, 0, 0}},
     {200, 0, 7.5},
     1,
     0.5},
    {"above the bore's edge: 3 beside it, 4 above",
     false,
     {.radius = 2, .from = {0, 0, 0}, .to = {-40, 0, 0}},
     {86, 0, 4},
     0,
     3},
    {"along a straight wall",
     true,
     {.radius = 7, .from = {0, 0, 0}, .to = {32, 0, 0}},
     {0, 41, -60},
     1,
     2},
    {"its end before the bore's wall, shifted",
     false,
     {.radius = 7, .from = {0, 0, 20}, .to = {32, 0, 0}},
     {BORE_RADIUS - 41, 0, -60},
     1,
     1},
    {"upright", false, {.radius = 5, .from = {10, 0, 80}, .to = {10, 0, 0}}, {72, 0, -60}, 1, 1},
    {"upright, over the floor",
     false,
     {.radius = 5, .from = {10, 0, 80}, .to = {10, 0, 0}},
     {0, 0, -113},
     1,
     2},
};

static void test_stand(void **state) {
  const struct stand *stand = *state;
  struct hand_job *hand = hand_job_new();
  const struct solid *solid = solid_of(hand, stand->is_rectangle);
  hand->cell.torch = stand->torch;
  struct look look = look_at(hand, solid, GROUP_TORCH, stand->h, stand->shift);
  assert_near(look_distance(&look), stand->distance);
  arena_free(hand->arena);
}

/* 4 m of a guard that lies a hair above what is asked for, all along: searched by its ends alone it
 * would take millions of looks, and this test for ever. */
static void test_long_guard(void **state) {
  (void)state;
  struct hand_job *hand = hand_job_new();
  const struct solid *solid = solid_of(hand, true);
  struct capsule guard = capsule_of(6, (vec3){-4000, 0, 0}, (vec3){0, 0, 0});
  hand->cell.torch = capsule_of(1, (vec3){0, 0, 200}, (vec3){0, 0, 190});
  hand->cell.guards = &guard;
  hand->cell.guard_count = 1;
  for (int i = 0; i < 500; i++) {
    double room = 1e-5 * (i + 1);
    struct look above = look_at(hand, solid, GROUP_TORCH, (vec3){-300, 0, 7 + room}, 1);
    assert_near(look_distance(&above), 1 + room);
  }
  arena_free(hand->arena);
}

static double sampled(const struct hand_job *hand, const struct solid *solid,
                      const struct look *look, double *step) {
  enum { ALONG = 400, ASIDE = 20 };
  const struct capsule *torch = &hand->cell.torch;
  vec3 d = {torch->to.x - torch->from.x, torch->to.y - torch->from.y, torch->to.z - torch->from.z};
  double least = INFINITY;
  for (int i = 0; i <= ALONG; i++)
    for (int k = -ASIDE; k <= ASIDE; k++) {
      double u = (double)i / ALONG;
      vec2 at = {look->h.x + torch->from.x + u * d.x + look->shift * k / ASIDE,
                 look->h.y + torch->from.y + u * d.y};
      double z = look->z + torch->from.z + u * d.z;
      least = fmin(least, solid_distance(solid, look->standing, at, z, z, 0) - torch->radius);
    }
  *step = sqrt(d.x * d.x + d.y * d.y + d.z * d.z) / ALONG / 2 + look->shift / ASIDE / 2;
  return least;
}

static void test_sampled(void **state) {
  (void)state;
  struct random random = {20};
  size_t near = 0;
  for (int i = 0; i < 200; i++) {
    struct hand_job *hand = hand_job_new();
    const struct solid *solid = solid_of(hand, i % 2 == 0);
    hand->cell.torch =
        capsule_of(random_between(&random, 0.5, 9), (vec3){0, 0, 0},
                   (vec3){random_between(&random, 5, 60), random_between(&random, -20, 20),
                          random_between(&random, -60, 60)});
    vec3 h = {random_between(&random, -60, 60), random_between(&random, -40, 40),
              random_between(&random, -130, 60)};
    struct look look = look_at(hand, solid, GROUP_TORCH, h, random_between(&random, 0, 2));
    double told = look_distance(&look), step, least = sampled(hand, solid, &look, &step);
    assert_true(told <= least + 1e-9);
    double room = least - 1, give = fmax(2 * NEAR_FINEST, fabs(room) / 4) + step;
    if (least > -1 && least < 4) { /* farther, or deeper, only that it is so is told */
      assert_true(told >= least - give - 1e-9);
      near++;
    } else {
      assert_true(least < 0 ? told < -1 + step : told >= 4 - give);
    }
    arena_free(hand->arena);
  }
  assert_in_range(near, 10, 150);
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(STANDS) + 2];
  size_t count = 0;
  for (; count < COUNT(STANDS); count++)
    tests[count] = (struct CMUnitTest){STANDS[count].name, test_stand, NULL, NULL,
                                       (void *)(uintptr_t)&STANDS[count]};
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_long_guard);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_sampled);
  return cmocka_run_group_tests(tests, NULL, NULL);
}
