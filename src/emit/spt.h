/* spt.h - the binary stream: docs/stream-format.md, "Binary stream". */
#ifndef EMIT_SPT_H
#define EMIT_SPT_H

#include "borelay/emit.h"
#include "borelay/steady.h"
#include "emit/setpoint.h"

struct spt_block { /* one that rows go into */
  uint8_t *bytes;
  uint32_t filled;          /* rows in it */
  struct borelay_row first; /* its labels; of use while there are rows */
};

struct spt {
  struct outfile *to;
  uint64_t rows;
  uint32_t header_crc, chain; /* chain: over all CRCs so far */
  struct spt_block block;     /* in room */
  uint8_t room[BORELAY_BLOCK_HEAD + BORELAY_BLOCK_ROWS * BORELAY_RECORD_SIZE + 4];
};

/* header: lines as in the text stream.  Longer than 32 bits tell: to->error is set. */
void spt_begin(struct spt *spt, struct outfile *to, const char *header, size_t length);
/* The row's figures are in range: setpoint.h, or the reader has given it. */
void spt_row(struct spt *spt, const struct borelay_row *row);
void spt_end(struct spt *spt);

/* A part of a stream, from where a block begins to where one ends: made in memory, by itself. */
enum { SPT_PART_ROWS = 5120, SPT_ROW_ROOM = BORELAY_BLOCK_HEAD + BORELAY_RECORD_SIZE + 4 };
struct spt_part {
  uint32_t header_crc;
  uint64_t rows;
  struct spt_block block;
  size_t crc_count;
  uint8_t crcs[SPT_PART_ROWS][4]; /* of the blocks */
};

/* At most SPT_PART_ROWS rows come; `to` has SPT_ROW_ROOM bytes for each, and for RECORDS_SPARE. */
void spt_part_begin(struct spt_part *part, uint32_t header_crc, uint8_t *to);
void spt_part_row(struct spt_part *part, const struct borelay_row *row);
/* All rows of a block: the same bytes. */
void spt_part_rows(struct spt_part *part, const struct row_block *rows);
/* `count` rows of a steady piece, which are like `row` but for time and pose; its index is that of
 * the first.  Returns how many it was: up to where one is near a half (steady.h). */
size_t spt_part_steady(struct spt_part *part, const struct borelay_row *row,
                       const struct steady *steady, size_t count);
/* How many more rows like the last ones the block takes that they would go to. */
size_t spt_part_room(const struct spt_part *part);
uint8_t *spt_part_end(struct spt_part *part);
/* The next part of the stream; rows that came one by one ended with a block. */
void spt_pass(struct spt *spt, const struct spt_part *part, const char *bytes, size_t length);

#endif
