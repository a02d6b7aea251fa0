/* setpoint.h - a tick's values as the whole numbers that a row carries: the one place where they
 * are rounded, so that text and binary say the same. */
#ifndef EMIT_SETPOINT_H
#define EMIT_SETPOINT_H

#include "borelay_reader.h"
#include "emit/tick.h"

/* What changes seldom is rounded only when it changes. */
struct setpoint {
  uint32_t tick_us;
  struct tick_values values; /* that the seldom changing part of row was made from */
  bool is_made;
  struct borelay_row row;
};

void setpoint_begin(struct setpoint *setpoint, int64_t tick_us);
/* Fills setpoint->row.  False: a figure that no stream can carry (docs/stream-format.md, "What a
 * reader refuses"); job files that give one are refused long before. */
bool setpoint_make(struct setpoint *setpoint, const struct tick_values *values);

#endif
