/* laid_run.h - where a run lays metal, and where its arc goes out. */
#ifndef CHECK_LAID_RUN_H
#define CHECK_LAID_RUN_H

#include "borelay/motion.h"
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

/* The run's own sigma at which its arc goes out; way: of that run. */
double laid_run_out(const struct motion *motion, const struct phase *weld,
                    const struct run_way *way);

#endif
