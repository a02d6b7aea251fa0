/* Numbered work among threads. */
#include "borelay/crew.h"
#include "support/close.h"

#include <sched.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <string.h>

enum { MOST = 1000 };
struct marks {
  unsigned char done[MOST];
  atomic_int calls;
};

static void mark(void *context, size_t index) {
  struct marks *marks = context;
  marks->done[index]++;
  atomic_fetch_add(&marks->calls, 1);
}

/* Every piece once, however many hands and pieces there are. */
static void every_piece_once(void **state) {
  (void)state;
  static const size_t hands[] = {0, 1, 2, 7, 64, 100000}, counts[] = {0, 1, 2, 3, 999, MOST};
  for (size_t h = 0; h < sizeof hands / sizeof *hands; h++)
    for (size_t c = 0; c < sizeof counts / sizeof *counts; c++) {
      struct marks marks = {.calls = 0};
      crew_run(hands[h], counts[c], mark, &marks);
      assert_int_equal(atomic_load(&marks.calls), counts[c]);
      for (size_t i = 0; i < MOST; i++)
        assert_int_equal(marks.done[i], i < counts[c]);
    }
}

struct order {
  size_t next;
  bool kept;
};

static void expect_next(void *context, size_t index) {
  struct order *order = context;
  order->kept = order->kept && index == order->next++;
}

/* One pair of hands works in order, without a thread. */
static void alone_in_order(void **state) {
  (void)state;
  struct order order = {.kept = true};
  crew_run(1, MOST, expect_next, &order);
  assert_true(order.kept);
  assert_int_equal(order.next, MOST);
}

struct places {
  cpu_set_t own; /* of the caller */
  atomic_int others;
};

static void compare_place(void *context, size_t index) {
  struct places *places = context;
  cpu_set_t here;
  (void)index;
  bool is_own = sched_getaffinity(0, sizeof here, &here) == 0 && CPU_EQUAL(&here, &places->own);
  atomic_fetch_add(&places->others, !is_own);
}

/* Wherever a helper begins, it may run where its maker may, also if that is one processor only. */
static void helpers_may_go_where_the_caller_may(void **state) {
  (void)state;
  cpu_set_t all, one;
  assert_int_equal(sched_getaffinity(0, sizeof all, &all), 0);
  CPU_ZERO(&one);
  for (size_t i = 0; i < CPU_SETSIZE && CPU_COUNT(&one) == 0; i++)
    if (CPU_ISSET(i, &all))
      CPU_SET(i, &one);
  const cpu_set_t *sets[] = {&all, &one};
  for (size_t k = 0; k < 2; k++) {
    struct places places = {.own = *sets[k]};
    assert_int_equal(sched_setaffinity(0, sizeof places.own, &places.own), 0);
    crew_run(5, MOST, compare_place, &places);
    assert_int_equal(atomic_load(&places.others), 0);
  }
  assert_int_equal(sched_setaffinity(0, sizeof all, &all), 0);
}

static void some_hands(void **state) {
  (void)state;
  assert_true(crew_hands() >= 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_piece_once),
      cmocka_unit_test(alone_in_order),
      cmocka_unit_test(helpers_may_go_where_the_caller_may),
      cmocka_unit_test(some_hands),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
