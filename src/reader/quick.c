/* quick.c - rows that differ from the one before them by their time and place alone, as most do:
 * what may stand in the one may stand in the other, but for the last row of all.
 *
 * Of a text the five numbers are read eight bytes at a time; behind them everything has to be the
 * same, byte for byte.  Whatever else stands there, and every fault, is left to line.c, spt.c and
 * row.c, which then see the line or the record from its beginning. */
#include "parts.h"

#ifdef BORELAY_READER_FAST
#include "borelay/reader.h"
#endif

#ifdef BORELAY_READER_QUICK

enum { NUMBERS = 5, TAIL_MOST = 120 };

static uint64_t load(const uint8_t *from) {
  uint64_t value;
  __builtin_memcpy(&value, from, 8);
  return value;
}

#define EVERY(byte) (0x0101010101010101u * (uint64_t)(byte))

/* Eight digits, the first in the lowest byte, as values 0 .. 9. */
static uint64_t eight_digits(uint64_t digits) {
  uint64_t pairs = digits * 10 + (digits >> 8); /* in bytes 0, 2, 4, 6 */
  uint64_t mask = 0x000000ff000000ff;
  return ((pairs & mask) * 0x000f424000000064 + (pairs >> 16 & mask) * 0x0000271000000001) >> 32;
}

static bool are_digits(uint64_t values) {
  return (((values + EVERY(0x76)) | values) & EVERY(0x80)) == 0;
}

/* At most seven digits, a point, six decimals, a comma.  NULL: it is not written so. */
static const uint8_t *number_read(const uint8_t *at, int64_t *value) {
  bool negative = *at == '-';
  at += negative;
  uint64_t word = load(at), apart = word ^ EVERY('.');
  uint64_t points = (apart - EVERY(1)) & ~apart & EVERY(0x80);
  if (!points)
    return NULL;
  unsigned length = (unsigned)__builtin_ctzll(points) / 8;
  if (length == 0 || (*at == '0' && length > 1))
    return NULL;
  uint64_t whole = (word ^ EVERY('0')) << (64 - 8 * length), decimals = load(at + length);
  uint64_t six = (decimals ^ EVERY('0')) >> 8 << 16; /* and the comma beyond them */
  if (!are_digits(whole) || !are_digits(six) || decimals >> 56 != ',')
    return NULL;
  uint64_t size = eight_digits(whole) * 1000000 + eight_digits(six);
  if (negative && size == 0)
    return NULL;
  *value = negative ? -(int64_t)size : (int64_t)size;
  return at + length + 8;
}

/* own.block, which a text has no other use for, keeps what stood behind the numbers, own.filled
 * bytes of it. */
void borelay_own_row_seen(struct borelay_reader *reader, const uint8_t *line, size_t length) {
  size_t i = 0;
  unsigned commas = 0;
  reader->own.filled = 0;
  while (i < length && commas < NUMBERS)
    commas += line[i++] == ',';
  if (commas < NUMBERS || length - i > TAIL_MOST)
    return;
  __builtin_memcpy(reader->own.block, line + i, length - i);
  reader->own.filled = (uint32_t)(length - i);
}

/* What the row has in common with the one before it, and its number. */
static void row_go_on(struct borelay_reader *reader, struct borelay_row *row) {
  const size_t from = offsetof(struct borelay_row, wire_um_s);
  if (row != &reader->row)
    __builtin_memcpy((char *)row + from, (const char *)&reader->row + from, sizeof *row - from);
  row->index = reader->own.rows++;
  row->t_us = row->index * reader->header.tick_us;
}

size_t borelay_own_row_quick(struct borelay_reader *reader, struct borelay_row *row,
                             const uint8_t *bytes, size_t length) {
  int64_t value[NUMBERS];
  const uint8_t *at = bytes;
  /* five numbers of 16 bytes and what is loaded beyond them */
  if (!reader->own.filled || length < NUMBERS * 16 + 16 + TAIL_MOST ||
      reader->own.rows + 1 >= reader->header.rows)
    return 0;
  for (unsigned i = 0; i < NUMBERS; i++) {
    at = number_read(at, &value[i]);
    if (!at)
      return 0;
  }
  uint32_t tail = reader->own.filled;
  if (value[0] != (int64_t)(reader->own.rows * reader->header.tick_us) ||
      __builtin_memcmp(at, reader->own.block, tail) != 0)
    return 0;
  row_go_on(reader, row);
  row->x_nm = value[1];
  row->y_nm = value[2];
  row->z_nm = value[3];
  row->head_udeg = value[4];
  return (size_t)(at - bytes) + tail;
}

bool borelay_own_text_quick(struct borelay_reader *reader, struct borelay_row *row,
                            const uint8_t **bytes, size_t *length) {
  bool is_begin = reader->own.line == LINE_ROW && reader->own.place == reader->own.at;
  size_t used = is_begin ? borelay_own_row_quick(reader, row, *bytes, *length) : 0;
  if (used == 0)
    return false;
  borelay_own_take(reader, *bytes, used);
  borelay_own_line_begin(reader);
  *bytes += used;
  *length -= used;
  return true;
}

/* -- records ----------------------------------------------------------------------------------- */

/* Two's complement of six bytes. */
static int64_t six_bytes(const uint8_t *from) {
  return (int64_t)(load(from) << 16) >> 16;
}

bool borelay_own_record_quick(struct borelay_reader *reader, struct borelay_row *row) {
  static const int64_t LEAST = -((int64_t)1 << BORELAY_LENGTH_BITS); /* a text has none such */
  uint32_t given = reader->own.given;
  const uint8_t *record =
      reader->own.block + BORELAY_BLOCK_HEAD + (size_t)given * BORELAY_RECORD_SIZE;
  const uint8_t *before = record - BORELAY_RECORD_SIZE;
  if (given == 0 || given >= reader->own.block_rows || load(record + 26) != load(before + 26) ||
      load(record + 32) != load(before + 32) || reader->own.rows + 1 >= reader->header.rows)
    return false;
  int64_t x = six_bytes(record), y = six_bytes(record + 6), z = six_bytes(record + 12),
          head = (int64_t)load(record + 18);
  if (x == LEAST || y == LEAST || z == LEAST || head == INT64_MIN)
    return false;
  row_go_on(reader, row);
  row->x_nm = x;
  row->y_nm = y;
  row->z_nm = z;
  row->head_udeg = head;
  reader->own.given = given + 1;
  reader->own.place += BORELAY_RECORD_SIZE;
  return true;
}

size_t borelay_reader_more(struct borelay_reader *reader, const uint8_t **bytes, size_t *length,
                           struct borelay_row *rows, size_t room) {
  size_t count = 0;
  if (reader->own.state == STATE_ROWS)
    while (count < room && borelay_own_record_quick(reader, &rows[count]))
      count++;
  else if (reader->own.state == STATE_TEXT)
    while (count < room && borelay_own_text_quick(reader, &rows[count], bytes, length))
      count++;
  if (count > 0)
    reader->row = rows[count - 1];
  return count;
}

#elif defined BORELAY_READER_FAST

/* Elsewhere every row is handed out by borelay_reader_next(). */
size_t borelay_reader_more(struct borelay_reader *reader, const uint8_t **bytes, size_t *length,
                           struct borelay_row *rows, size_t room) {
  (void)reader;
  (void)bytes;
  (void)length;
  (void)rows;
  (void)room;
  return 0;
}

#endif
