/* reader.c - which kind of stream, and the lines of the text. */
#include "parts.h"

void borelay_reader_begin(struct borelay_reader *reader) {
  /* All but the block, which is always filled before it is read.  A volatile byte at a time: no
   * compiler makes that a call of a library's memset. */
  volatile uint8_t *byte = (volatile uint8_t *)reader;
  for (size_t i = 0; i < offsetof(struct borelay_reader, own.block); i++)
    byte[i] = 0;
}

enum borelay_event borelay_own_fail(struct borelay_reader *reader, enum borelay_error error,
                                    uint64_t at) {
  reader->error = error;
  reader->error_at = at;
  reader->error_row = reader->own.rows;
  reader->own.state = STATE_FAILED;
  return BORELAY_ERROR;
}

/* The header lines end where the names of the columns begin. */
static void mark_header(struct borelay_reader *reader) {
  if (reader->own.line <= LINE_FILE)
    reader->header.text_to = reader->own.at;
}

void borelay_own_take(struct borelay_reader *reader, const uint8_t *from, size_t used) {
  reader->own.at += used;
  reader->own.crc = borelay_own_crc(reader->own.crc, from, used);
}

void borelay_own_line_begin(struct borelay_reader *reader) {
  reader->own.place = reader->own.at;
  reader->own.line_crc = reader->own.crc;
}

static enum borelay_event text_read(struct borelay_reader *reader, const uint8_t **bytes,
                                    size_t *length) {
  const uint8_t *from = *bytes;
#ifdef BORELAY_READER_QUICK
  if (borelay_own_text_quick(reader, &reader->row, bytes, length))
    return BORELAY_ROW;
#endif
  bool ended = false;
  enum borelay_event event = borelay_own_line(reader, bytes, length, &ended);
  size_t used = (size_t)(*bytes - from);
  borelay_own_take(reader, from, used);
  if (!ended || event != BORELAY_MORE)
    return event;
  mark_header(reader);
#ifdef BORELAY_READER_QUICK
  bool is_whole = reader->own.place + used == reader->own.at;
  if (reader->own.line == LINE_ROW)
    borelay_own_row_seen(reader, from, is_whole ? used : 0);
#endif
  event = borelay_own_line_done(reader);
  borelay_own_line_begin(reader);
  return event;
}

static enum borelay_event begin(struct borelay_reader *reader, uint8_t first) {
  if (first == '#') {
    reader->own.state = STATE_TEXT;
  } else if (first == 0x89) {
    reader->own.state = STATE_PREAMBLE;
    reader->own.wanted = 16;
  } else {
    return borelay_own_fail(reader, BORELAY_ERROR_KIND, 0);
  }
  return BORELAY_MORE;
}

static enum borelay_event step(struct borelay_reader *reader, const uint8_t **bytes,
                               size_t *length) {
  switch (reader->own.state) {
  case STATE_BEGIN:
    return begin(reader, **bytes);
  case STATE_TEXT:
    return text_read(reader, bytes, length);
  case STATE_ENDED:
    return borelay_own_fail(reader, BORELAY_ERROR_TRAILING, reader->own.at);
  case STATE_FAILED:
    return BORELAY_ERROR;
  default:
    return borelay_own_spt(reader, bytes, length);
  }
}

enum borelay_event borelay_reader_next(struct borelay_reader *reader, const uint8_t **bytes,
                                       size_t *length) {
  enum borelay_event event = BORELAY_MORE;
  if (reader->own.state == STATE_ROWS && reader->own.given < reader->own.block_rows)
    return borelay_own_spt(reader, bytes, length);
  /* Rows of a block need no more bytes. */
  while (event == BORELAY_MORE &&
         (*length > 0 || reader->own.state == STATE_ROWS || reader->own.state == STATE_FAILED))
    event = step(reader, bytes, length);
  return event;
}

enum borelay_event borelay_reader_finish(struct borelay_reader *reader) {
  if (reader->own.state == STATE_ENDED)
    return BORELAY_END;
  if (reader->own.state == STATE_FAILED)
    return BORELAY_ERROR;
  return borelay_own_fail(reader, BORELAY_ERROR_TRUNCATED, reader->own.at);
}
