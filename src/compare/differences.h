/* differences.h - what two jobs declare differently, path by path.
 *
 * Only what is said counts: layout, comments, order, units, files and names of lets do not.  A key
 * left to its default says what the default says. */
#ifndef COMPARE_DIFFERENCES_H
#define COMPARE_DIFFERENCES_H

#include <math.h>

#include "borelay/declared.h"

#define FIGURE_NONE ((double)NAN) /* a figure that is not there */

enum difference_kind {
  DIFFERENCE_CHANGED,
  DIFFERENCE_ADDED,   /* in the second only */
  DIFFERENCE_REMOVED, /* in the first only */
  DIFFERENCE_RENAMED  /* a block under another name; what else differs in it stands by itself */
};
const char *difference_kind_name(enum difference_kind kind);

struct difference {
  enum difference_kind kind;
  const char *path;           /* "procedure hot_wire / travel_speed" */
  const char *before, *after; /* with units; NULL: not there */
  const char *change;         /* "-8.3 %", "+5 deg"; NULL: cannot be told in a figure */
  const char *text;           /* the three on one line: "180 -> 165 mm/min, -8.3 %" */
  double relative;            /* (after - before) / |before|; FIGURE_NONE: none */
  bool is_used;               /* one of the two jobs reaches it */
  span at_before, at_after;   /* file 0: not there */
  const struct declared_value *value_before, *value_after; /* NULL: of a block, or not there */
};

struct differences {
  struct arena *arena;
  struct difference *items;
  size_t count, room;
  size_t used; /* of them */
};

struct differences differences_find(struct arena *arena, const struct declared *before,
                                    const struct declared *after);

/* -- pairs.c: which block is which --------------------------------------------------------- */

/* A block of one job beside its counterpart in the other; one of them may be NULL. */
struct block_pair {
  const struct declared_block *before, *after;
};
struct block_pairs {
  struct block_pair *items; /* in the order of the second, those of the first alone behind */
  size_t count;
  const struct block_pairs *names; /* top-level blocks; NULL: this is them */
};
struct block_pairs block_pairs_top(struct arena *arena, const struct declared *before,
                                   const struct declared *after);
struct block_pairs block_pairs_inner(struct arena *arena, const struct block_pairs *names,
                                     const struct declared_block *before,
                                     const struct declared_block *after);

/* Do two blocks, names apart, say the same? */
bool blocks_equal(struct arena *arena, const struct block_pairs *names,
                  const struct declared_block *before, const struct declared_block *after);
/* Do two keys?  Names that refer to one pair are one.  NULL: not there. */
bool keys_equal(const struct block_pairs *names, const struct declared_key *before,
                const struct declared_key *after);
/* Does the name of the first job's block stand for that of the second's? */
bool names_equal(const struct block_pairs *names, const char *refers, const char *before,
                 const char *after);
const struct declared_key *declared_key_find(const struct declared_block *block, const char *name);

/* -- words.c: values and blocks as text ---------------------------------------------------- */

/* In the value's own unit, or in another; figures: significant ones. */
const char *value_text(struct arena *arena, const struct declared_value *value);
/* "bore diameter 152 mm; ..." what a block gives, on one line. */
const char *block_text(struct arena *arena, const struct declared_block *block);
/* before, after, change, relative and text, from two values; either may be NULL. */
void difference_word(struct arena *arena, struct difference *difference,
                     const struct declared_value *before, const struct declared_value *after);

#endif
