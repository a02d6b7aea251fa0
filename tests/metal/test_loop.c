/* Loops of many edges against a polygon of many more: which points they hold, and where they lie on
 * them.  Crossing count of a ray: the usual even-odd rule. */
#include "metal/loop.h"

#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

enum { ROUNDS = 40, CORNERS = 40, PER_SEG = 12, POINTS = 200 };

struct polygon {
  vec2 points[2 * CORNERS * PER_SEG];
  size_t count;
};

static struct polygon polygon_of(const struct contour *contour) {
  struct polygon polygon = {.count = 0};
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    vec2 next = contour->segs[(i + 1) % contour->count].start;
    vec2 out = vec2_sub(seg->start, seg->centre);
    for (int k = 0; k < PER_SEG; k++) {
      double share = (double)k / PER_SEG;
      double angle = atan2(out.y, out.x) + seg->turn * share * seg->length / seg->radius;
      polygon.points[polygon.count++] =
          seg->turn == 0 ? vec2_add(seg->start, vec2_scale(vec2_sub(next, seg->start), share))
                         : vec2_add(seg->centre, hand_polar(seg->radius, angle));
    }
  }
  return polygon;
}

static bool polygon_holds(const struct polygon *polygon, vec2 p) {
  bool inside = false;
  for (size_t i = 0; i < polygon->count; i++) {
    vec2 a = polygon->points[i], b = polygon->points[(i + 1) % polygon->count];
    if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y))
      inside = !inside;
  }
  return inside;
}

static double polygon_distance(const struct polygon *polygon, vec2 p) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < polygon->count; i++) {
    struct edge edge = edge_line(polygon->points[i], polygon->points[(i + 1) % polygon->count]);
    least = fmin(least, edge_distance_point(&edge, p));
  }
  return least;
}

/* A wall that goes in and out, its corners rounded. */
static struct contour *wall_make(struct arena *arena, struct random *random) {
  vec2 corner[CORNERS];
  double radius[CORNERS];
  for (int i = 0; i < CORNERS; i++) {
    corner[i] = hand_polar(random_between(random, 45, 55), 2 * hand_pi * i / CORNERS);
    radius[i] = 0.3;
  }
  return hand_rounded(arena, "wall", corner, radius, CORNERS);
}

static void test_many_edges(void **state) {
  (void)state;
  struct random random = {31};
  int held = 0;
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct contour *contour = wall_make(arena, &random);
    struct loop loop = loop_make(arena, contour, NULL, METAL_VOLUME, 0);
    struct polygon polygon = polygon_of(contour);
    assert_true(loop.count > 2 * CORNERS - 1);
    for (int i = 0; i < POINTS; i++) {
      vec2 p = hand_polar(random_between(&random, 0, 60), random_between(&random, 0, 7));
      if (polygon_distance(&polygon, p) < 0.01)
        continue;
      assert_int_equal(loop_holds(&loop, p), polygon_holds(&polygon, p));
      assert_int_equal(loop_place_of(&loop, p, 1e-8).inside, polygon_holds(&polygon, p));
      held += loop_holds(&loop, p);
    }
    for (size_t i = 0; i < contour->count; i++) {
      struct loop_place place = loop_place_of(&loop, contour->segs[i].start, 1e-8);
      assert_true(place.on);
    }
    arena_free(arena);
  }
  assert_true(held > ROUNDS * POINTS / 4);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_many_edges)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
