/* tick.h - everything that a row says, tick by tick: the one place that text and binary share.
 *
 * docs/stream-format.md, "What a row means". */
#ifndef BORELAY_TICK_H
#define BORELAY_TICK_H

#include "borelay/motion.h"

struct tick_values {
  int64_t tick;
  struct pose pose; /* mm, rad; cell frame */
  enum phase_kind phase;
  bool arc, gas, avc;
  double current, voltage;   /* A, V */
  double wire, wire_current; /* mm/s, negative while drawn back; A */
  int32_t overlay, layer;    /* from 1; 0 after the last postflow */
  int64_t lap;
  uint32_t line; /* of the overlay's head */
};

/* Walks the motion once, from tick 0 to motion->ticks.  Memory: one piece. */
struct tick_cursor {
  const struct motion *motion;
  double tick_s;
  size_t phase;
  int64_t next; /* tick that comes next */
  struct piece_iter iter;
  struct piece piece; /* holds the last tick given */
  bool iterating;
};

/* Ticks whose rows differ in time and pose alone. */
struct tick_block {
  struct tick_values values; /* of its first tick; the pose is to be taken from below */
  size_t count;              /* 1 .. POSES_MOST */
  struct poses poses;
};

void tick_cursor_begin(struct tick_cursor *cursor, const struct motion *motion);
/* False after the last tick; then, and only then, nothing is left to release. */
bool tick_cursor_next(struct tick_cursor *cursor, struct tick_values *values);
/* The same ticks, as many at a time as have one set of values and one piece. */
bool tick_cursor_block(struct tick_cursor *cursor, struct tick_block *block);
/* For whoever stops early. */
void tick_cursor_end(struct tick_cursor *cursor);

/* What a phase says at one of its ticks, all but the pose. */
struct tick_values tick_phase_values(const struct motion *motion, const struct phase *phase,
                                     int64_t tick);

#endif
