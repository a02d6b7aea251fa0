/* steady.h - rows of a piece that travels, sinks and turns evenly, as whole millionths.
 *
 * Some ticks on from wherever on it, such a piece has done the same; so sines and cosines of what
 * it turns in so many ticks are looked up.  src/emit/records.c makes records of what stands here.
 */
#ifndef BORELAY_STEADY_H
#define BORELAY_STEADY_H

#include <stdint.h>

#include "borelay/path.h"

/* Ticks from a middle one, either way; four at a time, the last of which may be too many. */
enum { STEADY_LANES = 4, STEADY_REACH = 512, STEADY_ROOM = 2 * STEADY_REACH + STEADY_LANES };

struct steady {
  bool has_table; /* for an arc or a line, from one piece to the next */
  bool is_line;
  double step; /* rad or mm a tick */
  /* [i]: i - STEADY_REACH ticks from the middle; of a line the way, and 0 */
  double sine[STEADY_ROOM], cosine_less_one[STEADY_ROOM];
  const struct piece *piece;
  double tick_s;
  double place_margin, z_margin, head_margin; /* how far off numbers are, millionths, at most */
};

/* False: it does not move so, or is too far out; or `count` ticks are too few to be worth a table.
 * The piece is read as long as steady_rows_at() is called.  has_table is false the first time. */
bool steady_begin(struct steady *steady, const struct piece *piece, double tick_s, int64_t count);

/* Numbers are held as words in fixed point, modulo 2^64, a half less their bound more than they
 * are: the whole part is what a row shows, if it is the same of the word and `margins` together;
 * else the number is so near to a half that piece_at() has to tell.  So many bits are behind the
 * point: */
enum { STEADY_PLACE_BITS = 16, STEADY_Z_BITS = 32, STEADY_HEAD_BITS = 24 };

struct steady_rise {
  uint64_t start, step; /* at i = 0; a tick */
  uint64_t margins;     /* twice the bound */
  int64_t upper;        /* what the whole part has above the word, the same for all ticks */
};

/* Ticks around a middle one, whose times lie in [t0, t1] of the piece; x, y, z in millionths of a
 * mm, head of a degree. */
struct steady_rows {
  const struct steady *steady;
  /* The bits of x + (along cosine_less_one[i] - across sine[i]) and of
   * y + (across cosine_less_one[i] + along sine[i]), and x_base or y_base more, are the words. */
  double x, y, along, across;
  uint64_t x_base, y_base, margins;
  struct steady_rise z, head;
};
/* False: a word has not room for all of them. */
bool steady_rows_at(const struct steady *steady, int64_t middle, struct steady_rows *rows);

#endif
