/* parts.h - what the files of the reader library share.  C99, freestanding headers only. */
#ifndef READER_PARTS_H
#define READER_PARTS_H

#include "borelay_reader.h"

/* In the program itself, and where the machine's bytes lie as a stream's do. */
#if defined BORELAY_READER_FAST && defined __GNUC__ && __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__
#define BORELAY_READER_QUICK
#endif

enum state {
  STATE_BEGIN,      /* not a byte yet */
  STATE_TEXT,       /* lines of a text stream */
  STATE_PREAMBLE,   /* .spt: gathering the preamble */
  STATE_HEADER,     /* .spt: header lines */
  STATE_HEADER_CRC, /* .spt: gathering the header CRC */
  STATE_BLOCK,      /* .spt: gathering a block or the closing block */
  STATE_ROWS,       /* .spt: handing out the rows of a block */
  STATE_ENDED,
  STATE_FAILED
};

/* The lines of the grammar, in their order. */
enum line {
  LINE_VERSION,
  LINE_MODE,
  LINE_JOB,
  LINE_SOURCE,
  LINE_CELL,
  LINE_TORCH,
  LINE_DATUM,
  LINE_PROCEDURE, /* once or more */
  LINE_TICK,
  LINE_ROWS,
  LINE_DURATION,
  LINE_HEAD_END,
  LINE_VERDICT,
  LINE_OVERLAY, /* once or more */
  LINE_FILE,    /* once or more */
  LINE_COLUMNS, /* text only */
  LINE_ROW,     /* text only; once or more */
  LINE_END,     /* text only */
  LINE_COUNT
};

/* Sets the error and returns BORELAY_ERROR. */
enum borelay_event borelay_own_fail(struct borelay_reader *reader, enum borelay_error error,
                                    uint64_t at);

/* CRC-32C of what came before (0 at the start) and of `length` bytes more. */
uint32_t borelay_own_crc(uint32_t crc, const uint8_t *bytes, size_t length);

/* Reads on in the present line, past its newline at most.  BORELAY_MORE: all bytes are taken, or
 * the line has ended, which *ended tells.  *length is at least 1. */
enum borelay_event borelay_own_line(struct borelay_reader *reader, const uint8_t **bytes,
                                    size_t *length, bool *ended);
/* A line has ended: what it says goes where it belongs. */
enum borelay_event borelay_own_line_done(struct borelay_reader *reader);
/* The header is whole. */
enum borelay_event borelay_own_header_done(struct borelay_reader *reader);

/* Text: bytes are taken; the next line begins behind what is taken. */
void borelay_own_take(struct borelay_reader *reader, const uint8_t *from, size_t used);
void borelay_own_line_begin(struct borelay_reader *reader);

#ifdef BORELAY_READER_QUICK
/* A line that was a row. */
void borelay_own_row_seen(struct borelay_reader *reader, const uint8_t *line, size_t length);
/* At the beginning of a line: how many bytes it has if it is a row that differs from reader->row by
 * time and place alone; it goes to *row.  0: it has to be read piece by piece. */
size_t borelay_own_row_quick(struct borelay_reader *reader, struct borelay_row *row,
                             const uint8_t *bytes, size_t length);
/* The same of a line that is taken. */
bool borelay_own_text_quick(struct borelay_reader *reader, struct borelay_row *row,
                            const uint8_t **bytes, size_t *length);
/* In a block: the next row, if it differs so; it goes to *row. */
bool borelay_own_record_quick(struct borelay_reader *reader, struct borelay_row *row);
#endif

/* |value| < 2^bits */
bool borelay_own_fits(int64_t value, unsigned bits);
#define BORELAY_LENGTH_BITS 47

/* own.figure, from FIGURE_X on, becomes reader->row, if a row may stand there. */
enum figure {
  FIGURE_T,
  FIGURE_X,
  FIGURE_Y,
  FIGURE_Z,
  FIGURE_HEAD,
  FIGURE_PHASE,
  FIGURE_ARC,
  FIGURE_CURRENT,
  FIGURE_VOLTAGE,
  FIGURE_WIRE,
  FIGURE_WIRE_CURRENT,
  FIGURE_GAS,
  FIGURE_AVC,
  FIGURE_OVERLAY,
  FIGURE_LAYER,
  FIGURE_LAP,
  FIGURE_LINE,
  FIGURE_COUNT
};
enum borelay_event borelay_own_row(struct borelay_reader *reader);

/* States STATE_PREAMBLE to STATE_ROWS. */
enum borelay_event borelay_own_spt(struct borelay_reader *reader, const uint8_t **bytes,
                                   size_t *length);

#endif
