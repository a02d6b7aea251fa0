/* Sets of stretches of one line. */
#include "borelay/stretches.h"

#include "borelay/arena.h"

static double larger(double a, double b) {
  return a > b ? a : b;
}

static double smaller(double a, double b) {
  return a < b ? a : b;
}

static void append(struct stretches *set, double from, double to) {
  if (!(from < to))
    return;
  if (set->count == set->room) {
    set->room = 2 * set->room + 4;
    set->items = arena_grow(set->arena, set->items, set->count, set->room, sizeof *set->items);
  }
  set->items[set->count++] = (struct stretch){from, to};
}

void stretches_add(struct stretches *set, double from, double to) {
  if (set->count == 0 || from > set->items[set->count - 1].to) {
    append(set, from, to);
    return;
  }
  if (!(from < to))
    return;
  struct stretches joined = {.arena = set->arena};
  size_t i = 0;
  for (; i < set->count && set->items[i].to < from; i++)
    append(&joined, set->items[i].from, set->items[i].to);
  for (; i < set->count && set->items[i].from <= to; i++) {
    from = smaller(from, set->items[i].from);
    to = larger(to, set->items[i].to);
  }
  append(&joined, from, to);
  for (; i < set->count; i++)
    append(&joined, set->items[i].from, set->items[i].to);
  *set = joined;
}

void stretches_cut(struct stretches *set, double from, double to) {
  if (!(from < to)) /* else the one that holds it would fall in two that touch */
    return;
  struct stretches left = {.arena = set->arena};
  for (size_t i = 0; i < set->count; i++) {
    struct stretch s = set->items[i];
    append(&left, s.from, smaller(s.to, larger(from, s.from)));
    append(&left, larger(s.from, smaller(to, s.to)), s.to);
  }
  *set = left;
}

struct stretches stretches_meet(const struct stretches *a, const struct stretches *b) {
  struct stretches both = {.arena = a->arena};
  size_t i = 0, k = 0;
  while (i < a->count && k < b->count) {
    struct stretch s = a->items[i], t = b->items[k];
    append(&both, larger(s.from, t.from), smaller(s.to, t.to));
    if (s.to < t.to)
      i++;
    else
      k++;
  }
  return both;
}

struct stretches stretches_rest(const struct stretches *set, double from, double to) {
  struct stretches rest = {.arena = set->arena};
  for (size_t i = 0; i < set->count; i++) {
    append(&rest, from, smaller(set->items[i].from, to));
    from = larger(from, set->items[i].to);
  }
  append(&rest, from, to);
  return rest;
}

struct stretches stretches_sift(const struct stretches *set, double least) {
  struct stretches kept = {.arena = set->arena};
  for (size_t i = 0; i < set->count; i++)
    if (set->items[i].to - set->items[i].from >= least)
      append(&kept, set->items[i].from, set->items[i].to);
  return kept;
}
