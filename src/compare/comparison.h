/* comparison.h - all that was found between two jobs, for the ways of telling it. */
#ifndef COMPARE_COMPARISON_H
#define COMPARE_COMPARISON_H

#include "borelay/compare.h"
#include "compare/differences.h"
#include "compare/effects.h"

struct comparison {
  const struct compare_side *sides; /* two */
  const struct declared *declared[2];
  bool is_whole[2];    /* nothing of what it declares was lost to faults */
  bool is_same_source; /* byte for byte, settings too */
  struct block_pairs names;
  struct differences differences;
  bool has_effects; /* the rest below is there */
  struct effects effects;
  struct check_pair *checks;
  size_t check_count;
};

/* Why effects are not there, or not all; NULL: they are. */
const char *effects_missing(const struct comparison *comparison, struct arena *arena);

#endif
