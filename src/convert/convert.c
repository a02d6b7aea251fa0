/* convert.c - row by row; the output gets its name only when the input has ended well. */
#include "borelay/convert.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "borelay/emit.h"
#include "borelay/rows.h"

/* False: the stream is wrong, or one of the files has failed. */
static bool copy_rows(struct rows *rows, struct outfile *to, bool binary) {
  struct stream_writer *writer = NULL;
  enum borelay_event event = BORELAY_MORE;
  while (!to->error && event != BORELAY_END && event != BORELAY_ERROR) {
    event = rows_next(rows);
    if (event == BORELAY_HEADER) {
      size_t length;
      const char *header = rows_header_text(rows, &length);
      writer = stream_writer_new(to, binary, header, length);
    } else if (event == BORELAY_ROW) {
      stream_writer_row(writer, &rows->reader.row);
    }
  }
  stream_writer_end(writer);
  return !to->error && event == BORELAY_END;
}

enum convert_end convert_stream(const char *in, const char *out) {
  struct rows rows;
  struct outfile to = {.fd = -1, .folder = -1};
  bool done = rows_open(&rows, in, true) && outfile_open(&to, out) &&
              copy_rows(&rows, &to, stream_is_binary(out)) && outfile_commit(&to);
  enum convert_end end = CONVERT_DONE;
  if (to.error) {
    fprintf(stderr, "borelay: cannot write %s: %s\n",
            strcmp(out, "-") == 0 ? "standard output" : out, strerror(to.error));
    end = CONVERT_FILE_FAILED;
  } else if (!done) {
    rows_tell_error(&rows, stderr);
    end = rows.error ? CONVERT_FILE_FAILED : CONVERT_WRONG_STREAM;
  }
  outfile_abandon(&to);
  rows_close(&rows);
  return end;
}
