/* baselines.h - the same work done the obvious way, for comparison. */
#ifndef TESTS_BENCH_BASELINES_H
#define TESTS_BENCH_BASELINES_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay_reader.h"

struct row_set {
  struct borelay_row *rows;
  size_t count;
};

/* All rows of a stream, at most `most`; count 0 where it cannot be read. */
struct row_set rows_load(const char *path, size_t most);

/* Nanoseconds a row of a loop of fprintf over the rows, the columns of the text stream, to
 * /dev/null.  It checks nothing. */
double baseline_fprintf(const struct row_set *rows);
/* Whether those are, byte for byte, all the rows of the text stream. */
bool baseline_is_same(const struct row_set *rows, const char *text_path);
/* Bytes a second that memcpy moves from memory to memory. */
double baseline_memcpy(void);
/* Bytes a second that the reader library takes, with all its checks; 0 where it refuses. */
double reader_speed(const char *path);

#endif
