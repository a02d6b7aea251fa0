/* effects.h - what two outcomes come to, figure beside figure. */
#ifndef COMPARE_EFFECTS_H
#define COMPARE_EFFECTS_H

#include "borelay/emit.h"
#include "compare/differences.h"

/* One figure before and after; FIGURE_NONE: not there.  Tables of them are in effects.c: a row
 * joins them in one line. */
struct effect {
  const char *overlay; /* NULL: of the whole job */
  int64_t layer;       /* 0: of the whole overlay */
  const char *name;    /* "travel speed" */
  const char *unit;    /* "" for a count */
  int decimals;        /* for people */
  double before, after;
};

struct effects {
  struct arena *arena;
  struct effect *items;
  size_t count, room;
};

/* Nothing where neither side has the figure. */
void effects_add(struct effects *effects, struct effect effect);

/* works.c: what an overlay takes; what each procedure takes, where there are several. */
void effects_of_work(struct effects *effects, const char *overlay, const struct work *before,
                     const struct work *after);
void effects_of_procedures(struct effects *effects, const struct outcome *before,
                           const struct outcome *after);

/* One of the two may lack what a stage that refused did not make. */
struct effects effects_find(struct arena *arena, const struct outcome *before,
                            const struct outcome *after, const struct block_pairs *names);
bool effect_is_change(const struct effect *effect);

/* -- overlays and layers beside their counterparts ---------------------------------------- */

struct overlay_pair {
  const struct plan_overlay *before, *after; /* NULL: not there */
  size_t index_before, index_after;          /* in their plans */
};
struct overlay_pairs {
  struct overlay_pair *items; /* in the second job's order of welding, those gone behind */
  size_t count;
};
struct overlay_pairs overlay_pairs_make(struct arena *arena, const struct plan *before,
                                        const struct plan *after, const struct block_pairs *names);

/* -- checks.c ------------------------------------------------------------------------------ */

struct check_pair {
  const struct check_result *before, *after; /* NULL: not there */
  double margin_before,
      margin_after; /* FIGURE_NONE where it was not judged; negative: does not hold */
  double worsening; /* share of the limit by which the margin shrank */
};
/* Those that no longer hold first, then the rest by how much worse they got. */
struct check_pair *check_pairs_make(struct arena *arena, const struct verdict *before,
                                    const struct verdict *after, size_t *count);
bool check_is_change(const struct check_pair *pair);

#endif
