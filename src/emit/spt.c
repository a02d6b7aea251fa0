/* spt.c - records gather in a block until it is full or a label changes. */
#include "emit/spt.h"

#include <errno.h>
#include <string.h>

#include "borelay/crc32c.h"

/* The lowest `size` bytes, least first; of a negative number those of its two's complement. */
static uint8_t *put(uint8_t *to, int64_t value, unsigned size) {
  uint64_t bits = (uint64_t)value;
  for (unsigned i = 0; i < size; i++)
    to[i] = (uint8_t)(bits >> (8 * i));
  return to + size;
}

static void write_out(struct spt *spt, const uint8_t *bytes, size_t length) {
  outfile_put(spt->to, (const char *)bytes, length);
}

/* Behind `length` bytes of the block their CRC; then all of it goes out. */
static void close_part(struct spt *spt, size_t length) {
  uint8_t *crc = spt->block + length;
  put(crc, crc32c_more(0, spt->block, length), 4);
  spt->chain = crc32c_more(spt->chain, crc, 4);
  write_out(spt, spt->block, length + 4);
}

void spt_begin(struct spt *spt, struct outfile *to, const char *header, size_t length) {
  static const uint8_t MAGIC[8] = {0x89, 'b', 'o', 'r', 'e', 'l', 'a', 'y'};
  *spt = (struct spt){.to = to};
  if (length > UINT32_MAX) {
    to->error = to->error ? to->error : EOVERFLOW;
    return;
  }
  uint8_t preamble[16], crc[4];
  memcpy(preamble, MAGIC, sizeof MAGIC);
  uint8_t *at = put(preamble + sizeof MAGIC, 1, 2);
  at = put(at, BORELAY_RECORD_SIZE, 2);
  put(at, (int64_t)length, 4);
  spt->header_crc = crc32c_more(crc32c_more(0, preamble, sizeof preamble), header, length);
  put(crc, spt->header_crc, 4);
  spt->chain = crc32c_more(0, crc, 4);
  write_out(spt, preamble, sizeof preamble);
  outfile_put(to, header, length);
  write_out(spt, crc, 4);
}

static void close_block(struct spt *spt) {
  if (spt->filled == 0)
    return;
  uint8_t *at = spt->block;
  memcpy(at, "ROWS", 4);
  at = put(at + 4, spt->filled, 2);
  at = put(at, 0xffff - (int64_t)spt->filled, 2);
  at = put(at, (int64_t)spt->first.index, 8);
  at = put(at, spt->header_crc, 4);
  at = put(at, spt->first.overlay, 4);
  at = put(at, spt->first.layer, 4);
  at = put(at, spt->first.lap, 4);
  put(at, spt->first.line, 4);
  close_part(spt, BORELAY_BLOCK_HEAD + (size_t)spt->filled * BORELAY_RECORD_SIZE);
  spt->filled = 0;
}

static bool has_labels_of(const struct borelay_row *a, const struct borelay_row *b) {
  return a->overlay == b->overlay && a->layer == b->layer && a->lap == b->lap && a->line == b->line;
}

static void open_row(struct spt *spt, const struct borelay_row *row) {
  if (spt->filled == BORELAY_BLOCK_ROWS || !has_labels_of(&spt->first, row))
    close_block(spt);
  if (spt->filled == 0)
    spt->first = *row;
}

static uint8_t *record(struct spt *spt, uint32_t index) {
  return spt->block + BORELAY_BLOCK_HEAD + (size_t)index * BORELAY_RECORD_SIZE;
}

/* What follows the pose in a record. */
enum { PROCESS_SIZE = BORELAY_RECORD_SIZE - 26 };
static void put_process(uint8_t *at, const struct borelay_row *row) {
  at = put(at, row->current_100ma, 3);
  at = put(at, row->wire_current_100ma, 3);
  at = put(at, row->voltage_10mv, 3);
  at = put(at, row->wire_um_s, 4);
  put(at, row->phase | row->arc << 3 | row->gas << 4 | row->avc << 5, 1);
}

void spt_row(struct spt *spt, const struct borelay_row *row) {
  open_row(spt, row);
  uint8_t *at = record(spt, spt->filled);
  at = put(at, row->x_nm, 6);
  at = put(at, row->y_nm, 6);
  at = put(at, row->z_nm, 6);
  at = put(at, row->head_udeg, 8);
  put_process(at, row);
  spt->filled++;
  spt->rows++;
}

/* Eight bytes in one move; of those too many the next field takes the place. */
static inline void put_eight(uint8_t *to, int64_t value) {
  uint64_t bits = (uint64_t)value;
  uint8_t bytes[8] = {(uint8_t)bits,         (uint8_t)(bits >> 8),  (uint8_t)(bits >> 16),
                      (uint8_t)(bits >> 24), (uint8_t)(bits >> 32), (uint8_t)(bits >> 40),
                      (uint8_t)(bits >> 48), (uint8_t)(bits >> 56)};
  memcpy(to, bytes, sizeof bytes);
}

void spt_rows(struct spt *spt, const struct row_block *rows) {
  uint8_t process[PROCESS_SIZE];
  put_process(process, &rows->row);
  for (size_t i = 0; i < rows->count;) {
    struct borelay_row row = row_of_block(rows, i);
    open_row(spt, &row);
    size_t room = BORELAY_BLOCK_ROWS - spt->filled, left = rows->count - i;
    size_t count = left < room ? left : room;
    uint8_t *at = record(spt, spt->filled);
    for (size_t k = i; k < i + count; k++, at += BORELAY_RECORD_SIZE) {
      put_eight(at, rows->x_nm[k]);
      put_eight(at + 6, rows->y_nm[k]);
      put_eight(at + 12, rows->z_nm[k]);
      put_eight(at + 18, rows->head_udeg[k]);
      memcpy(at + 26, process, sizeof process);
    }
    spt->filled += (uint32_t)count;
    spt->rows += count;
    i += count;
  }
}

void spt_end(struct spt *spt) {
  close_block(spt);
  memcpy(spt->block, "ENDS", 4);
  uint8_t *at = put(spt->block + 4, 0, 4);
  at = put(at, (int64_t)spt->rows, 8);
  put(at, spt->chain, 4);
  close_part(spt, 20);
}
