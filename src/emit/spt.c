/* spt.c - records gather in a block until it is full or a label changes.
 *
 * Row by row for streams that come from elsewhere; a part of many blocks is made where it lies, and
 * goes out as it is. */
#include "emit/spt.h"

#include <errno.h>
#include <string.h>

#include "borelay/crc32c.h"
#include "emit/records.h"

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

/* Room for rows that look like `row`, the number of the first of which is `index`; for how many. */
static size_t room_for(struct spt_part *part, const struct borelay_row *row, uint64_t index) {
  struct spt_block *block = &part->block;
  if (is_closed_to(block, row))
    part_close(part);
  if (block->filled == 0) {
    block->first = *row;
    block->first.index = index;
  }
  return BORELAY_BLOCK_ROWS - block->filled;
}

static void took(struct spt_part *part, size_t count) {
  part->block.filled += (uint32_t)count;
  part->rows += count;
}

void spt_part_rows(struct spt_part *part, const struct row_block *rows) {
  uint8_t process[PROCESS_MOVE] = {0};
  put_process(process, &rows->row);
  for (size_t i = 0; i < rows->count;) {
    size_t room = room_for(part, &rows->row, rows->row.index + i), left = rows->count - i;
    size_t count = left < room ? left : room;
    records_put(next_record(&part->block), rows, i, count, process);
    took(part, count);
    i += count;
  }
}

/* At most 2 STEADY_REACH rows, around their middle. */
static size_t put_around(struct spt_part *part, const struct borelay_row *row, uint64_t index,
                         const struct steady *steady, size_t count) {
  uint8_t process[PROCESS_MOVE] = {0};
  struct steady_rows rows;
  put_process(process, row);
  if (!steady_rows_at(steady, (int64_t)(index + count / 2), &rows))
    return 0;
  for (size_t i = 0; i < count;) {
    size_t room = room_for(part, row, index + i), left = count - i;
    size_t step = left < room ? left : room;
    if (!records_put_steady(next_record(&part->block), &rows, STEADY_REACH - count / 2 + i, step,
                            process))
      return i;
    took(part, step);
    i += step;
  }
  return count;
}

size_t spt_part_steady(struct spt_part *part, const struct borelay_row *row,
                       const struct steady *steady, size_t count) {
  size_t done = 0;
  while (done < count) {
    size_t left = count - done, step = left < 2 * STEADY_REACH ? left : 2 * STEADY_REACH;
    size_t put = put_around(part, row, row->index + done, steady, step);
    done += put;
    if (put < step)
      break;
  }
  return done;
}

size_t spt_part_room(const struct spt_part *part) {
  return BORELAY_BLOCK_ROWS - part->block.filled % BORELAY_BLOCK_ROWS;
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
