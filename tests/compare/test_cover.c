/* Wall covered by one set of strips and not by another: areas in closed form. */
#include "compare/cover_change.h"

#include <math.h>

#include "borelay/arena.h"
#include "support/close.h"

static struct cover_parts only(struct arena *arena, struct laid_strip *a, size_t a_count,
                               struct laid_strip *b, size_t b_count) {
  struct laid with = {a, a_count}, without = {b, b_count};
  return cover_only(arena, &with, &without, 100);
}

static void test_shift(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct laid_strip a[] = {{0, 100, 20, 20, 4}}, b[] = {{0, 100, 21, 21, 4}};
  struct cover_parts parts = only(arena, a, 1, b, 1);
  assert_int_equal(parts.count, 1);
  assert_close(parts.area, 100, 1e-9, 0);
  assert_close(parts.items[0].depth.lo, 16, 1e-9, 0);
  assert_close(parts.items[0].depth.hi, 17, 1e-9, 0);
  assert_close(parts.items[0].s.lo, 0, 1e-9, 0);
  assert_close(parts.items[0].s.hi, 100, 1e-9, 0);
  arena_free(arena);
}

static void test_same(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct laid_strip a[] = {{0, 60, 20, 22, 4}, {60, 100, 22, 20, 4}};
  assert_int_equal(only(arena, a, 2, a, 2).count, 0);
  arena_free(arena);
}

/* A gap over s = 0 is one part, told from its begin on. */
static void test_over_zero(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct laid_strip a[] = {{0, 100, 20, 20, 4}}, b[] = {{10, 85, 20, 20, 4}};
  struct cover_parts parts = only(arena, a, 1, b, 1);
  assert_int_equal(parts.count, 1);
  assert_close(parts.area, 25 * 8, 1e-9, 0);
  assert_close(parts.items[0].s.lo, 85, 1e-9, 0);
  assert_close(parts.items[0].s.hi, 110, 1e-9, 0);
  arena_free(arena);
}

/* Two beads that cross: area by hand; what is left on both sides meets over s = 0. */
static void test_crossing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct laid_strip a[] = {{0, 100, 20, 20, 2}}, b[] = {{0, 100, 15, 25, 2}};
  struct cover_parts parts = only(arena, a, 1, b, 1);
  /* b's centre runs from 5 above to 5 below; up to 10 mm of s it does not touch a (apart 4). */
  double rest = 2 * (10 * 4 + 0.5 * 40 * 4);
  assert_close(parts.area, rest, 0.05, 0);
  assert_int_equal(parts.count, 1);
  assert_close(parts.items[0].s.lo, 50, 0.2, 0);
  assert_close(parts.items[0].s.hi, 150, 0.2, 0);
  arena_free(arena);
}

static void test_two_parts_largest_first(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct laid_strip a[] = {{0, 30, 20, 20, 4}, {50, 90, 40, 40, 4}};
  struct cover_parts parts = only(arena, a, 2, a, 0);
  assert_int_equal(parts.count, 2);
  assert_close(parts.items[0].area, 40 * 8, 1e-9, 0);
  assert_close(parts.items[1].area, 30 * 8, 1e-9, 0);
  arena_free(arena);
}

static void test_sliver(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct laid_strip a[] = {{0, 100, 20, 20, 4}}, b[] = {{0, 100, 20.004, 20.004, 4}};
  assert_int_equal(only(arena, a, 1, b, 1).count, 0);
  struct laid_strip shorter[] = {{0, 100, 20, 20, 4}, {20, 30, 40, 40, 4}};
  struct laid_strip longer[] = {{0, 100, 20, 20, 4}, {20, 30.004, 40, 40, 4}};
  assert_int_equal(only(arena, longer, 2, shorter, 2).count, 0);
  longer[1].s_to = 30.1;
  assert_int_equal(only(arena, longer, 2, shorter, 2).count, 1);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_shift),
                                     cmocka_unit_test(test_same),
                                     cmocka_unit_test(test_over_zero),
                                     cmocka_unit_test(test_crossing),
                                     cmocka_unit_test(test_two_parts_largest_first),
                                     cmocka_unit_test(test_sliver)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
