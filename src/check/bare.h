/* bare.h - stretches of the laps' centre lines on which no bead lies. */
#ifndef CHECK_BARE_H
#define CHECK_BARE_H

#include "borelay/check.h"
#include "check/run_way.h"

struct arena;

/* A run and the stretch of it that gets metal: from where the wire reaches the pool to where it
 * stops. */
struct laid_run {
  struct run_way way;
  double from, to; /* sigma */
};
struct laid_run laid_run_make(struct arena *arena, const struct motion *motion,
                              const struct phase *weld);

struct bare_list {
  struct arena *arena;
  struct bare_length *items;
  size_t count, room;
};
/* Adds what stays bare of every run of one layer; runs in the plan's order. */
void bare_find(struct bare_list *list, const struct laid_run *runs, size_t run_count,
               size_t overlay, size_t layer, bool rings);

#endif
