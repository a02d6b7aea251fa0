/* spt.c - the binary stream: preamble, header lines, blocks, closing block.
 *
 * A block is gathered whole and its CRC held against it before the first of its rows is looked at.
 * How many bytes to gather is known from its first eight, where the count stands twice. */
#include "parts.h"

enum { PREAMBLE = 16, CRC_SIZE = 4, HEAD_FIRST = 8, CLOSING = 24 };

/* Last in each name: bytes. */
static uint64_t get(const uint8_t *from, unsigned size) {
  uint64_t value = 0;
  while (size-- > 0)
    value = value << 8 | from[size];
  return value;
}

/* Two's complement, without a shift of a negative number; sign_bit 0: it has none. */
static int64_t get_signed(const uint8_t *from, unsigned size, unsigned sign_bit) {
  uint64_t value = get(from, size), sign = (uint64_t)1 << sign_bit;
  return sign_bit && (value & sign) ? -(int64_t)(~value & (sign - 1)) - 1 : (int64_t)value;
}

static uint32_t get32(const uint8_t *from) {
  return (uint32_t)get(from, 4);
}

static void gather(struct borelay_reader *reader, enum state state, uint32_t wanted) {
  reader->own.state = (uint8_t)state;
  reader->own.wanted = wanted;
  reader->own.filled = 0;
  reader->own.place = reader->own.at;
}

static enum borelay_event fail_here(struct borelay_reader *reader, enum borelay_error error) {
  return borelay_own_fail(reader, error, reader->own.place);
}

/* -- header ------------------------------------------------------------------------------------ */

static enum borelay_event preamble_take(struct borelay_reader *reader) {
  static const uint8_t MAGIC[8] = {0x89, 'b', 'o', 'r', 'e', 'l', 'a', 'y'};
  const uint8_t *block = reader->own.block;
  for (unsigned i = 0; i < sizeof MAGIC; i++)
    if (block[i] != MAGIC[i])
      return fail_here(reader, BORELAY_ERROR_KIND);
  if (get32(block + 8) != (1 | BORELAY_RECORD_SIZE << 16))
    return fail_here(reader, BORELAY_ERROR_VERSION);
  reader->own.crc = borelay_own_crc(0, block, PREAMBLE);
  reader->own.header_left = get32(block + 12);
  reader->header.binary = true;
  reader->header.text_from = reader->own.place = PREAMBLE;
  reader->header.text_to = reader->header.text_from + reader->own.header_left;
  reader->own.state = STATE_HEADER;
  return BORELAY_MORE;
}

static enum borelay_event header_read(struct borelay_reader *reader, const uint8_t **bytes,
                                      size_t *length) {
  if (!reader->own.header_left) {
    /* Between two lines, and the last was a file's. */
    if (reader->own.step || reader->own.line != LINE_FILE)
      return borelay_own_fail(reader, BORELAY_ERROR_HEADER_LINE, reader->own.at);
    gather(reader, STATE_HEADER_CRC, CRC_SIZE);
    return BORELAY_MORE;
  }
  const uint8_t *from = *bytes;
  size_t part = *length < reader->own.header_left ? *length : reader->own.header_left;
  size_t left = part;
  bool ended = false;
  enum borelay_event event = borelay_own_line(reader, bytes, &left, &ended);
  size_t used = part - left;
  *length -= used;
  reader->own.crc = borelay_own_crc(reader->own.crc, from, used);
  reader->own.at += used;
  reader->own.header_left -= (uint32_t)used;
  if (event != BORELAY_MORE || !ended)
    return event;
  event = borelay_own_line_done(reader);
  reader->own.place = reader->own.at;
  return event;
}

/* A CRC was read and is right. */
static void chain(struct borelay_reader *reader, const uint8_t *crc) {
  reader->own.chain = borelay_own_crc(reader->own.chain, crc, CRC_SIZE);
}

static enum borelay_event header_crc_take(struct borelay_reader *reader) {
  reader->own.header_crc = get32(reader->own.block);
  if (reader->own.header_crc != reader->own.crc)
    return fail_here(reader, BORELAY_ERROR_HEADER_CRC);
  chain(reader, reader->own.block);
  enum borelay_event event = borelay_own_header_done(reader);
  if (event == BORELAY_HEADER)
    gather(reader, STATE_BLOCK, HEAD_FIRST);
  return event;
}

/* -- blocks ------------------------------------------------------------------------------------ */

static bool is_word(const uint8_t *from, const char *word) {
  for (unsigned i = 0; i < 4; i++)
    if (from[i] != (uint8_t)word[i])
      return false;
  return true;
}

/* The first eight bytes are there. */
static enum borelay_event block_begin(struct borelay_reader *reader) {
  const uint8_t *block = reader->own.block;
  if (is_word(block, "ENDS") && get32(block + 4) == 0) {
    reader->own.wanted = CLOSING;
    return BORELAY_MORE;
  }
  uint32_t count = get32(block + 4);
  reader->own.block_rows = count & 0xffff;
  if (!is_word(block, "ROWS") || (count >> 16) + reader->own.block_rows != 0xffff ||
      reader->own.block_rows - 1 >= BORELAY_BLOCK_ROWS)
    return fail_here(reader, BORELAY_ERROR_BLOCK);
  reader->own.wanted = BORELAY_BLOCK_HEAD + reader->own.block_rows * BORELAY_RECORD_SIZE + CRC_SIZE;
  return BORELAY_MORE;
}

/* A new block begins only where the one before was full or had other labels: one way to write a
 * stream.  own.figure keeps the labels for the block's rows. */
static bool is_begun_well(struct borelay_reader *reader) {
  bool well = !reader->own.rows || reader->own.given == BORELAY_BLOCK_ROWS;
  int64_t *figure = reader->own.figure + FIGURE_OVERLAY;
  for (unsigned i = 0; i < 4; i++) {
    int64_t label = get32(reader->own.block + 20 + 4 * (size_t)i);
    well = well || figure[i] != label;
    figure[i] = label;
  }
  return well;
}

static enum borelay_event block_end(struct borelay_reader *reader) {
  const uint8_t *block = reader->own.block;
  uint32_t length = reader->own.wanted - CRC_SIZE;
  if (borelay_own_crc(0, block, length) != get32(block + length))
    return fail_here(reader, BORELAY_ERROR_BLOCK_CRC);
  uint64_t number = get(block + 8, 8);
  if (is_word(block, "ENDS")) {
    if (get32(block + 16) != reader->own.chain)
      return fail_here(reader, BORELAY_ERROR_CRC);
    if (number != reader->own.rows || number != reader->header.rows)
      return fail_here(reader, BORELAY_ERROR_ROWS);
    reader->own.state = STATE_ENDED;
    return BORELAY_END;
  }
  if (number != reader->own.rows || get32(block + 16) != reader->own.header_crc ||
      !is_begun_well(reader))
    return fail_here(reader, BORELAY_ERROR_BLOCK_ORDER);
  chain(reader, block + length);
  reader->own.place += BORELAY_BLOCK_HEAD;
  reader->own.given = 0;
  reader->own.state = STATE_ROWS;
  return BORELAY_MORE;
}

static const struct {
  uint8_t figure, size, sign_bit;
} FIELDS[] = {{FIGURE_X, 6, 47},      {FIGURE_Y, 6, 47},      {FIGURE_Z, 6, 47},
              {FIGURE_HEAD, 8, 63},   {FIGURE_CURRENT, 3, 0}, {FIGURE_WIRE_CURRENT, 3, 0},
              {FIGURE_VOLTAGE, 3, 0}, {FIGURE_WIRE, 4, 31}};

static enum borelay_event row_give(struct borelay_reader *reader) {
  if (reader->own.given == reader->own.block_rows) {
    gather(reader, STATE_BLOCK, HEAD_FIRST);
    return BORELAY_MORE;
  }
  const uint8_t *record =
      reader->own.block + BORELAY_BLOCK_HEAD + (size_t)reader->own.given * BORELAY_RECORD_SIZE;
#ifdef BORELAY_READER_QUICK
  if (borelay_own_record_quick(reader, &reader->row))
    return BORELAY_ROW;
#endif
  int64_t *figure = reader->own.figure;
  for (unsigned i = 0; i < sizeof FIELDS / sizeof FIELDS[0]; record += FIELDS[i++].size)
    figure[FIELDS[i].figure] = get_signed(record, FIELDS[i].size, FIELDS[i].sign_bit);
  unsigned flags = *record;
  figure[FIGURE_PHASE] = flags & 7;
  figure[FIGURE_ARC] = flags >> 3 & 1;
  figure[FIGURE_GAS] = flags >> 4 & 1;
  figure[FIGURE_AVC] = flags >> 5;
  enum borelay_event event = borelay_own_row(reader);
  reader->own.given++;
  reader->own.place += BORELAY_RECORD_SIZE;
  return event;
}

static enum borelay_event gathered(struct borelay_reader *reader) {
  switch (reader->own.state) {
  case STATE_PREAMBLE:
    return preamble_take(reader);
  case STATE_HEADER_CRC:
    return header_crc_take(reader);
  default: /* STATE_BLOCK */
    return reader->own.wanted == HEAD_FIRST ? block_begin(reader) : block_end(reader);
  }
}

enum borelay_event borelay_own_spt(struct borelay_reader *reader, const uint8_t **bytes,
                                   size_t *length) {
  if (reader->own.state == STATE_ROWS)
    return row_give(reader);
  if (reader->own.state == STATE_HEADER)
    return header_read(reader, bytes, length);
  uint32_t missing = reader->own.wanted - reader->own.filled;
  uint32_t part = *length < missing ? (uint32_t)*length : missing;
  uint8_t *to = reader->own.block + reader->own.filled;
  const uint8_t *from = *bytes;
  for (uint32_t i = 0; i < part; i++)
    to[i] = from[i];
  *bytes += part;
  *length -= part;
  reader->own.at += part;
  reader->own.filled += part;
  return part == missing ? gathered(reader) : BORELAY_MORE;
}
