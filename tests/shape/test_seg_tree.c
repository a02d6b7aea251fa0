/* What comes near a place, by the tree and by looking at every segment. */
#include "support/close.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "shape/seg_tree.h"
#include "shape/segments.h"
#include "support/random.h"

enum { SEGS = 61, ROUNDS = 40, PLACES = 50 };

static struct contour_seg some_seg(struct random *random) {
  struct contour_seg seg = {.turn = random_whole(random, -1, 1),
                            .length = random_between(random, 0.1, 30)};
  seg.start = (vec2){random_between(random, -100, 100), random_between(random, -100, 100)};
  seg.normal0 = random_between(random, -NUM_PI, NUM_PI);
  struct sincos normal = num_sincos(seg.normal0);
  seg.tangent = (vec2){-normal.sin, normal.cos};
  seg.radius = seg.turn == 0 ? 0 : random_between(random, 5, 60);
  seg.centre =
      vec2_sub(seg.start, vec2_scale((vec2){normal.cos, normal.sin}, seg.turn * seg.radius));
  return seg;
}

/* Nothing that comes near is passed over, and all that is found lies within its circle's reach. */
static void same_as_all(void **state) {
  (void)state;
  struct random random = {20260731};
  size_t near_ones = 0;
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct contour_seg segs[SEGS];
    size_t count = (size_t)random_whole(&random, 1, SEGS);
    for (size_t i = 0; i < count; i++)
      segs[i] = some_seg(&random);
    struct seg_tree tree = seg_tree_make(arena, segs, count);
    for (int k = 0; k < PLACES; k++) {
      vec2 at = {random_between(&random, -120, 120), random_between(&random, -120, 120)};
      double reach = random_between(&random, 0, 40);
      size_t next = seg_tree_next(&tree, 0, at, reach);
      for (size_t i = 0; i < count; i++) {
        double least = HUGE_VAL;
        for (int n = 0; n <= 20; n++) {
          vec2 p = seg_point(&segs[i], segs[i].length * n / 20, 0).at;
          least = fmin(least, num_hypot(p.x - at.x, p.y - at.y));
        }
        bool is_found = next == i;
        if (least <= reach) {
          assert_true(is_found);
          near_ones++;
        }
        if (is_found) {
          assert_true(least <= reach + segs[i].length + 1e-6);
          next = seg_tree_next(&tree, i + 1, at, reach);
        }
      }
      assert_int_equal(next, count);
    }
    arena_free(arena);
  }
  assert_true(near_ones > 1000);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(same_as_all)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
