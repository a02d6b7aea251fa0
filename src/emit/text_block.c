/* text_block.c - rows of one length.
 *
 * Within a block the numbers of a column mostly have one sign and one count of digits before the
 * point.  Then every digit of every row has its place before the first one is worked out: no row
 * waits for the end of the one before, and a column is written down all rows in one loop.  Where a
 * number gains or loses a digit, a new stretch begins. */
#include "emit/text_block.h"

#include <string.h>

#include "borelay/digits.h"
#include "borelay/lanes.h"

enum { COLUMNS = 5, DECIMALS = 8 /* bytes of ".123456," */ };
_Static_assert((int)DIGITS_PLACES <= (int)TEXT_PLACES, "digits of a shape");
#define DEGREES (180.0 / NUM_PI)

/* Numbers of a column that look alike, and where they stand in their rows. */
struct column {
  size_t at, point; /* bytes from the row's start */
  bool is_negative;
  bool is_same; /* all are the first one */
  int places;
  uint64_t parts[POSES_MOST]; /* as digits_split_all() gives them */
};

static inline uint64_t word_of(const struct text_row *text, const struct column *column,
                               uint64_t whole) {
  return text_whole(text, column->is_negative, column->places, whole);
}

static inline uint64_t decimals_of(const struct text_row *text, uint64_t parts) {
  return text_decimals(text, parts >> 16 & 0xffff, parts & 0xffff);
}

/* In `count` rows, `stride` bytes apart.  A word's bytes behind its digits are overwritten by the
 * decimals. */
static void put_column(const struct text_row *text, const struct column *column, size_t count,
                       size_t stride, char *to) {
  uint64_t whole = column->parts[0] >> 32, word = word_of(text, column, whole);
  size_t digits = column->point - column->at;
  to += column->at;
  for (size_t i = 0; i < count; i++, to += stride) {
    uint64_t parts = column->parts[i];
    if (parts >> 32 != whole) {
      whole = parts >> 32;
      word = word_of(text, column, whole);
    }
    text_put_eight(to, word);
    text_put_eight(to + digits, decimals_of(text, parts));
  }
}

static void put_same(const struct text_row *text, const struct column *column, size_t count,
                     size_t stride, char *to) {
  uint64_t word = word_of(text, column, column->parts[0] >> 32);
  uint64_t decimals = decimals_of(text, column->parts[0]);
  size_t digits = column->point - column->at;
  to += column->at;
  for (size_t i = 0; i < count; i++, to += stride) {
    text_put_eight(to, word);
    text_put_eight(to + digits, decimals);
  }
}

/* In all rows; what is too much is overwritten by the row behind. */
LANES static void put_tails(const char *tail, size_t length, size_t count, size_t stride,
                            char *to) {
  enum { MOSTLY_ALL = 64 };
  for (size_t i = 0; i < count; i++, to += stride) {
    memcpy(to, tail, MOSTLY_ALL);
    if (length > MOSTLY_ALL)
      memcpy(to + MOSTLY_ALL, tail + MOSTLY_ALL, length - MOSTLY_ALL);
  }
}

/* Depths and angles stand still for long, and more where nothing moves. */
static bool all_same(const double *values, size_t count) {
  size_t same = 1;
  while (same < count && values[same] == values[0])
    same++;
  return same == count;
}

/* Takes as many of the `count` numbers as look like the first, which is `first` in millionths.  0:
 * it has too many digits. */
static size_t column_take(struct column *column, size_t at, int64_t first, const double *values,
                          double factor, int decimals, size_t count) {
  struct digits_shape shape;
  column->at = column->point = at;
  if (!digits_shape_of(first, &shape))
    return 0;
  column->is_negative = shape.is_negative;
  column->places = shape.places;
  column->point = at + shape.is_negative + (size_t)shape.places;
  column->is_same = values[count - 1] == values[0] && all_same(values, count);
  if (!column->is_same)
    return digits_split_all(values, factor, decimals, shape, count, column->parts);
  uint64_t size = (uint64_t)(first < 0 ? -first : first);
  column->parts[0] = size / 1000000 << 32 | size / 1000 % 1000 << 16 | size % 1000;
  return count;
}

/* As many of the ticks from number `from` on as have rows that look like `first`, the row of that
 * one.  Their count; 0: it has too many digits. */
static size_t columns_take(struct column columns[COLUMNS], const struct borelay_row *first,
                           const struct tick_block *ticks, size_t from, uint32_t tick_us) {
  const struct poses *poses = &ticks->poses;
  double t_us[POSES_MOST], first_us = (double)first->t_us;
  size_t count = ticks->count - from, at = 0;
  for (int i = 0; i < (int)count; i++)
    t_us[i] = first_us + i * (double)tick_us;
  const int64_t firsts[COLUMNS] = {(int64_t)first->t_us, first->x_nm, first->y_nm, first->z_nm,
                                   first->head_udeg};
  const double *const values[COLUMNS] = {t_us, poses->x + from, poses->y + from, poses->z + from,
                                         poses->head + from};
  static const double FACTORS[COLUMNS] = {1, 1, 1, 1, DEGREES};
  static const int DECIMAL_COUNTS[COLUMNS] = {0, 6, 6, 6, 6}; /* times are microseconds already */
  for (int k = 0; k < COLUMNS && count > 0; k++) {
    count =
        column_take(&columns[k], at, firsts[k], values[k], FACTORS[k], DECIMAL_COUNTS[k], count);
    at = columns[k].point + DECIMALS;
  }
  return count;
}

/* The rows that look like the first one; at least that.  Their count. */
static size_t put_alike(struct text_row *text, const struct borelay_row *first,
                        const struct tick_block *ticks, size_t from, uint32_t tick_us, char **to) {
  struct column columns[COLUMNS];
  size_t count = columns_take(columns, first, ticks, from, tick_us);
  if (count == 0) {
    *to = text_row_put(text, first, *to);
    return 1;
  }
  text_row_keep_tail(text, first);
  size_t tail_at = columns[COLUMNS - 1].point + DECIMALS, stride = tail_at + text->tail_length;
  put_tails(text->tail, text->tail_length, count, stride, *to + tail_at);
  for (int k = 0; k < COLUMNS; k++)
    (columns[k].is_same ? put_same : put_column)(text, &columns[k], count, stride, *to);
  *to += count * stride;
  return count;
}

bool text_block_put(struct text_row *text, struct setpoint *setpoint,
                    const struct tick_block *ticks, char **to) {
  const struct poses *poses = &ticks->poses;
  for (size_t i = 0; i < ticks->count;) {
    struct tick_values values = ticks->values;
    values.tick += (int64_t)i;
    values.pose = (struct pose){poses->x[i], poses->y[i], poses->z[i], poses->head[i]};
    if (!setpoint_make(setpoint, &values))
      return false;
    i += put_alike(text, &setpoint->row, ticks, i, setpoint->tick_us, to);
  }
  return true;
}
