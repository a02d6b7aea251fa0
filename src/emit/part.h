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
  struct tick_cursor cursor;
  struct tick_stretch ahead; /* that nothing, or not all, has been taken of yet */
  int64_t taken;             /* ticks of it; all of it: the next one is to be found */
  int64_t since;             /* rows since the labels last changed */
};
void part_source_begin(struct part_source *source, const struct motion *motion);
void part_source_end(struct part_source *source);

struct part {
  const struct motion *motion;
  bool binary;
  uint32_t header_crc; /* of a binary stream */
  struct setpoint setpoint;
  struct text_row text;
  struct spt_part spt;
  struct tick_stretch *stretches;
  size_t stretch_count;
  int64_t rows;
  char *bytes; /* of its rows */
  size_t length;
  uint32_t crc32c; /* text only */
  int error;       /* 0: all is well */
};

/* NULL: no memory. */
struct part *part_new(const struct motion *motion, bool binary, uint32_t header_crc);
void part_free(struct part *part);
/* Which ticks come next; cheap.  False: there are none. */
bool part_take(struct part *part, struct part_source *source);
/* Their rows. */
void part_make(struct part *part);

#endif
