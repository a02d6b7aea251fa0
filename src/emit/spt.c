/* spt.c - records gather in a block until it is full or a label changes.
 *
 * Row by row for streams that come from elsewhere; a part of many blocks is made where it lies, and
 * goes out as it is. */
#include "emit/spt.h"

#include <errno.h>
#include <string.h>

#include "borelay/crc32c.h"
#include "borelay/lanes.h"

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

/* Behind `length` bytes their CRC. */
static uint8_t *put_crc(uint8_t *part, size_t length) {
  return put(part + length, crc32c_more(0, part, length), 4);
}

static void chain_up(struct spt *spt, const void *crcs, size_t count) {
  spt->chain = crc32c_more(spt->chain, crcs, 4 * count);
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

/* -- one block -------------------------------------------------------------------------------- */

static bool has_labels_of(const struct borelay_row *a, const struct borelay_row *b) {
  return a->overlay == b->overlay && a->layer == b->layer && a->lap == b->lap && a->line == b->line;
}

/* No room in it for a row with these labels. */
static bool is_closed_to(const struct spt_block *block, const struct borelay_row *row) {
  return block->filled > 0 &&
         (block->filled == BORELAY_BLOCK_ROWS || !has_labels_of(&block->first, row));
}

/* What was before its records, and their CRC; its end. */
static uint8_t *block_close(const struct spt_block *block, uint32_t header_crc) {
  uint8_t *at = block->bytes;
  memcpy(at, "ROWS", 4);
  at = put(at + 4, block->filled, 2);
  at = put(at, 0xffff - (int64_t)block->filled, 2);
  at = put(at, (int64_t)block->first.index, 8);
  at = put(at, header_crc, 4);
  at = put(at, block->first.overlay, 4);
  at = put(at, block->first.layer, 4);
  at = put(at, block->first.lap, 4);
  put(at, block->first.line, 4);
  return put_crc(block->bytes, BORELAY_BLOCK_HEAD + (size_t)block->filled * BORELAY_RECORD_SIZE);
}

static uint8_t *next_record(const struct spt_block *block) {
  return block->bytes + BORELAY_BLOCK_HEAD + (size_t)block->filled * BORELAY_RECORD_SIZE;
}

/* What follows the pose in a record. */
enum { PROCESS_SIZE = BORELAY_RECORD_SIZE - 26, PROCESS_MOVE = 16 /* bytes in one move */ };
static void put_process(uint8_t *at, const struct borelay_row *row) {
  at = put(at, row->current_100ma, 3);
  at = put(at, row->wire_current_100ma, 3);
  at = put(at, row->voltage_10mv, 3);
  at = put(at, row->wire_um_s, 4);
  put(at, row->phase | row->arc << 3 | row->gas << 4 | row->avc << 5, 1);
}

static void block_row(struct spt_block *block, const struct borelay_row *row) {
  if (block->filled == 0)
    block->first = *row;
  uint8_t *at = next_record(block);
  at = put(at, row->x_nm, 6);
  at = put(at, row->y_nm, 6);
  at = put(at, row->z_nm, 6);
  at = put(at, row->head_udeg, 8);
  put_process(at, row);
  block->filled++;
}

/* -- row by row ------------------------------------------------------------------------------- */

static void close_block(struct spt *spt) {
  if (spt->block.filled == 0)
    return;
  spt->block.bytes = spt->room;
  const uint8_t *end = block_close(&spt->block, spt->header_crc);
  chain_up(spt, end - 4, 1);
  write_out(spt, spt->room, (size_t)(end - spt->room));
  spt->block.filled = 0;
}

void spt_row(struct spt *spt, const struct borelay_row *row) {
  if (is_closed_to(&spt->block, row))
    close_block(spt);
  spt->block.bytes = spt->room;
  block_row(&spt->block, row);
  spt->rows++;
}

void spt_end(struct spt *spt) {
  close_block(spt);
  memcpy(spt->room, "ENDS", 4);
  uint8_t *at = put(spt->room + 4, 0, 4);
  at = put(at, (int64_t)spt->rows, 8);
  put(at, spt->chain, 4);
  write_out(spt, spt->room, (size_t)(put_crc(spt->room, 20) - spt->room));
}

/* -- whole blocks, in place ------------------------------------------------------------------- */

void spt_part_begin(struct spt_part *part, uint32_t header_crc, uint8_t *to) {
  part->header_crc = header_crc;
  part->rows = 0;
  part->crc_count = 0;
  part->block = (struct spt_block){.bytes = to};
}

static void part_close(struct spt_part *part) {
  if (part->block.filled == 0)
    return;
  uint8_t *end = block_close(&part->block, part->header_crc);
  memcpy(part->crcs[part->crc_count++], end - 4, 4);
  part->block.bytes = end;
  part->block.filled = 0;
}

void spt_part_row(struct spt_part *part, const struct borelay_row *row) {
  if (is_closed_to(&part->block, row))
    part_close(part);
  block_row(&part->block, row);
  part->rows++;
}

/* Records as words of eight bytes, the last of which stands still:
 *   x, 2 of y | 4 of y, 4 of z | 2 of z, 6 of head | 2 of head, 6 of process | 8 of process
 * Four words of four records are made at a time, and turned from columns into rows. */
typedef uint64_t words __attribute__((vector_size(32)));
enum { WORDS = 4, FIRST_BYTE_IS_LOWEST = __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__ };

/* Returns how many; at most three are left.  Only where words lie in memory as in a record. */
LANES(size_t, put_fours,
      (uint8_t * at, const struct row_block *rows, size_t from, size_t count,
       const uint8_t process[PROCESS_SIZE]),
      (at, rows, from, count, process)) {
  uint64_t ends, last;
  memcpy(&ends, process, sizeof ends);
  memcpy(&last, process + 6, sizeof last);
  ends <<= 16;
  size_t done = 0;
  for (; done + WORDS <= count; done += WORDS, at += WORDS * BORELAY_RECORD_SIZE) {
    size_t k = from + done;
    words x, y, z, head;
    memcpy(&x, rows->x_nm + k, sizeof x);
    memcpy(&y, rows->y_nm + k, sizeof y);
    memcpy(&z, rows->z_nm + k, sizeof z);
    memcpy(&head, rows->head_udeg + k, sizeof head);
    words a = x << 16 >> 16 | y << 48, b = y << 16 >> 32 | z << 32;
    words c = z << 16 >> 48 | head << 16, d = head >> 48 | ends;
    words ab02 = __builtin_shufflevector(a, b, 0, 4, 2, 6);
    words ab13 = __builtin_shufflevector(a, b, 1, 5, 3, 7);
    words cd02 = __builtin_shufflevector(c, d, 0, 4, 2, 6);
    words cd13 = __builtin_shufflevector(c, d, 1, 5, 3, 7);
    words record[WORDS] = {__builtin_shufflevector(ab02, cd02, 0, 1, 4, 5),
                           __builtin_shufflevector(ab13, cd13, 0, 1, 4, 5),
                           __builtin_shufflevector(ab02, cd02, 2, 3, 6, 7),
                           __builtin_shufflevector(ab13, cd13, 2, 3, 6, 7)};
    for (int i = 0; i < WORDS; i++) {
      memcpy(at + i * BORELAY_RECORD_SIZE, &record[i], sizeof record[i]);
      memcpy(at + i * BORELAY_RECORD_SIZE + sizeof record[i], &last, sizeof last);
    }
  }
  return done;
}

/* The lowest eight bytes in one move; of those too many the next field takes the place. */
static inline void put_eight(uint8_t *to, int64_t value) {
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
  value = (int64_t)__builtin_bswap64((uint64_t)value);
#endif
  memcpy(to, &value, sizeof value);
}

static void put_records(uint8_t *at, const struct row_block *rows, size_t from, size_t count,
                        const uint8_t process[PROCESS_MOVE]) {
  size_t done = FIRST_BYTE_IS_LOWEST ? put_fours(at, rows, from, count, process) : 0;
  at += done * BORELAY_RECORD_SIZE;
  for (size_t k = from + done; k < from + count; k++, at += BORELAY_RECORD_SIZE) {
    put_eight(at, rows->x_nm[k]);
    put_eight(at + 6, rows->y_nm[k]);
    put_eight(at + 12, rows->z_nm[k]);
    put_eight(at + 18, rows->head_udeg[k]);
    memcpy(at + 26, process, PROCESS_MOVE); /* what is too much lies where the CRC will */
  }
}

void spt_part_rows(struct spt_part *part, const struct row_block *rows) {
  uint8_t process[PROCESS_MOVE] = {0};
  struct spt_block *block = &part->block;
  put_process(process, &rows->row);
  for (size_t i = 0; i < rows->count;) {
    if (is_closed_to(block, &rows->row))
      part_close(part);
    if (block->filled == 0) {
      block->first = rows->row;
      block->first.index += i;
    }
    size_t room = BORELAY_BLOCK_ROWS - block->filled, left = rows->count - i;
    size_t count = left < room ? left : room;
    put_records(next_record(block), rows, i, count, process);
    block->filled += (uint32_t)count;
    i += count;
  }
  part->rows += rows->count;
}

uint8_t *spt_part_end(struct spt_part *part) {
  part_close(part);
  return part->block.bytes;
}

void spt_pass(struct spt *spt, const struct spt_part *part, const char *bytes, size_t length) {
  chain_up(spt, part->crcs, part->crc_count);
  spt->rows += part->rows;
  outfile_pass(spt->to, bytes, length, 0);
}
