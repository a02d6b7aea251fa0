/* text_row.h - one row of the text stream. */
#ifndef EMIT_TEXT_ROW_H
#define EMIT_TEXT_ROW_H

#include <stddef.h>

#include "emit/setpoint.h"

enum { TEXT_ROW_ROOM = 320 };

/* The last columns stay the same for long stretches; they are made anew only when they change. */
struct text_row {
  struct borelay_row row; /* that tail was made from */
  char tail[TEXT_ROW_ROOM];
  size_t tail_length; /* 0: none yet */
  /* ".000" to ".999" and "000," to "999,", the first byte lowest, for text_block.c */
  uint32_t point[1000], comma[1000];
};

extern const char TEXT_ROW_HEAD[]; /* names of the columns, with the newline */

void text_row_begin(struct text_row *text);
/* Writes the row and its newline to `to` (TEXT_ROW_ROOM bytes); returns its end. */
char *text_row_put(struct text_row *text, const struct borelay_row *row, char *to);

/* Makes the tail that the row has. */
void text_row_keep_tail(struct text_row *text, const struct borelay_row *row);

#endif
