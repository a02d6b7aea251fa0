/* Numbered work among threads. */
#include "borelay/crew.h"
#include "support/close.h"

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

static void some_hands(void **state) {
  (void)state;
  assert_true(crew_hands() >= 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_piece_once),
      cmocka_unit_test(alone_in_order),
      cmocka_unit_test(some_hands),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
