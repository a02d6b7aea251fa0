/* Memory with one lifetime. */
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "support/close.h"

static void objects_are_zeroed_aligned_and_apart(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  unsigned char *before = NULL;
  size_t before_size = 0;
  for (size_t size = 0; size < 70000; size = size * 5 / 4 + 1) {
    unsigned char *object = arena_alloc(arena, size, 1);
    assert_int_equal((uintptr_t)object % _Alignof(max_align_t), 0);
    for (size_t i = 0; i < size; i++)
      assert_int_equal(object[i], 0);
    memset(object, 0xA5, size);
    for (size_t i = 0; i < before_size; i++)
      assert_int_equal(before[i], 0xA5);
    before = object;
    before_size = size;
  }
  arena_free(arena);
}

static void a_big_object_leaves_the_room_of_small_ones(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  char *small = arena_text(arena, "kept", 4);
  char *big = arena_alloc(arena, 1000, 1000);
  char *next = arena_text(arena, "also", 4);
  memset(big, 'x', 1000 * 1000);
  assert_string_equal(small, "kept");
  assert_string_equal(next, "also");
  arena_free(arena);
}

/* Nothing, small objects or a big one alone, into as much; both go on being cut from what they had.
 */
static void adopted_objects_last(void **state) {
  (void)state;
  static const size_t counts[] = {0, 1, 3000};
  for (int i = 0; i < 9; i++) {
    struct arena *arena = arena_new(), *other = arena_new();
    char *own = NULL, *theirs = NULL;
    for (size_t k = 0; k < counts[i % 3]; k++)
      own = arena_text(arena, "own", 3);
    for (size_t k = 0; k < counts[i / 3]; k++)
      theirs = arena_text(other, "theirs", 6);
    if (i / 3 == 1)
      memset(arena_alloc(other, 1000, 1000), 'x', 1000 * 1000);
    arena_adopt(arena, other);
    for (size_t k = 0; k < 3000; k++)
      memset(arena_alloc(arena, 50, 1), 'y', 50);
    if (own)
      assert_string_equal(own, "own");
    if (theirs)
      assert_string_equal(theirs, "theirs");
    arena_free(arena);
  }
}

/* Cleared in the middle of a chunk, with big objects beside it, and before there is any. */
static void cleared_memory_is_as_new(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  arena_clear(arena);
  for (int round = 0; round < 4; round++) {
    for (size_t i = 0; i < 300; i++) {
      size_t size = i % 100 == 0 ? 40000 : 100 + i;
      unsigned char *object = arena_alloc(arena, size, 1);
      for (size_t k = 0; k < size; k++)
        assert_int_equal(object[k], 0);
      memset(object, 0xA5, size);
    }
    arena_clear(arena);
  }
  arena_alloc(arena, 40000, 1); /* a big one alone */
  arena_clear(arena);
  assert_int_equal(*(unsigned char *)arena_alloc(arena, 1, 1), 0);
  arena_free(arena);
}

/* The heap gives back what others left behind: objects of every size, up to the ends of chunks. */
static void used_memory_is_zeroed(void **state) {
  (void)state;
  enum { BLOCKS = 64, BLOCK = 24 * 1024 };
  unsigned char *blocks[BLOCKS];
  for (int i = 0; i < BLOCKS; i++) {
    blocks[i] = malloc(BLOCK);
    assert_non_null(blocks[i]);
    memset(blocks[i], 0xA5, BLOCK);
  }
  for (int i = 0; i < BLOCKS; i++)
    free(blocks[i]);
  struct arena *arena = arena_new();
  for (size_t i = 0; i < 2000; i++) {
    size_t size = 1 + i * 7919 % 1500;
    unsigned char *object = arena_alloc(arena, size, 1);
    for (size_t k = 0; k < size; k++)
      assert_int_equal(object[k], 0);
    memset(object, 0xA5, size);
  }
  arena_free(arena);
}

/* Far into the big chunks: every object is zeroed, and none lies over another. */
static void many_objects_are_zeroed_and_apart(void **state) {
  (void)state;
  enum { COUNT = 30000, LARGEST = 2000 };
  struct arena *arena = arena_new();
  unsigned char **objects = calloc(COUNT, sizeof *objects);
  assert_non_null(objects);
  for (size_t i = 0; i < COUNT; i++) {
    size_t size = i * 7919 % LARGEST + 1;
    objects[i] = i % 1000 == 0 ? arena_alloc(arena, 600, 1000)
                 : i % 3 == 0  ? (unsigned char *)arena_text(arena, "a text", 6)
                               : arena_alloc(arena, size, 1);
    if (i % 1000 != 0 && i % 3 == 0)
      continue;
    size = i % 1000 == 0 ? 600 * 1000 : size;
    for (size_t k = 0; k < size; k++)
      assert_true(objects[i][k] == 0);
    memset(objects[i], (int)(i % 251) + 1, size);
  }
  for (size_t i = 0; i < COUNT; i++) {
    size_t size = i % 1000 == 0 ? 600 * 1000 : i * 7919 % LARGEST + 1;
    if (i % 1000 != 0 && i % 3 == 0)
      assert_string_equal((char *)objects[i], "a text");
    else
      for (size_t k = 0; k < size; k++)
        assert_true(objects[i][k] == i % 251 + 1);
  }
  free(objects);
  arena_free(arena);
}

/* Rooms of which little is used, small and big, between objects: these stay zeroed, apart from
 * them, and as they were. */
static void rooms_lie_between_zeroed_objects(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct {
    unsigned char *room, *object;
    size_t size;
  } made[60];
  for (size_t i = 0, size = 1; i < 60; i++, size = size * 6 / 5 + 7) {
    made[i].size = size;
    made[i].room = arena_room(arena, size, 1);
    assert_int_equal((uintptr_t)made[i].room % _Alignof(max_align_t), 0);
    made[i].object = arena_alloc(arena, 100, 1);
    for (size_t k = 0; k < 100; k++)
      assert_int_equal(made[i].object[k], 0);
    memset(made[i].room, 0xA5, size);
    memset(made[i].object, 0x5A, 100);
  }
  for (size_t i = 0; i < 60; i++) {
    for (size_t k = 0; k < made[i].size; k++)
      assert_int_equal(made[i].room[k], 0xA5);
    for (size_t k = 0; k < 100; k++)
      assert_int_equal(made[i].object[k], 0x5A);
  }
  arena_free(arena);
}

static void growing_keeps_what_was_there(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  int *numbers = arena_grow(arena, NULL, 0, 2, sizeof *numbers);
  numbers[0] = 7;
  numbers[1] = 8;
  numbers = arena_grow(arena, numbers, 2, 5, sizeof *numbers);
  const int want[] = {7, 8, 0, 0, 0};
  assert_memory_equal(numbers, want, sizeof want);
  numbers = arena_grow(arena, numbers, 5, 1, sizeof *numbers);
  assert_int_equal(numbers[0], 7);
  arena_free(arena);
}

static void text_ends_in_nul(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  assert_string_equal(arena_text(arena, "weld overlay", 4), "weld");
  assert_string_equal(arena_text(arena, NULL, 0), "");
  assert_string_equal(arena_format(arena, "%s %d", "layer", 2), "layer 2");
  for (int length = 250; length < 260; length++)
    assert_int_equal(strlen(arena_format(arena, "%*d", length, 1)), length);
  char *longer = arena_format(arena, "%*d", 100000, 1);
  assert_int_equal(strlen(longer), 100000);
  arena_free(arena);
}

static void nothing_to_free_is_allowed(void **state) {
  (void)state;
  arena_free(NULL);
  arena_free(arena_new());
}

/* What was made since a mark goes: the next objects are zeroed, and what was there before stays. */
static void back_to_a_mark(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  arena_back(arena, arena_mark(arena)); /* nothing yet */
  char *before = arena_text(arena, "before", 6);
  for (size_t size = 1; size < 100000; size *= 3) {
    struct arena_mark mark = arena_mark(arena);
    memset(arena_alloc(arena, 1, size), 0xFF, size);
    memset(arena_alloc(arena, 3, size), 0xFF, 3 * size);
    arena_back(arena, mark);
    const unsigned char *next = arena_alloc(arena, 5, size);
    for (size_t i = 0; i < 5 * size; i++)
      assert_int_equal(next[i], 0);
    assert_string_equal(before, "before");
  }
  arena_free(arena);
}

/* Lists that grow by turns with other objects behind them or without, up to the end of the room and
 * beyond: what is new is zeroed, what was there stays, and nothing lies over another. */
static void lists_grow_where_they_are(void **state) {
  (void)state;
  enum { LISTS = 3, MOST = 3000 };
  struct arena *arena = arena_new();
  uint32_t *lists[LISTS] = {NULL};
  size_t counts[LISTS] = {0};
  bool stayed = false;
  for (size_t round = 0; counts[0] < MOST || counts[1] < MOST || counts[2] < MOST; round++) {
    size_t k = round / 4 % LISTS, before = counts[k], after = before + before / 3 + 1;
    if (after > 2 * MOST)
      continue;
    uint32_t *grown = arena_grow(arena, lists[k], before, after, sizeof **lists);
    stayed = stayed || grown == lists[k];
    lists[k] = grown;
    counts[k] = after;
    for (size_t i = before; i < after; i++) {
      assert_int_equal(grown[i], 0);
      grown[i] = (uint32_t)(i * LISTS + k);
    }
    if (round % 5 == 0)
      memset(arena_alloc(arena, 1, 40), 0xA5, 40);
  }
  for (size_t k = 0; k < LISTS; k++)
    for (size_t i = 0; i < counts[k]; i++)
      assert_int_equal(lists[k][i], i * LISTS + k);
#if !defined(__SANITIZE_ADDRESS__) /* each object has memory of its own there */
  assert_true(stayed);
#endif
  arena_free(arena);
}

/* A copy is another object, also of the newest one. */
static void copies_lie_apart(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  char *text = arena_text(arena, "abc", 3), *copy = arena_copy(arena, text, 4, 9, 1);
  copy[0] = 'x';
  assert_string_equal(text, "abc");
  assert_string_equal(copy, "xbc");
  arena_free(arena);
}

/* The product of count and size does not fit: the process ends with status 3. */
static void a_product_too_large_ends_the_process(void **state) {
  (void)state;
  const size_t counts[][2] = {{SIZE_MAX / 8, 16}, {2, SIZE_MAX / 2 + 1}, {SIZE_MAX, SIZE_MAX}};
  for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
      fclose(stderr);
      struct arena *volatile arena = arena_new(); /* or it would be told as lost */
      arena_alloc(arena, counts[i][0], counts[i][1]);
      _exit(0);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 3);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(adopted_objects_last),
      cmocka_unit_test(cleared_memory_is_as_new),
      cmocka_unit_test(used_memory_is_zeroed),
      cmocka_unit_test(objects_are_zeroed_aligned_and_apart),
      cmocka_unit_test(a_big_object_leaves_the_room_of_small_ones),
      cmocka_unit_test(many_objects_are_zeroed_and_apart),
      cmocka_unit_test(rooms_lie_between_zeroed_objects),
      cmocka_unit_test(growing_keeps_what_was_there),
      cmocka_unit_test(lists_grow_where_they_are),
      cmocka_unit_test(copies_lie_apart),
      cmocka_unit_test(text_ends_in_nul),
      cmocka_unit_test(nothing_to_free_is_allowed),
      cmocka_unit_test(back_to_a_mark),
      cmocka_unit_test(a_product_too_large_ends_the_process),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
