/* text_row.h - one row of the text stream. */
#ifndef EMIT_TEXT_ROW_H
#define EMIT_TEXT_ROW_H

#include "emit/tick.h"

enum { TEXT_ROW_ROOM = 320 };

/* The last columns stay the same for long stretches; they are made anew only when they change. */
struct text_row {
  int64_t tick_us;
  struct tick_values values; /* that tail was made from */
  char tail[TEXT_ROW_ROOM];
  size_t tail_length; /* 0: none yet */
};

extern const char TEXT_ROW_HEAD[]; /* names of the columns, with the newline */

void text_row_begin(struct text_row *row, int64_t tick_us);
/* Writes the row and its newline to `to` (TEXT_ROW_ROOM bytes); returns its end. */
char *text_row_put(struct text_row *row, const struct tick_values *values, char *to);

#endif
