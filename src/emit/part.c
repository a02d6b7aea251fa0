/* part.c - which ticks a part has, and its bytes.
 *
 * Pieces of motion follow from one another, so they are found in order; that is a small part of the
 * work.  Poses, digits and checksums follow from the piece alone. */
#include "emit/part.h"

#include <errno.h>
#include <stdlib.h>
#include <sys/mman.h>

#include "borelay/crc32c.h"
#include "emit/text_block.h"

enum { BIG_PAGE = 2 * 1024 * 1024, PARTS_A_PAGE = 4 };
_Static_assert((int)PART_ROWS_MOST <= (int)SPT_PART_ROWS &&
                   (int)SPT_ROW_ROOM <= (int)TEXT_ROW_ROOM &&
                   PARTS_A_PAGE * sizeof(struct part) <= BIG_PAGE,
               "room for parts");

void part_source_begin(struct part_source *source, const struct motion *motion) {
  *source = (struct part_source){0};
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
    bool is_full = part->rows >= PART_ROWS_ENOUGH || part->stretch_count >= PART_STRETCHES_ENOUGH;
    int64_t in_block = source->since % BORELAY_BLOCK_ROWS;
    if (is_full && in_block == 0)
      break;
    take(part, source, is_full ? BORELAY_BLOCK_ROWS - in_block : PART_ROWS_ENOUGH - part->rows);
  }
  return part->rows > 0;
}

/* -- rows ------------------------------------------------------------------------------------- */

static void put_row(struct part *part, char **to) {
  if (part->binary)
    spt_part_row(&part->spt, &part->setpoint.row);
  else
    *to = text_row_put(&part->text, &part->setpoint.row, *to);
}

/* For values that change from tick to tick, and figures that a block cannot round.  rows: the poses
 * rounded; NULL: they are not. */
static bool put_one_by_one(struct part *part, const struct tick_stretch *stretch,
                           const struct tick_block *ticks, const struct row_block *rows,
                           char **to) {
  const struct poses *poses = &ticks->poses;
  for (size_t i = 0; i < ticks->count; i++) {
    int64_t tick = ticks->values.tick + (int64_t)i;
    struct tick_values values =
        stretch->varies ? tick_phase_values(part->motion, stretch->phase, tick) : ticks->values;
    values.tick = tick;
    values.pose = (struct pose){poses->x[i], poses->y[i], poses->z[i], poses->head[i]};
    if (rows ? !setpoint_in_block(&part->setpoint, rows, i, &values)
             : !setpoint_make(&part->setpoint, &values))
      return false;
    put_row(part, to);
  }
  return true;
}

static bool put_block(struct part *part, const struct tick_stretch *stretch,
                      struct tick_block *ticks, char **to) {
  if (!part->binary && !stretch->varies)
    return text_block_put(&part->text, &part->setpoint, ticks, to);
  struct row_block rows;
  bool is_rounded = setpoint_block(&part->setpoint, ticks, &rows);
  if (stretch->varies || !is_rounded)
    return put_one_by_one(part, stretch, ticks, is_rounded ? &rows : NULL, to);
  spt_part_rows(&part->spt, &rows);
  return true;
}

/* The block holds ticks of that stretch, perhaps after others that say the same. */
static void empty_block(struct part *part, const struct tick_stretch *stretch,
                        struct tick_block *ticks, char **to) {
  if (!part->error && !put_block(part, stretch, ticks, to))
    part->error = EOVERFLOW;
  ticks->count = 0;
}

static void put_stretches(struct part *part, char **to) {
  struct tick_block ticks = {.count = 0};
  for (size_t i = 0; i < part->stretch_count && !part->error; i++) {
    const struct tick_stretch *stretch = &part->stretches[i];
    bool goes_on = i + 1 < part->stretch_count && part->stretches[i + 1].goes_on;
    for (int64_t from = 0; from < stretch->count;) {
      from += (int64_t)tick_stretch_block(part->motion, stretch, from, &ticks);
      if (ticks.count == POSES_MOST || (from == stretch->count && !goes_on))
        empty_block(part, stretch, &ticks, to);
    }
  }
}

void part_make(struct part *part) {
  char *to = part->bytes;
  if (part->binary)
    spt_part_begin(&part->spt, part->header_crc, (uint8_t *)part->bytes);
  put_stretches(part, &to);
  if (part->binary)
    to = (char *)spt_part_end(&part->spt);
  part->length = (size_t)(to - part->bytes);
  if (!part->binary)
    part->crc32c = crc32c_more(0, part->bytes, part->length);
}

/* Of big pages, where the system has them: its first touch of as many small ones takes five times
 * as long. */
struct part *parts_new(size_t count, const struct motion *motion, bool binary,
                       uint32_t header_crc) {
  size_t pages = (count + PARTS_A_PAGE - 1) / PARTS_A_PAGE;
  struct part *parts = aligned_alloc(BIG_PAGE, pages * BIG_PAGE);
  if (!parts)
    return NULL;
  madvise(parts, pages * BIG_PAGE, MADV_HUGEPAGE); /* refused: small ones do */
  for (size_t i = 0; i < count; i++) {
    parts[i].motion = motion;
    parts[i].binary = binary;
    parts[i].header_crc = header_crc;
    parts[i].error = 0;
    setpoint_begin(&parts[i].setpoint, motion->plan->job->cell->tick_us);
    text_row_begin(&parts[i].text);
  }
  return parts;
}
