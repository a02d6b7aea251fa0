/* Strips against points of the edges that they are made of. */
#include "metal/strip.h"

#include "borelay/num.h"
#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

enum { ROUNDS = 400, EDGES = 12, POINTS = 25 };

/* Arcs and lines one after another, as along a wall, or anywhere. */
static size_t edges_make(struct random *random, struct edge *edges, double *sweeps) {
  size_t count = (size_t)random_whole(random, 1, EDGES);
  bool follow = random_whole(random, 0, 1);
  vec2 at = {random_between(random, -50, 50), random_between(random, -50, 50)};
  for (size_t i = 0; i < count; i++) {
    double angle = random_between(random, 0, 6.28), radius = random_between(random, 1, 40);
    if (!follow)
      at = (vec2){random_between(random, -50, 50), random_between(random, -50, 50)};
    sweeps[i] = random_whole(random, 0, 1) ? random_between(random, -1.5, 1.5) : 0;
    vec2 centre = vec2_sub(at, hand_polar(radius, angle));
    vec2 to = sweeps[i] == 0 ? vec2_add(at, hand_polar(radius, angle))
                             : vec2_add(centre, hand_polar(radius, angle + sweeps[i]));
    edges[i] = sweeps[i] == 0 ? edge_line(at, to)
                              : edge_arc(at, to, centre, radius, sweeps[i] > 0 ? 1 : -1);
    at = to;
  }
  return count;
}

static vec2 point_of(const struct edge *edge, double sweep, double share) {
  if (sweep == 0)
    return vec2_add(edge->a, vec2_scale(vec2_sub(edge->b, edge->a), share));
  vec2 out = vec2_sub(edge->a, edge->centre);
  return vec2_add(edge->centre, hand_polar(edge->radius, atan2(out.y, out.x) + share * sweep));
}

static void test_all_points_lie_within(void **state) {
  (void)state;
  struct random random = {20261129};
  for (int round = 0; round < ROUNDS; round++) {
    struct edge edges[EDGES];
    double sweeps[EDGES];
    size_t count = edges_make(&random, edges, sweeps);
    struct strip strip = strip_of(edges, count);
    vec2 p = {random_between(&random, -90, 90), random_between(&random, -90, 90)};
    double nearest = strip_nearest(&strip, p), farthest = strip_farthest(&strip, p);
    for (size_t i = 0; i < count; i++)
      for (int k = 0; k <= POINTS; k++) {
        vec2 q = point_of(&edges[i], sweeps[i], (double)k / POINTS);
        double distance = hypot(q.x - p.x, q.y - p.y);
        assert_true(distance >= nearest - 1e-9 && distance <= farthest + 1e-9);
      }
  }
}

/* Sixteen arcs of a circle that follow one another leave their chord by no more than its sagitta.
 */
static void test_thin_along_a_wall(void **state) {
  (void)state;
  struct edge edges[16];
  const double radius = 50, step = 0.02, first = 0.3;
  for (int i = 0; i < 16; i++)
    edges[i] = edge_arc(hand_polar(radius, first + i * step),
                        hand_polar(radius, first + (i + 1) * step), (vec2){0, 0}, radius, 1);
  struct strip strip = strip_of(edges, 16);
  double whole = radius * (1 - cos(16 * step / 2)), one = radius * (1 - cos(step / 2));
  assert_true(strip.half <= whole + one + 1e-9);
  assert_true(strip_nearest(&strip, (vec2){0, 0}) >= radius - 2 * whole - one - 1e-9);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_all_points_lie_within),
      cmocka_unit_test(test_thin_along_a_wall),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
