/* text_row.h - one row of the text stream. */
#ifndef EMIT_TEXT_ROW_H
#define EMIT_TEXT_ROW_H

#include <stddef.h>
#include <string.h>

#include "emit/setpoint.h"
#include "emit/text_wide.h"

/* The longest row has 206 bytes: 21 of time, 3 times 18 of place, 22 of head, 10 of phase, 49 of
 * currents, voltage and wire, 3 times 2 of flags, 4 times 11 of labels. */
enum { TEXT_ROW_ROOM = 208, TAIL_END_ROOM = 64 };

/* A number of the last columns with its comma. */
struct text_figure {
  int64_t scaled;
  size_t length;     /* 0: none yet */
  char text[16 + 8]; /* 13 at most; numbers are put by eight bytes */
};

/* The last columns stay the same for long stretches; they are made anew only when they change. */
struct text_row {
  struct borelay_row row; /* that tail was made from */
  char tail[TEXT_ROW_ROOM];
  size_t tail_length; /* 0: none yet */
  size_t tail_begin;  /* where current_a begins, the first of three that change on ramps */
  size_t tail_middle; /* where wire_current_a begins, behind them */
  struct text_figure current, voltage, wire;
  /* ".000" to ".999" and "000," to "999,", the first byte lowest, for text_block.c */
  uint32_t point[1000], comma[1000];
  bool is_wide; /* what follows is of use: text_wide.h */
  struct text_look look;
};

/* -- numbers with six decimals as whole words, for both files that write rows ----------------- */

enum { TEXT_PLACES = 6 }; /* at most so many digits before the point */

/* Eight bytes in one move, the first one lowest. */
static inline void text_put_eight(char *to, uint64_t word) {
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
  word = __builtin_bswap64(word);
#endif
  memcpy(to, &word, sizeof word);
}

/* Sign and digits of a whole number below 10^6 that has `places`; what is behind them is 0. */
static inline uint64_t text_whole(const struct text_row *text, bool is_negative, int places,
                                  uint64_t whole) {
  uint64_t six = (text->comma[whole / 1000] & 0xffffff) | (uint64_t)text->comma[whole % 1000] << 24;
  uint64_t word = (six & 0xffffffffffff) >> 8 * (TEXT_PLACES - places);
  return is_negative ? word << 8 | '-' : word;
}

/* Point, six decimals by threes, comma. */
static inline uint64_t text_decimals(const struct text_row *text, uint64_t high, uint64_t low) {
  return text->point[high] | (uint64_t)text->comma[low] << 32;
}

extern const char TEXT_ROW_HEAD[]; /* names of the columns, with the newline */

void text_row_begin(struct text_row *text);
/* Writes the row and its newline to `to` (TEXT_ROW_ROOM bytes); returns its end. */
char *text_row_put(struct text_row *text, const struct borelay_row *row, char *to);

/* Makes the tail that the row has. */
void text_row_keep_tail(struct text_row *text, const struct borelay_row *row);

#endif
