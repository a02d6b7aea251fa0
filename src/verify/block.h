/* block.h - a stretch of rows side by side, as figures, so that loops over them can be done several
 * at a time.  What is worked out here for a row is, bit for bit, what head.c works out for one. */
#ifndef VERIFY_BLOCK_H
#define VERIFY_BLOCK_H

#include "borelay_reader.h"
#include "verify/head.h"

enum { BLOCK_ROWS = 128, BLOCK_BEFORE = 3 };

struct block {
  size_t count;
  struct borelay_row rows[BLOCK_ROWS];
  bool repeats[BLOCK_ROWS]; /* known: differs from the row before by time and place alone */
  /* the axes' whole numbers as they are; in front of them those of the three rows before */
  double whole[AXIS_COUNT][BLOCK_BEFORE + BLOCK_ROWS];
  double x[BLOCK_ROWS], y[BLOCK_ROWS], z[BLOCK_ROWS];             /* H, cell frame */
  double angle[BLOCK_ROWS];                                       /* rad, cell frame */
  double tip_x[BLOCK_ROWS], tip_y[BLOCK_ROWS], tip_z[BLOCK_ROWS]; /* part frame */
  double torch_cos[BLOCK_ROWS], torch_sin[BLOCK_ROWS]; /* direction of the torch, part frame */
  double moved[BLOCK_ROWS];  /* of H since the row before, mm; [0] is left to the caller */
  double turned[BLOCK_ROWS]; /* size of the head's turn since then, rad */
};
/* rows, repeats and count are given. */
void block_fill(struct block *block, const struct cell *cell, const struct lie *lie);
struct head block_head(const struct block *block, size_t i);
/* Whether row i tells the same phase, labels, switches and values as `before`. */
static inline bool row_repeats(const struct borelay_row *row, const struct borelay_row *before) {
  bool same_values = row->wire_um_s == before->wire_um_s &&
                     row->current_100ma == before->current_100ma &&
                     row->wire_current_100ma == before->wire_current_100ma &&
                     row->voltage_10mv == before->voltage_10mv;
  bool same_labels = row->overlay == before->overlay && row->layer == before->layer &&
                     row->lap == before->lap && row->line == before->line;
  return same_values && same_labels && row->phase == before->phase && row->arc == before->arc &&
         row->gas == before->gas && row->avc == before->avc;
}

#endif
