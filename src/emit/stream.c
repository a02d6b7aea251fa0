/* stream.c - a stream of either kind: header, rows, end.
 *
 * Rows go from the motion into the buffer in blocks; how many there are is known beforehand, so
 * the header needs no second pass.  The way of single rows stays for streams that come from
 * elsewhere and for the figures that a block cannot round; tests hold blocks to its bytes. */
#include "borelay/emit.h"

#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "emit/header.h"
#include "emit/setpoint.h"
#include "emit/spt.h"
#include "emit/text_row.h"

bool stream_is_binary(const char *path) {
  size_t length = strlen(path);
  return length > 4 && strcmp(path + length - 4, ".spt") == 0;
}

struct stream_writer {
  struct outfile *to;
  bool binary;
  uint64_t rows;
  struct text_row text;
  struct spt spt;
};

struct stream_writer *stream_writer_new(struct outfile *to, bool binary, const char *header,
                                        size_t length) {
  struct stream_writer *writer = calloc(1, sizeof *writer);
  if (!writer) {
    to->error = to->error ? to->error : ENOMEM;
    return NULL;
  }
  writer->to = to;
  writer->binary = binary;
  if (binary) {
    spt_begin(&writer->spt, to, header, length);
  } else {
    outfile_put(to, header, length);
    outfile_text(to, TEXT_ROW_HEAD);
    text_row_begin(&writer->text);
  }
  return writer;
}

void stream_writer_row(struct stream_writer *writer, const struct borelay_row *row) {
  writer->rows++;
  if (writer->binary) {
    spt_row(&writer->spt, row);
    return;
  }
  char *start = outfile_room(writer->to, TEXT_ROW_ROOM);
  outfile_took(writer->to, (size_t)(text_row_put(&writer->text, row, start) - start));
}

void stream_writer_end(struct stream_writer *writer) {
  if (!writer)
    return;
  if (writer->binary) {
    spt_end(&writer->spt);
  } else {
    uint32_t crc = outfile_crc32c(writer->to);
    outfile_format(writer->to, "# end rows %" PRIu64 " crc32c %08" PRIx32 "\n", writer->rows, crc);
  }
  free(writer);
}

enum { PROGRESS_ROWS = 1 << 16 };

static void show_progress(FILE *progress, int64_t row, int64_t rows) {
  fprintf(progress, "\rwriting rows: %3d %%", (int)(100.0 * (double)row / (double)rows));
  fflush(progress);
}

static void put_block(struct stream_writer *writer, const struct row_block *rows) {
  writer->rows += rows->count;
  if (writer->binary) {
    spt_rows(&writer->spt, rows);
    return;
  }
  char *start = outfile_room(writer->to, TEXT_BLOCK_ROOM);
  outfile_took(writer->to, (size_t)(text_block_put(&writer->text, rows, start) - start));
}

static void put_one_by_one(struct stream_writer *writer, struct setpoint *setpoint,
                           const struct tick_block *ticks) {
  const struct poses *poses = &ticks->poses;
  for (size_t i = 0; i < ticks->count && !writer->to->error; i++) {
    struct tick_values values = ticks->values;
    values.tick += (int64_t)i;
    values.pose = (struct pose){poses->x[i], poses->y[i], poses->z[i], poses->head[i]};
    if (setpoint_make(setpoint, &values))
      stream_writer_row(writer, &setpoint->row);
    else
      writer->to->error = EOVERFLOW;
  }
}

static void put_rows(struct stream_writer *writer, const struct motion *motion, FILE *progress) {
  struct tick_cursor cursor;
  struct tick_block ticks;
  struct row_block rows;
  struct setpoint setpoint;
  int64_t shown = 0;
  setpoint_begin(&setpoint, motion->plan->job->cell->tick_us);
  tick_cursor_begin(&cursor, motion);
  while (!writer->to->error && tick_cursor_block(&cursor, &ticks)) {
    if (setpoint_block(&setpoint, &ticks, &rows))
      put_block(writer, &rows);
    else
      put_one_by_one(writer, &setpoint, &ticks);
    if (progress && ticks.values.tick >= shown) {
      show_progress(progress, ticks.values.tick, motion->ticks + 1);
      shown = ticks.values.tick + PROGRESS_ROWS;
    }
  }
  tick_cursor_end(&cursor);
  if (progress)
    fputs("\r                   \r", progress);
}

void stream_write(const struct outcome *outcome, struct outfile *to, bool binary, FILE *progress) {
  size_t length;
  char *header = header_text(outcome, &length);
  struct stream_writer *writer = NULL;
  if (header)
    writer = stream_writer_new(to, binary, header, length);
  else if (!to->error)
    to->error = ENOMEM;
  free(header);
  if (writer)
    put_rows(writer, outcome->motion, progress);
  stream_writer_end(writer);
}
