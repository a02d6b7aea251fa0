/* axes.h - the axes and the place of H, from differences of rows. */
#ifndef VERIFY_AXES_H
#define VERIFY_AXES_H

#include "borelay_reader.h"
#include "verify/finding.h"
#include "verify/head.h"

struct axes {
  const struct cell *cell;
  struct findings *findings;
  int64_t value[4][AXIS_COUNT]; /* of the last four rows, the newest first; whole numbers */
  int known;                    /* how many of them */
  struct head before;
};
void axes_watch(struct axes *axes, const struct cell *cell, struct findings *findings);
void axes_row(struct axes *axes, const struct borelay_row *row, const struct head *head);

#endif
