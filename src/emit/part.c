/* part.c - which ticks a part has, and its bytes.
 *
 * Pieces of motion follow from one another, so they are found in order; that is a small part of the
 * work.  Poses, digits and checksums follow from the piece alone. */
#include "emit/part.h"

#include <errno.h>

#include "borelay/crc32c.h"
#include "emit/records.h"
#include "emit/text_block.h"

enum { BINARY_ROWS_MOST = PART_BINARY_ROWS + BORELAY_BLOCK_ROWS };
_Static_assert((int)BINARY_ROWS_MOST <= (int)SPT_PART_ROWS &&
                   (BINARY_ROWS_MOST + RECORDS_SPARE) * SPT_ROW_ROOM <= PART_BYTES_MOST,
               "room for a part");

void part_source_begin(struct part_source *source, const struct motion *motion, bool binary) {
  *source = (struct part_source){.rows_enough = binary ? PART_BINARY_ROWS : PART_TEXT_ROWS};
  tick_cursor_begin(&source->cursor, motion);
}

void part_source_end(struct part_source *source) {
  tick_cursor_end(&source->cursor);
}

static bool has_labels_of(const struct tick_values *a, const struct tick_values *b) {
  return a->overlay == b->overlay && a->layer == b->layer && a->lap == b->lap && a->line == b->line;
}

/* False: no tick is left. */
static bool look_ahead(struct part_source *source) {
  if (source->taken < source->ahead.count)
    return true;
  struct tick_values before = source->ahead.values;
  if (!tick_cursor_stretch(&source->cursor, &source->ahead))
    return false;
  source->taken = 0;
  if (!has_labels_of(&before, &source->ahead.values))
    source->since = 0;
  return true;
}

static void take(struct part *part, struct part_source *source, int64_t most) {
  struct tick_stretch *stretch = &part->stretches[part->stretch_count++];
  int64_t left = source->ahead.count - source->taken;
  *stretch = source->ahead;
  stretch->values.tick += source->taken;
  stretch->goes_on |= source->taken > 0 && !stretch->varies;
  stretch->count = left < most ? left : most;
  source->taken += stretch->count;
  source->since += stretch->count;
  part->rows += stretch->count;
}

bool part_take(struct part *part, struct part_source *source) {
  part->rows = 0;
  part->stretch_count = 0;
  while (look_ahead(source)) {
    bool is_full =
        part->rows >= source->rows_enough || part->stretch_count >= PART_STRETCHES_ENOUGH;
    int64_t in_block = source->since % BORELAY_BLOCK_ROWS;
    if (is_full && in_block == 0)
      break;
    take(part, source, is_full ? BORELAY_BLOCK_ROWS - in_block : source->rows_enough - part->rows);
  }
  return part->rows > 0;
}

/* -- rows ------------------------------------------------------------------------------------- */

/* What each tick of a block says whose stretch varies. */
static void find_values(const struct part_maker *maker, const struct tick_stretch *stretch,
                        const struct tick_block *ticks, struct tick_values *each) {
  struct tick_values values = ticks->values;
  for (size_t i = 0; i < ticks->count; i++) {
    tick_values_go_on(&values, maker->motion, stretch->phase, ticks->values.tick + (int64_t)i);
    each[i] = values;
  }
}

/* Records for values that change from tick to tick, and figures that a block cannot round.  each:
 * NULL where all say what the block says; rows: the poses rounded; NULL: they are not. */
static bool put_one_by_one(struct part_maker *maker, const struct tick_block *ticks,
                           const struct tick_values *each, const struct row_block *rows) {
  const struct poses *poses = &ticks->poses;
  for (size_t i = 0; i < ticks->count; i++) {
    struct tick_values values = each ? each[i] : ticks->values;
    values.tick = ticks->values.tick + (int64_t)i;
    values.pose = (struct pose){poses->x[i], poses->y[i], poses->z[i], poses->head[i]};
    if (rows ? !setpoint_in_block(&maker->setpoint, rows, i, &values)
             : !setpoint_make(&maker->setpoint, &values))
      return false;
    spt_part_row(&maker->part->spt, &maker->setpoint.row);
  }
  return true;
}

static bool put_block(struct part_maker *maker, const struct tick_stretch *stretch,
                      struct tick_block *ticks) {
  struct tick_values values[POSES_MOST], *each = stretch->varies ? values : NULL;
  if (each)
    find_values(maker, stretch, ticks, each);
  if (!maker->binary)
    return text_block_put(&maker->text, &maker->setpoint, ticks, each, &maker->to);
  struct row_block rows;
  bool is_rounded = setpoint_block(&maker->setpoint, ticks, &rows);
  if (each || !is_rounded)
    return put_one_by_one(maker, ticks, each, is_rounded ? &rows : NULL);
  spt_part_rows(&maker->part->spt, &rows);
  return true;
}

/* The block holds ticks of that stretch, perhaps after others that say the same.  The CRC is taken
 * while the rows are in the nearest cache. */
static void empty_block(struct part_maker *maker, const struct tick_stretch *stretch,
                        struct tick_block *ticks) {
  struct part *part = maker->part;
  const char *from = maker->to;
  if (!part->error && !put_block(maker, stretch, ticks))
    part->error = EOVERFLOW;
  if (!maker->binary)
    part->crc32c = crc32c_more(part->crc32c, from, (size_t)(maker->to - from));
  ticks->count = 0;
}

/* As many ticks as there is room for, from number `from` on; returns how many. */
static int64_t put_ticks(struct part_maker *maker, const struct tick_stretch *stretch, int64_t from,
                         bool goes_on, struct tick_block *ticks) {
  int64_t count = (int64_t)tick_stretch_block(maker->motion, stretch, from, ticks);
  if (ticks->count == POSES_MOST || (from + count == stretch->count && !goes_on))
    empty_block(maker, stretch, ticks);
  return count;
}

/* A time that would be outside of the piece is not what it says (tick_stretch_block()). */
static bool is_steady(struct part_maker *maker, const struct tick_stretch *stretch) {
  double tick_s = maker->motion->plan->job->cell->tick;
  return maker->binary && !stretch->varies &&
         (double)stretch->values.tick * tick_s >= stretch->piece.t0 &&
         (double)(stretch->values.tick + stretch->count - 1) * tick_s <= stretch->piece.t1 &&
         steady_begin(&maker->steady, &stretch->piece, tick_s, stretch->count);
}

/* From number `from` on, a steady one's; returns how many.  Where one is in doubt, the rest of its
 * block goes the other way. */
static int64_t put_steady(struct part_maker *maker, const struct tick_stretch *stretch,
                          int64_t from, struct tick_block *ticks) {
  struct tick_values values = stretch->values;
  values.tick += from;
  if (!setpoint_labels(&maker->setpoint, &values)) {
    maker->part->error = EOVERFLOW;
    return 0;
  }
  struct spt_part *spt = &maker->part->spt;
  int64_t left = stretch->count - from;
  int64_t sure = (int64_t)spt_part_steady(spt, &maker->setpoint.row, &maker->steady, (size_t)left);
  if (sure == left)
    return left;
  int64_t room = (int64_t)spt_part_room(spt);
  struct tick_stretch some = *stretch;
  some.count = from + sure + (left - sure < room ? left - sure : room);
  return sure + put_ticks(maker, &some, from + sure, false, ticks);
}

static void put_stretches(struct part_maker *maker) {
  const struct part *part = maker->part;
  struct tick_block ticks; /* large: what is not read before it is set stays as it is */
  ticks.count = 0;
  for (size_t i = 0; i < part->stretch_count; i++) {
    const struct tick_stretch *stretch = &part->stretches[i];
    bool goes_on = i + 1 < part->stretch_count && part->stretches[i + 1].goes_on;
    bool steady = is_steady(maker, stretch);
    if (steady && ticks.count > 0)
      empty_block(maker, stretch, &ticks);
    for (int64_t from = 0; from < stretch->count && !part->error;)
      from += steady ? put_steady(maker, stretch, from, &ticks)
                     : put_ticks(maker, stretch, from, goes_on, &ticks);
  }
}

void part_maker_begin(struct part_maker *maker, const struct motion *motion, bool binary,
                      uint32_t header_crc) {
  maker->motion = motion;
  maker->binary = binary;
  maker->header_crc = header_crc;
  setpoint_begin(&maker->setpoint, motion->plan->job->cell->tick_us);
  text_row_begin(&maker->text);
  maker->steady.has_table = false;
}

void part_make(struct part_maker *maker, struct part *part) {
  maker->part = part;
  maker->to = part->bytes;
  part->crc32c = 0;
  part->error = 0;
  if (maker->binary)
    spt_part_begin(&part->spt, maker->header_crc, (uint8_t *)part->bytes);
  put_stretches(maker);
  if (maker->binary)
    maker->to = (char *)spt_part_end(&part->spt);
  part->length = (size_t)(maker->to - part->bytes);
}
