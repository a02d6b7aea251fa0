/* bare.h - stretches of the laps' centre lines on which no bead lies. */
#ifndef CHECK_BARE_H
#define CHECK_BARE_H

#include "borelay/check.h"
#include "check/laid_run.h"

struct arena;

struct bare_path { /* of the plan, and which runs it is broken into */
  struct run_way way;
  double tie_in; /* contour length */
  size_t run_from, run_to;
};

struct bare_layer {
  size_t overlay, layer; /* of the plan, from 0 */
  struct bare_path *paths;
  size_t path_count;
  struct laid_run *runs; /* in the plan's order */
  size_t run_count;
  const struct allowance *allowance; /* NULL: no zones */
};

struct bare_list {
  struct arena *arena;
  struct bare_length *items;
  size_t count, room;
};
/* Adds what stays bare in one layer, path after path in the direction of travel; an entry each for
 * lap and kind. */
void bare_find(struct bare_list *list, const struct bare_layer *layer);

#endif
