/* spt.h - the binary stream: docs/stream-format.md, "Binary stream". */
#ifndef EMIT_SPT_H
#define EMIT_SPT_H

#include "borelay/emit.h"
#include "emit/setpoint.h"

struct spt {
  struct outfile *to;
  uint64_t rows;
  uint32_t header_crc, chain; /* chain: over all CRCs so far */
  uint32_t filled;            /* rows in block */
  struct borelay_row first;   /* of the block: its labels */
  uint8_t block[BORELAY_BLOCK_HEAD + BORELAY_BLOCK_ROWS * BORELAY_RECORD_SIZE + 4];
};

/* header: lines as in the text stream.  Longer than 32 bits tell: to->error is set. */
void spt_begin(struct spt *spt, struct outfile *to, const char *header, size_t length);
/* The row's figures are in range: setpoint.h, or the reader has given it. */
void spt_row(struct spt *spt, const struct borelay_row *row);
/* The same for all rows of a block: the same bytes. */
void spt_rows(struct spt *spt, const struct row_block *rows);
void spt_end(struct spt *spt);

#endif
