/* The plane's cut against src/metal, which makes its cross-sections in another way: a point of the
 * plane is drawn as metal where metal_contains() holds. */
#include "draw/drawn.h"

#include "borelay/metal.h"
#include "draw/nearest.h"
#include "draw/stack.h"
#include "support/random.h"

struct program {
  const char *name, *path;
};

enum { PLANES = 60, POINTS = 60, SEED = 977 };

static bool parts_hold(const struct slab_part *parts, size_t count, double out, double depth) {
  for (size_t i = 0; i < count; i++)
    if (out >= parts[i].out.lo && out <= parts[i].out.hi && depth >= parts[i].depths.lo &&
        depth <= parts[i].depths.hi)
      return true;
  return false;
}

/* Nearer to any edge than this, either may be right. */
static bool near_edge(const struct slab_part *parts, size_t count, double out, double depth) {
  const double near = 1e-5;
  for (size_t i = 0; i < count; i++)
    if (fabs(out - parts[i].out.lo) < near || fabs(out - parts[i].out.hi) < near ||
        fabs(depth - parts[i].depths.lo) < near || fabs(depth - parts[i].depths.hi) < near)
      return true;
  return false;
}

static void one_plane(struct arena *arena, const struct outcome *outcome, struct random *random) {
  const struct plan *plan = outcome->plan;
  double t = random_between(random, 0, (double)outcome->motion->ticks * outcome->job->cell->tick);
  struct instant now = instant_at(arena, outcome->motion, t);
  const struct metal *metal = metal_make(arena, plan, (struct clad_state){now.layers, false});
  struct stack stack = stack_make(arena, outcome, now.layers);
  vec2 from = {plan->overlays[0].contour->centre.x + random_between(random, -30, 30),
               plan->overlays[0].contour->centre.y + random_between(random, -30, 30)};
  double angle = random_between(random, 0, 7);
  vec2 along = {cos(angle), sin(angle)};
  struct slab_part *parts;
  size_t count = stack_cut(arena, &stack, from, along, (struct range){-150, 150},
                           (struct range){-60, 200}, &parts);
  for (int i = 0; i < POINTS; i++) {
    double out = random_between(random, -150, 150), depth = random_between(random, -60, 200);
    vec3 p = {from.x + out * along.x, from.y + out * along.y, plan->placement.at.z - depth};
    if (near_edge(parts, count, out, depth))
      continue;
    if (metal_contains(metal, p) != parts_hold(parts, count, out, depth))
      fail_msg("t %.3f, from (%.4f, %.4f), angle %.6f: out %.5f, depth %.5f", t, from.x, from.y,
               angle, out, depth);
  }
}

static void cuts(void **state) {
  const struct program *program = *state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, program->path);
  struct random random = {SEED};
  print_message("seed %d\n", SEED);
  for (int i = 0; i < PLANES; i++)
    one_plane(arena, &outcome, &random);
  arena_free(arena);
}

/* A body of radius 10 from the face down to depth 50, a torch of radius 4 along out at depth 45,
 * its axis ending at out 30; metal in three places. */
static void nearest(void **state) {
  (void)state;
  struct body body = {.name = "stem", .radius = 10, .heights = {-350, 0}};
  struct cell cell = {.bodies = &body,
                      .body_count = 1,
                      .torch = {"torch", {0, 0, -345}, {30, 0, -345}, 4, {{0}, NULL, 0}}};
  const struct {
    const char *name;
    struct slab_part metal;
    double distance;
    const char *part;
  } cases[] = {
      {"beside the body", {.out = {-60, -17}, .depths = {0, 40}}, 7, "stem"},
      {"before the torch", {.out = {37.5, 60}, .depths = {0, 90}}, 3.5, "torch body"},
      {"under the torch", {.out = {20, 25}, .depths = {55, 90}}, 6, "torch body"},
      {"a corner, 3 4 5", {.out = {33, 60}, .depths = {49, 90}}, 1, "torch body"},
      {"under the body's corner, 3 4 5", {.out = {-60, -13}, .depths = {54, 90}}, 5, "stem"},
      {"through the torch", {.out = {18, 22}, .depths = {0, 90}}, 0, "torch body"},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    struct nearest found = nearest_find(&cell, 300, &cases[i].metal, 1);
    print_message("%s\n", cases[i].name);
    assert_close(found.distance, cases[i].distance, 1e-12, 0);
    assert_string_equal(found.part, cases[i].part);
    assert_close(hypot(found.head.x - found.metal.x, found.head.y - found.metal.y), found.distance,
                 1e-12, 0);
  }
}

static double true_distance(const struct cell *cell, const struct metal *metal, struct pose pose) {
  double least = INFINITY;
  vec2 h = {pose.x, pose.y};
  for (size_t i = 0; i < cell->body_count; i++) {
    const struct body *body = &cell->bodies[i];
    struct metal_hit hit = metal_distance_upright(
        metal, h, h, body->radius, pose.z + body->heights.lo, pose.z + body->heights.hi);
    least = fmin(least, hit.distance);
  }
  double c = cos(pose.head), s = sin(pose.head);
  vec3 a = {pose.x + cell->torch.from.x * c, pose.y + cell->torch.from.x * s,
            pose.z + cell->torch.from.z};
  vec3 b = {pose.x + cell->torch.to.x * c, pose.y + cell->torch.to.x * s,
            pose.z + cell->torch.to.z};
  struct metal_hit hit = metal_distance_segment(metal, a, b, 1e-6);
  return fmin(least, fmax(hit.distance - cell->torch.radius, 0));
}

static double plane_distance(struct arena *arena, const struct outcome *outcome,
                             const struct instant *now) {
  struct stack stack = stack_make(arena, outcome, now->layers);
  struct slab_part *parts;
  vec2 along = {cos(now->pose.head), sin(now->pose.head)};
  size_t count = stack_cut(arena, &stack, (vec2){now->pose.x, now->pose.y}, along,
                           (struct range){-400, 400}, (struct range){-700, 400}, &parts);
  double above = now->pose.z - outcome->plan->placement.at.z;
  return nearest_find(outcome->job->cell, above, parts, count).distance;
}

/* Never less than the true distance; and just that in a round bore, where the plane of the torch
 * goes through the bore's axis while the arc is on. */
static void against_truth(void **state) {
  const struct program *program = *state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, program->path);
  struct random random = {SEED};
  double most = (double)outcome.motion->ticks * outcome.job->cell->tick;
  bool is_round = outcome.plan->overlays[0].contour->shape->kind == SHAPE_ROUND;
  int alike = 0;
  print_message("seed %d\n", SEED);
  for (int i = 0; i < 200; i++) {
    struct instant now = instant_at(arena, outcome.motion, random_between(&random, 0, most));
    const struct metal *metal =
        metal_make(arena, outcome.plan, (struct clad_state){now.layers, false});
    double truth = true_distance(outcome.job->cell, metal, now.pose);
    double plane = plane_distance(arena, &outcome, &now);
    if (plane < truth - 1e-5)
      fail_msg("t %.3f: %.6f mm in the plane, %.6f in truth", now.t, plane, truth);
    if (is_round && now.phase->kind == PHASE_WELD) {
      assert_close(plane, truth, 1e-4, 0);
      alike++;
    }
  }
  assert_true(!is_round || alike > 50);
  arena_free(arena);
}

int main(void) {
  static struct program programs[] = {{"rings in two layers", "programs/valve_bore.lay"},
                                      {"a keyway", "programs/keyway_track.lay"},
                                      {"a boss", "programs/boss_cavity.lay"},
                                      {"two bores", "programs/twin_bores.lay"},
                                      {"a gland", "programs/gland_chamber.lay"},
                                      {"a pocket", "programs/corner_pocket.lay"}};
  enum { COUNT = sizeof programs / sizeof programs[0] };
  struct CMUnitTest tests[COUNT + 3];
  for (size_t i = 0; i < COUNT; i++)
    tests[i] = (struct CMUnitTest){programs[i].name, cuts, NULL, NULL, &programs[i]};
  tests[COUNT] = (struct CMUnitTest)cmocka_unit_test(nearest);
  tests[COUNT + 1] =
      (struct CMUnitTest){"distances in a bore", against_truth, NULL, NULL, &programs[0]};
  tests[COUNT + 2] =
      (struct CMUnitTest){"distances in a pocket", against_truth, NULL, NULL, &programs[5]};
  int failed = cmocka_run_group_tests_name("draw/section", tests, NULL, NULL);
  xmlCleanupParser();
  return failed;
}
