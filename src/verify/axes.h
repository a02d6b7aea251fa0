/* axes.h - the axes and the place of H, from differences of rows. */
#ifndef VERIFY_AXES_H
#define VERIFY_AXES_H

#include "verify/block.h"
#include "verify/finding.h"

/* Speed, acceleration, jerk. */
enum { RATES = 3 };

struct axes {
  const struct cell *cell;
  struct findings *findings;
  int64_t value[4][AXIS_COUNT];   /* of the last four rows, the newest first; whole numbers */
  bool is_begun;                  /* there was a row; those before the first are as it is */
  vec3 before;                    /* H at the newest */
  double calm[RATES][AXIS_COUNT]; /* size of a difference that is no fault and not the worst */
};
void axes_watch(struct axes *axes, const struct cell *cell, struct findings *findings);
/* All rows in order; fills in the whole numbers of the three rows before. */
void axes_block(struct axes *axes, struct block *block);
/* After the last row of all. */
void axes_rest(struct axes *axes, const struct borelay_row *last);

#endif
