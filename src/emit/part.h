/* part.h - a stream in parts that can be made by themselves, each by another thread.
 *
 * Where parts end depends on the motion alone, so neither they nor their bytes depend on who makes
 * them or in which order. */
#ifndef EMIT_PART_H
#define EMIT_PART_H

#include "emit/spt.h"
#include "emit/text_row.h"

/* Cuts a motion into parts, one after the other.  A part ends where a block of a binary stream
 * does. */
struct part_source {
  int64_t rows_enough; /* for a part of that kind */
  struct tick_cursor cursor;
  struct tick_stretch ahead; /* that nothing, or not all, has been taken of yet */
  int64_t taken;             /* ticks of it; all of it: the next one is to be found */
  int64_t since;             /* rows since the labels last changed */
};

/* From so many rows or stretches on, a part ends with the next block.  Enough that a hand-over
 * between threads does not count; few enough that the bytes, of either kind as many, stay in a
 * core's cache. */
enum {
  PART_TEXT_ROWS = 2048,
  PART_BINARY_ROWS = 4096,
  PART_STRETCHES_ENOUGH = 128,
  PART_STRETCHES_MOST = PART_STRETCHES_ENOUGH + BORELAY_BLOCK_ROWS,
  /* one more: what is too much of a row */
  PART_BYTES_MOST = (PART_TEXT_ROWS + BORELAY_BLOCK_ROWS + 1) * TEXT_ROW_ROOM
};

struct part {
  int64_t rows;
  size_t stretch_count, length;
  uint32_t crc32c; /* text only */
  int error;       /* 0: all is well */
  struct tick_stretch stretches[PART_STRETCHES_MOST];
  struct spt_part spt;
  char bytes[PART_BYTES_MOST]; /* of its rows: so many as `length` tells */
};

void part_source_begin(struct part_source *source, const struct motion *motion, bool binary);
void part_source_end(struct part_source *source);
/* Which ticks come next; cheap.  False: there are none. */
bool part_take(struct part *part, struct part_source *source);

/* Whoever makes rows of parts, one after the other, and what it keeps between them. */
struct part_maker {
  const struct motion *motion;
  bool binary;
  uint32_t header_crc; /* of a binary stream */
  struct setpoint setpoint;
  struct text_row text;
  struct steady steady;
  struct part *part; /* that is being made */
  char *to;          /* where its next row goes */
};
void part_maker_begin(struct part_maker *maker, const struct motion *motion, bool binary,
                      uint32_t header_crc);
/* The rows of its ticks. */
void part_make(struct part_maker *maker, struct part *part);

#endif
