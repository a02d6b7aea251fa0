/* fuzz_reader.c - libFuzzer on the reader library: any bytes, in pieces of any size.
 *
 * The first byte says how the rest is pushed and whether its CRCs are made right before, so that
 * the fuzzer gets past them.  Beside what the sanitizers see, it must hold that reading in pieces
 * tells the same as reading at once, that no event comes for ever, and that a stream that ends well
 * holds to the rules that a controller leans on.  `make fuzz` runs it on the library as controllers
 * get it and as it is in the program; docs/reliability.md. */
#include <stdlib.h>
#include <string.h>

#include "borelay_reader.h"
#include "reader/parts.h"
#ifdef BORELAY_READER_FAST /* as it is in the program: rows by the dozen too */
#include "borelay/reader.h"
#endif

#define HOLD(condition)                                                                            \
  do {                                                                                             \
    if (!(condition))                                                                              \
      abort();                                                                                     \
  } while (0)

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

struct sums {
  uint64_t events, rows, all; /* all: of everything that was told */
  enum borelay_event last;
  enum borelay_error error;
  uint64_t error_at;
};

static void add(struct sums *sums, uint64_t value) {
  sums->all = (sums->all ^ value) * 1099511628211u; /* FNV, 64 bits */
}

static void add_row(struct sums *sums, const struct borelay_reader *reader,
                    const struct borelay_row *row) {
  HOLD(row->index == sums->rows && row->t_us == row->index * reader->header.tick_us);
  HOLD(row->phase < BORELAY_PHASE_COUNT && row->index < reader->header.rows);
  HOLD(!row->arc || (row->gas && row->phase >= BORELAY_UPSLOPE && row->phase <= BORELAY_DOWNSLOPE));
  HOLD(reader->header.mode != BORELAY_REHEARSAL || !(row->arc || row->gas || row->wire_um_s));
  if (row->index + 1 == reader->header.rows)
    HOLD(!row->arc && !row->gas && !row->wire_um_s);
  add(sums, (uint64_t)row->x_nm ^ (uint64_t)row->y_nm << 1 ^ (uint64_t)row->z_nm << 2);
  add(sums, (uint64_t)row->head_udeg ^ row->current_100ma ^ (uint64_t)row->voltage_10mv << 24);
  add(sums, (uint64_t)(uint32_t)row->wire_um_s << 32 | row->wire_current_100ma);
  add(sums, row->overlay ^ (uint64_t)row->layer << 16 ^ (uint64_t)row->lap << 32 ^ row->line);
  sums->rows++;
}

static void add_text(struct sums *sums, const struct borelay_text *text) {
  HOLD(text->length <= BORELAY_TEXT_PART && text->field <= BORELAY_FILE_NAME);
  add(sums, (uint64_t)text->field << 48 | (uint64_t)text->number << 16 | text->length);
  for (unsigned i = 0; i < text->length; i++)
    add(sums, (uint8_t)text->bytes[i]);
}

static void add_rows(struct sums *sums, struct borelay_reader *reader, const uint8_t **next,
                     size_t *left) {
  add_row(sums, reader, &reader->row);
#ifdef BORELAY_READER_FAST
  struct borelay_row rows[7];
  size_t count = borelay_reader_more(reader, next, left, rows, 7);
  HOLD(count <= 7);
  for (size_t i = 0; i < count; i++)
    add_row(sums, reader, &rows[i]);
#else
  (void)next;
  (void)left;
#endif
}

static struct sums read_in_pieces(const uint8_t *data, size_t size, size_t piece) {
  static struct borelay_reader reader;
  struct sums sums = {.last = BORELAY_MORE};
  borelay_reader_begin(&reader);
  for (size_t at = 0; at < size && sums.last != BORELAY_ERROR; at += piece) {
    size_t left = size - at < piece ? size - at : piece;
    uint8_t *part = malloc(left);
    memcpy(part, data + at, left);
    const uint8_t *next = part;
    do {
      sums.last = borelay_reader_next(&reader, &next, &left);
      HOLD(++sums.events <= 4 * size + 100);
      if (sums.last == BORELAY_ROW)
        add_rows(&sums, &reader, &next, &left);
      if (sums.last == BORELAY_TEXT)
        add_text(&sums, &reader.text);
    } while (sums.last != BORELAY_MORE && sums.last != BORELAY_ERROR);
    HOLD(sums.last == BORELAY_ERROR || left == 0);
    free(part);
  }
  sums.last = borelay_reader_finish(&reader);
  HOLD(sums.last == BORELAY_END ? reader.error == BORELAY_OK && sums.rows == reader.header.rows
                                : reader.error > BORELAY_OK && reader.error_at <= size);
  sums.error = reader.error;
  sums.error_at = reader.error_at;
  return sums;
}

static uint32_t get(const uint8_t *at, int size) {
  uint32_t value = 0;
  while (size-- > 0)
    value = value << 8 | at[size];
  return value;
}

static void put(uint8_t *at, uint32_t value) {
  for (int i = 0; i < 4; i++)
    at[i] = (uint8_t)(value >> (8 * i));
}

/* As far as the counts lead. */
static void seal_spt(uint8_t *data, size_t size) {
  if (size < 20 || get(data + 12, 4) > size - 20)
    return;
  size_t at = 16 + get(data + 12, 4);
  uint32_t header = borelay_own_crc(0, data, at);
  put(data + at, header);
  uint32_t chain = borelay_own_crc(0, data + at, 4);
  for (at += 4; size - at >= 24; at += 4) {
    if (memcmp(data + at, "ENDS", 4) == 0) {
      put(data + at + 16, chain);
      put(data + at + 20, borelay_own_crc(0, data + at, 20));
      return;
    }
    size_t length = 36 + 40 * (size_t)get(data + at + 4, 2);
    if (length + 4 > size - at)
      return;
    uint32_t rows = get(data + at + 4, 2);
    put(data + at + 4, rows | (65535 - rows) << 16);
    put(data + at + 16, header);
    put(data + at + length, borelay_own_crc(0, data + at, length));
    chain = borelay_own_crc(chain, data + at + length, 4);
    at += length;
  }
}

/* The line "# end rows N crc32c xxxxxxxx" at the end of the text, if it is there. */
static void seal_text(uint8_t *data, size_t size) {
  static const char DIGITS[] = "0123456789abcdef";
  if (size < 10 || data[size - 1] != '\n')
    return;
  size_t line = size - 1;
  while (line > 0 && data[line - 1] != '\n')
    line--;
  if (size - line < 20)
    return;
  uint32_t crc = borelay_own_crc(0, data, line);
  for (size_t i = 0; i < 8; i++, crc <<= 4)
    data[size - 9 + i] = (uint8_t)DIGITS[crc >> 28];
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (size < 1)
    return 0;
  size_t piece = 1 + (data[0] & 127u);
  bool seals = data[0] & 128;
  uint8_t *bytes = malloc(size);
  memcpy(bytes, data + 1, --size);
  if (seals && size > 0 && bytes[0] == 0x89)
    seal_spt(bytes, size);
  else if (seals)
    seal_text(bytes, size);
  struct sums once = read_in_pieces(bytes, size, size + 1);
  struct sums pieces = read_in_pieces(bytes, size, piece);
  HOLD(once.all == pieces.all && once.rows == pieces.rows && once.last == pieces.last &&
       once.error == pieces.error && once.error_at == pieces.error_at);
  free(bytes);
  return 0;
}
