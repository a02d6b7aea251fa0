/* text_wide.h - rows that look alike, eight at a time, where the processor can put bytes of a
 * vector into any order; the same bytes as text_row_put() would make. */
#ifndef EMIT_TEXT_WIDE_H
#define EMIT_TEXT_WIDE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "borelay/digits.h"
#include "borelay/tick.h"

/* Time and pose. */
enum { TEXT_COLUMNS = 5, TEXT_WIDTH = 64 };

/* Where in a row the digits of numbers that look so stand, and which they are. */
struct text_look {
  struct digits_shape shapes[TEXT_COLUMNS];
  uint64_t time, pose; /* a bit for each byte that is a digit of those */
  uint8_t from[TEXT_WIDTH];
};

/* Whether this processor can; asked for once. */
bool text_wide_is_there(void);

/* False: they reach beyond the first TEXT_WIDTH bytes of the row. */
bool text_look_make(struct text_look *look, const struct digits_shape shapes[TEXT_COLUMNS]);

/* A row of that look. */
struct text_model {
  const struct text_look *look;
  const char *row; /* 2 TEXT_WIDTH bytes may be read */
  size_t length;   /* TEXT_WIDTH .. 2 TEXT_WIDTH */
  int64_t t_us;    /* of the first row that is wanted */
  uint32_t tick_us;
};

/* Writes rows of the ticks from number `from` on, up to the first that does not look so or of which
 * a figure is too near to a half: of x and y that are off by up to `margin` millionths, of z and
 * head a half itself.  Returns how many.  What is too much of the last row lies behind it. */
size_t text_wide_rows(const struct text_model *model, const struct tick_block *ticks, size_t from,
                      double margin, char *to);

#endif
