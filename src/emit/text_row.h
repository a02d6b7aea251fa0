/* text_row.h - one row of the text stream. */
#ifndef EMIT_TEXT_ROW_H
#define EMIT_TEXT_ROW_H

#include <stddef.h>

#include "emit/setpoint.h"

enum { TEXT_ROW_ROOM = 320, TEXT_BLOCK_ROOM = POSES_MOST * TEXT_ROW_ROOM };

/* The last columns stay the same for long stretches; they are made anew only when they change. */
struct text_row {
  struct borelay_row row; /* that tail was made from */
  char tail[TEXT_ROW_ROOM];
  size_t tail_length;  /* 0: none yet */
  char four[10000][4]; /* "0000" to "9999" */
};

extern const char TEXT_ROW_HEAD[]; /* names of the columns, with the newline */

void text_row_begin(struct text_row *text);
/* Writes the row and its newline to `to` (TEXT_ROW_ROOM bytes); returns its end. */
char *text_row_put(struct text_row *text, const struct borelay_row *row, char *to);

/* The same for all rows of a block: the same bytes.  TEXT_BLOCK_ROOM bytes. */
char *text_block_put(struct text_row *text, const struct row_block *rows, char *to);

#endif
