/* comparison.h - all that was found between two jobs, for the ways of telling it. */
#ifndef COMPARE_COMPARISON_H
#define COMPARE_COMPARISON_H

#include "borelay/compare.h"
#include "compare/apart.h"
#include "compare/cover_change.h"
#include "compare/differences.h"
#include "compare/effects.h"

/* The largest distance between the two ways of the tip, with the arc on or off. */
struct tip_apart {
  struct apart apart;
  const char *where; /* in words */
};

/* What one layer covers that it did not, and the other way round. */
struct cover_change {
  const char *overlay;
  int64_t layer;
  const struct contour *contour; /* the wall whose s is told: the second job's, where it has one */
  const struct placement *placement;
  bool is_other_wall; /* the two walls differ in length; places are the same share of both */
  struct cover_parts newly, no_longer;
};

/* A zone whose part of the wall is another one. */
struct zone_change {
  const char *overlay, *zone;
  const char *before, *after; /* in words, margin worked in; NULL: not there */
};

struct comparison {
  const struct compare_side *sides; /* two */
  const struct declared *declared[2];
  bool is_whole[2];    /* nothing of what it declares was lost to faults */
  bool is_same_source; /* byte for byte, settings too */
  struct block_pairs names;
  struct differences differences;
  bool only_declared;
  bool has_effects; /* the rest below is there */
  struct effects effects;
  struct check_pair *checks;
  size_t check_count;
  struct tip_apart tip_on, tip_off;
  struct cover_change *covers; /* those with a change */
  size_t cover_count;
  struct zone_change *zones;
  size_t zone_count;
};

/* tips.c, covers.c, zones.c */
void tips_compare(struct arena *arena, struct comparison *comparison);
void covers_compare(struct arena *arena, struct comparison *comparison);
void zones_compare(struct arena *arena, struct comparison *comparison);
/* "s 12.0 .. 30.5 mm", on a round "angles -20.0 .. 35.0 deg", "all round" */
const char *cover_part_round(struct arena *arena, const struct cover_change *change,
                             const struct cover_part *part);
/* On a round, angles in degrees from the part's +X; false: no round. */
bool cover_part_angles(const struct cover_change *change, const struct cover_part *part,
                       struct range *degrees);

/* Why effects are not there, or not all; NULL: they are. */
const char *effects_missing(const struct comparison *comparison, struct arena *arena);

#endif
