/* Sets of stretches: cases by hand, and random ones against a line of cells each in or out. */
#include "support/close.h"

#include <stdbool.h>

#include "borelay/arena.h"
#include "borelay/stretches.h"
#include "support/random.h"

/* -- by hand ----------------------------------------------------------------------------------- */

enum { MOST = 8 };

/* Sets are written as from, to, from, to ..; NAN ends them. */
struct row {
  const char *name;
  double given[2 * MOST];
  char what; /* + add, - cut, r rest, s sift (from = least) */
  double from, to;
  double want[2 * MOST];
};

#define END ((double)NAN)

static const struct row ROWS[] = {
    {"first of all", {END}, '+', 1, 2, {1, 2, END}},
    {"behind the last", {1, 2, END}, '+', 3, 4, {1, 2, 3, 4, END}},
    {"before the first", {3, 4, END}, '+', 1, 2, {1, 2, 3, 4, END}},
    {"between", {1, 2, 5, 6, END}, '+', 3, 4, {1, 2, 3, 4, 5, 6, END}},
    {"touches the last", {1, 2, END}, '+', 2, 3, {1, 3, END}},
    {"touches the first", {2, 3, END}, '+', 1, 2, {1, 3, END}},
    {"touches both", {1, 2, 3, 4, END}, '+', 2, 3, {1, 4, END}},
    {"overlaps several", {1, 2, 3, 4, 5, 6, 8, 9, END}, '+', 1.5, 5.5, {1, 6, 8, 9, END}},
    {"inside one", {1, 4, END}, '+', 2, 3, {1, 4, END}},
    {"around one", {2, 3, END}, '+', 1, 4, {1, 4, END}},
    {"empty is not kept", {1, 2, END}, '+', 5, 5, {1, 2, END}},
    {"turned round is empty", {1, 2, END}, '+', 9, 8, {1, 2, END}},
    {"empty inside", {1, 4, END}, '+', 2, 2, {1, 4, END}},
    {"cut the middle", {1, 4, END}, '-', 2, 3, {1, 2, 3, 4, END}},
    {"cut the beginning", {1, 4, END}, '-', 0, 3, {3, 4, END}},
    {"cut the end", {1, 4, END}, '-', 3, 9, {1, 3, END}},
    {"cut up to its end", {1, 4, END}, '-', 3, 4, {1, 3, END}},
    {"cut nothing out of the middle", {1, 4, END}, '-', 2, 2, {1, 4, END}},
    {"cut all", {1, 2, 3, 4, END}, '-', 0, 9, {END}},
    {"cut beside", {1, 2, END}, '-', 2, 3, {1, 2, END}},
    {"cut over a gap", {1, 3, 4, 6, END}, '-', 2, 5, {1, 2, 5, 6, END}},
    {"rest of nothing", {END}, 'r', 1, 5, {1, 5, END}},
    {"rest around", {2, 3, END}, 'r', 1, 5, {1, 2, 3, 5, END}},
    {"rest within", {0, 2, 4, 9, END}, 'r', 1, 5, {2, 4, END}},
    {"rest of one that holds all", {0, 9, END}, 'r', 1, 5, {END}},
    {"rest beside all", {7, 9, END}, 'r', 1, 5, {1, 5, END}},
    {"rest behind all", {-3, 0, END}, 'r', 1, 5, {1, 5, END}},
    {"sift keeps what is as long", {1, 2, 4, 4.5, 6, 8, END}, 's', 1, 0, {1, 2, 6, 8, END}},
};

static struct stretches set_of(struct arena *arena, const double *ends) {
  struct stretches set = {.arena = arena};
  for (; !isnan(ends[0]); ends += 2)
    stretches_add(&set, ends[0], ends[1]);
  return set;
}

static void by_hand(void **state) {
  const struct row *row = *state;
  struct arena *arena = arena_new();
  struct stretches set = set_of(arena, row->given);
  if (row->what == '+')
    stretches_add(&set, row->from, row->to);
  else if (row->what == '-')
    stretches_cut(&set, row->from, row->to);
  else
    set = row->what == 'r' ? stretches_rest(&set, row->from, row->to)
                           : stretches_sift(&set, row->from);
  size_t count = 0;
  for (const double *want = row->want; !isnan(want[0]); want += 2, count++) {
    assert_true(count < set.count);
    assert_close(set.items[count].from, want[0], 0, 0);
    assert_close(set.items[count].to, want[1], 0, 0);
  }
  assert_int_equal(set.count, count);
  arena_free(arena);
}

/* -- against cells ----------------------------------------------------------------------------- */

/* Ends are whole numbers, so that cell k, k .. k + 1, is either in or out. */
enum { CELLS = 48 };
struct cells {
  bool in[CELLS];
};

static void assert_same(const struct stretches *set, const struct cells *cells) {
  bool in[CELLS] = {false};
  for (size_t i = 0; i < set->count; i++) {
    assert_true(set->items[i].from < set->items[i].to);
    assert_true(i == 0 || set->items[i - 1].to < set->items[i].from);
    for (int k = (int)set->items[i].from; k < (int)set->items[i].to; k++)
      in[k] = true;
  }
  assert_memory_equal(in, cells->in, sizeof in);
}

static void any(struct random *random, int *from, int *to) {
  *from = random_whole(random, 0, CELLS - 1);
  *to = random_whole(random, *from, *from + random_whole(random, 0, 12));
  if (*to > CELLS)
    *to = CELLS;
}

static void change(struct random *random, struct stretches *set, struct cells *cells) {
  int from, to;
  any(random, &from, &to);
  bool adds = random_whole(random, 0, 2) > 0;
  for (int k = from; k < to; k++)
    cells->in[k] = adds;
  if (adds)
    stretches_add(set, from, to);
  else
    stretches_cut(set, from, to);
  assert_same(set, cells);
}

static void against_cells(void **state) {
  (void)state;
  struct random random = {20260};
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < 2000; round++) {
    struct arena *arena = arena_new();
    struct stretches sets[2] = {{.arena = arena}, {.arena = arena}};
    struct cells cells[2] = {0}, both = {0}, rest = {0}, long_ones = {0};
    for (int i = random_whole(&random, 0, 12); i > 0; i--)
      change(&random, &sets[0], &cells[0]);
    for (int i = random_whole(&random, 0, 12); i > 0; i--)
      change(&random, &sets[1], &cells[1]);
    int from, to, least = random_whole(&random, 1, 5);
    any(&random, &from, &to);
    for (int k = 0; k < CELLS; k++) {
      both.in[k] = cells[0].in[k] && cells[1].in[k];
      rest.in[k] = !cells[0].in[k] && k >= from && k < to;
    }
    for (int k = 0; k < CELLS; k++) {
      int end = k;
      while (end < CELLS && cells[0].in[end])
        end++;
      for (int i = k; i < end; i++)
        long_ones.in[i] = end - k >= least;
      k = end;
    }
    struct stretches met = stretches_meet(&sets[0], &sets[1]);
    assert_same(&met, &both);
    struct stretches left = stretches_rest(&sets[0], from, to);
    assert_same(&left, &rest);
    struct stretches sifted = stretches_sift(&sets[0], least);
    assert_same(&sifted, &long_ones);
    arena_free(arena);
  }
}

int main(void) {
  enum { ROW_COUNT = sizeof ROWS / sizeof ROWS[0] };
  struct CMUnitTest tests[ROW_COUNT + 1] = {cmocka_unit_test(against_cells)};
  for (size_t i = 0; i < ROW_COUNT; i++)
    tests[i + 1] =
        (struct CMUnitTest){ROWS[i].name, by_hand, NULL, NULL, (void *)(uintptr_t)&ROWS[i]};
  return cmocka_run_group_tests_name("stretches", tests, NULL, NULL);
}
