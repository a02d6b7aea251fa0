/* bare.h - stretches of the laps' centre lines on which no bead lies. */
#ifndef CHECK_BARE_H
#define CHECK_BARE_H

#include "borelay/check.h"
#include "check/allowance.h"
#include "check/run_way.h"

struct arena;

/* What one run does on its path; places are the path's sigma. */
struct laid_run {
  size_t path;                 /* of its layer */
  double from, out;            /* arc on between */
  double wire_from, wire_to;   /* metal is laid between; none where they are equal */
  double depth_from, depth_to; /* there */
  bool is_at_edge;             /* its arc goes out where a zone begins */
};

struct laid_run laid_run_make(struct arena *arena, const struct motion *motion,
                              const struct phase *weld, const struct run_way *path,
                              const struct allowance *allowance);

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
