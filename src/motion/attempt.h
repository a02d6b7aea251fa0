/* attempt.h - several ways to one place: the first that is clear, else the one that lacks least. */
#ifndef BORELAY_MOTION_ATTEMPT_H
#define BORELAY_MOTION_ATTEMPT_H

#include "motion/link.h"

/* Adds the moves of way k.  false: there is no such way here, and what was added counts for
 * nothing. */
typedef bool (*attempt_go)(struct builder *builder, const void *journey, size_t k);

struct attempt_result {
  size_t ways; /* that there were */
  size_t best; /* the one whose moves were kept; meaningless without ways */
  struct link_near near;
};

/* Tries ways 0 .. count-1, in order of preference.  Where none is clear the best is the earliest
 * that nothing betters by more than 0.01 mm; its moves are marked with how many were tried. */
struct attempt_result attempt_best(struct builder *builder, size_t count, attempt_go go,
                                   const void *journey);
/* Takes the moves added since `first` back: the builder is again as it was before them. */
struct attempt_mark {
  size_t phase_count;
  int64_t now;
  struct pose pose;
};
struct attempt_mark attempt_begin(const struct builder *builder);
void attempt_undo(struct builder *builder, struct attempt_mark mark);

#endif
