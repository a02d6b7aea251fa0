/* Loops of many edges, which have trees of their own and are cut only where others meet them,
 * against the same circles in one piece: every distance is the same. */
#include "borelay/metal.h"

#include <stdio.h>

#include "metal/boxes.h"
#include "metal/loop.h"
#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

enum { ROUNDS = 120, POINTS = 60, ARCS = 90, VOLUMES = 5 };

static struct contour *circle(struct arena *arena, vec2 centre, double radius, double start,
                              size_t arcs) {
  struct contour *contour = hand_contour(arena, "circle", arcs);
  for (size_t i = 0; i < arcs; i++) {
    double angle = start + 2 * hand_pi * (double)i / (double)arcs;
    hand_add(contour, (struct contour_seg){.length = 2 * hand_pi * radius / (double)arcs,
                                           .start = vec2_add(centre, hand_polar(radius, angle)),
                                           .normal0 = angle,
                                           .turn = 1,
                                           .radius = radius,
                                           .centre = centre,
                                           .tangent = hand_polar(1, angle + hand_pi / 2)});
  }
  contour->centre = centre;
  return contour;
}

/* Circles that hold one another, cross, touch and coincide. */
static void scenes_make(struct random *random, struct arena *arena, struct hand_scene *plain,
                        struct hand_scene *fine) {
  vec2 centre = {0, 0};
  double radius = 50;
  hand_scene_begin(plain, arena, 0);
  hand_scene_begin(fine, arena, 0);
  for (int i = 0; i < VOLUMES; i++) {
    bool is_free = i == 0 || random_whole(random, 0, 2) > 0;
    int how = random_whole(random, 0, 3);
    double before = radius, start = random_between(random, 0, 6);
    if (i > 0 && how > 0)
      radius = random_between(random, 20, 60);
    if (how == 1) /* touches the one before from within, or is touched so */
      centre = vec2_add(centre, hand_polar(before - radius, start));
    if (how == 2)
      centre = (vec2){random_between(random, -30, 30), random_between(random, -30, 30)};
    double lo = is_free ? 10.0 * random_whole(random, 0, 3) : -20, hi = is_free ? 60 : 30;
    size_t arcs = random_whole(random, 0, 3) > 0 ? ARCS : 1; /* some stay few */
    hand_volume(plain, is_free, circle(arena, centre, radius, start, 1), lo, hi);
    hand_volume(fine, is_free, circle(arena, centre, radius, start, arcs), lo, hi);
  }
}

static void assert_same(const struct metal *plain, const struct metal *fine,
                        struct random *random) {
  vec3 a = {random_between(random, -90, 90), random_between(random, -90, 90),
            random_between(random, -80, 40)};
  double rise = random_whole(random, 0, 1) ? random_between(random, 1, 20) : 0;
  vec3 b = {a.x + random_between(random, -9, 9), a.y + random_between(random, -9, 9), a.z + rise};
  struct metal_hit p = metal_distance_point(plain, a), f = metal_distance_point(fine, a);
  assert_close(f.distance, p.distance, 1e-7, 0);
  if (p.distance > 1e-6)
    assert_false(metal_contains(fine, a));
  p = metal_distance_segment(plain, a, b, 1e-4);
  f = metal_distance_segment(fine, a, b, 1e-4);
  assert_close(f.distance, p.distance, 1.01e-4, 0);
  double radius = random_between(random, 0, 10);
  p = metal_distance_upright(plain, (vec2){a.x, a.y}, (vec2){b.x, b.y}, radius, a.z, a.z + 15);
  f = metal_distance_upright(fine, (vec2){a.x, a.y}, (vec2){b.x, b.y}, radius, a.z, a.z + 15);
  assert_close(f.distance, p.distance, 1e-7, 0);
  struct metal_region region = {.centre = {0.5 * (a.x + b.x), 0.5 * (a.y + b.y)},
                                .outer = 0.5 * hypot(b.x - a.x, b.y - a.y) + 1e-9,
                                .corner = {{a.x, a.y}, {a.x, a.y}, {b.x, b.y}, {b.x, b.y}},
                                .lo = {fmin(a.x, b.x), fmin(a.y, b.y)},
                                .hi = {fmax(a.x, b.x), fmax(a.y, b.y)},
                                .within = {a.x, a.y}};
  if (p.distance > 1e-6) /* a flat rectangle: told to the last digits */
    assert_true(metal_stays_off(fine, &region, radius, a.z, a.z + 15, p.distance - 1e-6));
  assert_false(metal_stays_off(fine, &region, radius, a.z, a.z + 15, p.distance + 1e-6));
}

static void test_many_edges_are_the_same_metal(void **state) {
  (void)state;
  struct random random = {20261130};
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene plain, fine;
    scenes_make(&random, arena, &plain, &fine);
    const struct metal *of_plain = metal_make(arena, &plain.plan, (struct clad_state){0});
    const struct metal *of_fine = metal_make(arena, &fine.plan, (struct clad_state){0});
    for (int i = 0; i < POINTS; i++)
      assert_same(of_plain, of_fine, &random);
    arena_free(arena);
  }
}

/* Clad on a wall of many edges: its face has as many. */
static void test_clad_on_many_edges(void **state) {
  (void)state;
  static const double thickness[2] = {2.5, 1.5};
  static const struct range bands[2] = {{20, 50}, {25, 45}};
  struct random random = {3};
  struct arena *arena = arena_new();
  struct hand_scene scenes[2];
  const struct metal *metals[2];
  for (int i = 0; i < 2; i++) {
    struct contour *wall = circle(arena, (vec2){4, 5}, 50, 1, i == 0 ? 1 : ARCS);
    hand_scene_begin(&scenes[i], arena, 0);
    hand_volume(&scenes[i], true, wall, 0, 80);
    hand_overlay(&scenes[i], "clad", wall, 2, thickness, bands);
    metals[i] = metal_make(arena, &scenes[i].plan, (struct clad_state){(const size_t[]){2}, true});
  }
  for (int i = 0; i < 40 * POINTS; i++)
    assert_same(metals[0], metals[1], &random);
  struct metal_hit hit = metal_distance_point(metals[1], (vec3){44, 5, -35});
  assert_close(hit.distance, 6, 1e-9, 0);
  assert_int_equal(hit.kind, METAL_CLAD);
  assert_string_equal(metal_hit_name(arena, metals[1], hit), "the clad of clad");
  arena_free(arena);
}

/* -- the tree's order ------------------------------------------------------------------------ */

static bool lies_in(struct box box, struct box node) {
  return box.lo.x >= node.lo.x && box.lo.y >= node.lo.y && box.hi.x <= node.hi.x &&
         box.hi.y <= node.hi.y;
}

/* Along the node's longer side the left half lies before the right one; of equals the earlier. */
static void test_trees_are_halves(void **state) {
  (void)state;
  enum { MOST = 300 };
  struct random random = {9};
  for (int round = 0; round < 200; round++) {
    struct arena *arena = arena_new();
    struct box boxes[MOST];
    size_t count = (size_t)random_whole(&random, 1, MOST), leaf_items = 0;
    for (size_t i = 0; i < count; i++) { /* many alike */
      vec2 at = {random_whole(&random, 0, 9), random_whole(&random, 0, 9)};
      boxes[i] = (struct box){at, vec2_add(at, (vec2){random_whole(&random, 0, 2), 1})};
    }
    struct box_tree tree = box_tree_make(arena, boxes, count);
    bool seen[MOST] = {false};
    for (size_t n = 0; n < tree.node_count; n++) {
      const struct box_node *node = &tree.nodes[n];
      bool wide = node->box.hi.x - node->box.lo.x >= node->box.hi.y - node->box.lo.y;
      for (size_t i = node->first; i < node->first + node->count; i++)
        assert_true(lies_in(boxes[tree.order[i]], node->box));
      if (node->right == 0) {
        assert_true(node->count <= 4);
        for (size_t i = node->first; i < node->first + node->count; i++, leaf_items++)
          seen[tree.order[i]] = true;
        continue;
      }
      size_t middle = tree.nodes[node->right].first;
      assert_int_equal(middle, node->first + node->count / 2);
      for (size_t i = node->first; i < middle; i++)
        for (size_t k = middle; k < node->first + node->count; k++) {
          struct box p = boxes[tree.order[i]], q = boxes[tree.order[k]];
          double x = wide ? p.lo.x + p.hi.x : p.lo.y + p.hi.y;
          double y = wide ? q.lo.x + q.hi.x : q.lo.y + q.hi.y;
          assert_true(x < y || (x == y && tree.order[i] < tree.order[k]));
        }
    }
    assert_int_equal(leaf_items, count);
    for (size_t i = 0; i < count; i++)
      assert_true(seen[i]);
    arena_free(arena);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_many_edges_are_the_same_metal),
      cmocka_unit_test(test_clad_on_many_edges),
      cmocka_unit_test(test_trees_are_halves),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
