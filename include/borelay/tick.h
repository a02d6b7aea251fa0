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
  bool is_step;              /* between laps; not in the row */
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
  /* up to here, not included, ticks say what `values` says, or vary */
  int64_t alike_until;
  struct tick_values values;
  bool varies;
};

/* Ticks of one piece that carry one set of labels. */
struct tick_stretch {
  int64_t count;             /* >= 1 */
  struct tick_values values; /* of its first tick, without the pose; of all of them unless: */
  bool varies;               /* each says what tick_phase_values() says; all are on one leg */
  bool goes_on;              /* they say what those of the stretch before say */
  const struct phase *phase;
  struct piece piece;
};

/* Ticks whose rows differ in time and pose alone. */
struct tick_block {
  struct tick_values values; /* of its first tick; the pose is to be taken from below */
  size_t count;              /* 1 .. POSES_MOST */
  struct poses poses;        /* as path.h has them for rows */
  size_t placed;             /* so many have their x and y, which tick_block_end() sees to */
  struct curve curve;        /* on which the others lie */
};

void tick_cursor_begin(struct tick_cursor *cursor, const struct motion *motion);
/* False after the last tick; then, and only then, nothing is left to release. */
bool tick_cursor_next(struct tick_cursor *cursor, struct tick_values *values);
/* The same ticks, as many at a time as one stretch can hold. */
bool tick_cursor_stretch(struct tick_cursor *cursor, struct tick_stretch *stretch);
/* For whoever stops early. */
void tick_cursor_end(struct tick_cursor *cursor);

/* Puts ticks from number `from` of the stretch on behind those of the block, which come before them
 * and say the same, or into an empty one; as many as there is room for.  Returns how many. */
size_t tick_stretch_block(const struct motion *motion, const struct tick_stretch *stretch,
                          int64_t from, struct tick_block *block);
/* No more ticks come to it. */
void tick_block_end(struct tick_block *block);
/* The same, but x and y are only as poses_place_nearly() has them, whose bound is returned.
 * tick_block_end() may follow. */
double tick_block_end_nearly(struct tick_block *block);

/* What a phase says at one of its ticks, all but the pose. */
struct tick_values tick_phase_values(const struct motion *motion, const struct phase *phase,
                                     int64_t tick);
/* The same from those of an earlier tick on the same leg. */
void tick_values_go_on(struct tick_values *values, const struct motion *motion,
                       const struct phase *phase, int64_t tick);

#endif
