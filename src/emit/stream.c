/* stream.c - a stream of either kind: header, rows, end.
 *
 * Rows are made in parts, several at once, and go out in order as they lie; how many there are is
 * known beforehand, so the header needs no second pass.  The way of single rows stays for streams
 * that come from elsewhere and for what cannot be made in blocks; tests hold parts to its bytes. */
#include "borelay/emit.h"

#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "emit/header.h"
#include "emit/line_up.h"

bool stream_is_binary(const char *path) {
  size_t length = strlen(path);
  return length > 4 && strcmp(path + length - 4, ".spt") == 0;
}

struct stream_writer *stream_writer_new(struct outfile *to, bool binary, const char *header,
                                        size_t length) {
  struct stream_writer *writer = calloc(1, sizeof *writer);
  if (!writer) {
    to->error = to->error ? to->error : ENOMEM;
    return NULL;
  }
  writer->to = to;
  writer->binary = binary;
  to->unsummed = binary;
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

void stream_write(const struct outcome *outcome, struct outfile *to, bool binary, size_t hands,
                  FILE *progress) {
  size_t length;
  char *header = header_text(outcome, &length);
  struct stream_writer *writer = NULL;
  if (header)
    writer = stream_writer_new(to, binary, header, length);
  else if (!to->error)
    to->error = ENOMEM;
  free(header);
  if (writer)
    line_up_run(writer, outcome->motion, hands, progress);
  stream_writer_end(writer);
}
