/* line_up.h - the rows of a motion, made in parts by several threads and written in order. */
#ifndef EMIT_LINE_UP_H
#define EMIT_LINE_UP_H

#include "borelay/emit.h"
#include "emit/spt.h"
#include "emit/text_row.h"

struct stream_writer {
  struct outfile *to;
  bool binary;
  uint64_t rows;
  struct text_row text; /* rows one by one */
  struct spt spt;
};

/* All rows of the motion; hands and progress as stream_write() takes them.  Failures are
 * writer->to->error: then no more rows are made. */
void line_up_run(struct stream_writer *writer, const struct motion *motion, size_t hands,
                 FILE *progress);

#endif
