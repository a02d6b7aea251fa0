/* setpoint.h - a tick's values as the whole numbers that a row carries: the one place where they
 * are rounded, so that text and binary say the same. */
#ifndef EMIT_SETPOINT_H
#define EMIT_SETPOINT_H

#include "borelay/tick.h"
#include "borelay_reader.h"

/* What changes seldom is rounded only when it changes. */
struct setpoint {
  uint32_t tick_us;
  struct tick_values values; /* that the seldom changing part of row was made from */
  bool is_made;
  struct borelay_row row;
};

/* Rows that differ in number, time and pose alone. */
struct row_block {
  struct borelay_row row; /* the first one */
  size_t count;           /* 1 .. POSES_MOST */
  uint32_t tick_us;
  int64_t x_nm[POSES_MOST], y_nm[POSES_MOST], z_nm[POSES_MOST], head_udeg[POSES_MOST];
};

void setpoint_begin(struct setpoint *setpoint, int64_t tick_us);
/* Fills setpoint->row.  False: a figure that no stream can carry (docs/stream-format.md, "What a
 * reader refuses"); job files that give one are refused long before. */
bool setpoint_make(struct setpoint *setpoint, const struct tick_values *values);

/* The same, but for the pose, of which nothing is kept. */
bool setpoint_labels(struct setpoint *setpoint, const struct tick_values *values);

/* The same of many ticks, not yet ended; afterwards their x and y, though not ended, come to the
 * right numbers.  False too where only setpoint_make() can round what the block holds: angles of
 * 2^51 millionths of a degree and more. */
bool setpoint_block(struct setpoint *setpoint, struct tick_block *ticks, struct row_block *rows);
/* Fills setpoint->row with the pose of row i and, for the rest, with what `values` say.  False as
 * setpoint_make(). */
bool setpoint_in_block(struct setpoint *setpoint, const struct row_block *rows, size_t i,
                       const struct tick_values *values);
/* Row i of the block as it would be alone. */
struct borelay_row row_of_block(const struct row_block *rows, size_t i);

#endif
