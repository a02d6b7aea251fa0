/* text_block.c - rows of one length.
 *
 * Within a block the numbers of a column mostly have one sign and one count of digits before the
 * point.  Then every digit of every row has its place before the first one is worked out.  A row is
 * copied from a form, which holds what stands still and, as they change seldom, the digits before
 * the points; the decimals of what moves are put over it.  Where a number gains or loses a digit, a
 * new form begins. */
#include "emit/text_block.h"

#include <string.h>

#include "borelay/digits.h"
#include "borelay/lanes.h"

enum { COLUMNS = TEXT_COLUMNS, DECIMALS = 8 /* bytes of ".123456," */ };
_Static_assert((int)DIGITS_PLACES <= (int)TEXT_PLACES, "digits of a shape");
#define DEGREES (180.0 / NUM_PI)

/* Where the numbers of a column stand in their rows, and how they look. */
struct column {
  size_t at, point; /* bytes from the row's start */
  struct digits_shape shape;
};

/* Rows that look alike. */
struct row_form {
  size_t length;
  char row[TEXT_ROW_ROOM]; /* what stands still, and the digits before the points */
  int count;
  struct column moving[COLUMNS];
  uint64_t parts[COLUMNS][POSES_MOST]; /* of what moves, as digits_split_all() gives them */
  uint32_t renews[POSES_MOST];         /* digits before a point are others than in the row before */
};

/* -- writing ---------------------------------------------------------------------------------- */

/* Digits before the point that are others than in the row before, into the row and, for those that
 * follow, into the form.  A word's bytes behind its digits are overwritten by the decimals. */
static void row_renew(struct row_form *form, const struct text_row *text, size_t i, char *to) {
  for (int k = 0; k < form->count; k++) {
    const struct column *column = &form->moving[k];
    uint64_t whole = form->parts[k][i] >> 32;
    if (whole == form->parts[k][i - 1] >> 32)
      continue;
    uint64_t word = text_whole(text, column->shape.is_negative, column->shape.places, whole);
    text_put_eight(to + column->at, word);
    text_put_eight(form->row + column->at, word);
  }
}

LANES(uint64_t, differences, (const uint64_t *parts, size_t count), (parts, count)) {
  uint64_t differ = 0;
  for (size_t i = 1; i < count; i++)
    differ |= parts[i] ^ parts[0];
  return differ;
}

LANES_VOID(add_renews, (const uint64_t *restrict parts, size_t count, uint32_t *restrict renews),
           (parts, count, renews)) {
  for (size_t i = 1; i < count; i++)
    renews[i] |= (uint32_t)(parts[i] >> 32) ^ (uint32_t)(parts[i - 1] >> 32);
}

/* In most columns few digits before the point change, in some none. */
static void find_renews(struct row_form *form, size_t count) {
  memset(form->renews, 0, count * sizeof form->renews[0]);
  for (int k = 0; k < form->count; k++)
    if (differences(form->parts[k], count) >> 32)
      add_renews(form->parts[k], count, form->renews);
}

/* What is too much is overwritten by the row behind. */
static inline void row_copy(const char *row, size_t length, char *to) {
  enum { HALF = 64, MOSTLY_ALL = 2 * HALF };
  memcpy(to, row, HALF);
  memcpy(to + HALF, row + HALF, HALF);
  if (length > MOSTLY_ALL)
    memcpy(to + MOSTLY_ALL, row + MOSTLY_ALL, length - MOSTLY_ALL);
}

/* A half of 16 bits of the lower half of the parts; read by itself, it needs no taking apart. */
static inline size_t half_of(const uint64_t *parts, size_t half) {
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
  half = 3 - half;
#endif
  uint16_t bits;
  memcpy(&bits, (const char *)parts + half * sizeof bits, sizeof bits);
  return bits;
}

/* moving is form->count: where it is known, the loops over columns are none. */
static inline __attribute__((always_inline)) void
put_moving(const struct text_row *text, struct row_form *form, int moving, size_t count, char *to) {
  size_t length = form->length, point[COLUMNS] = {0};
  for (int k = 0; k < moving; k++)
    point[k] = form->moving[k].point;
  for (size_t i = 0; i < count; i++, to += length) {
    row_copy(form->row, length, to);
    if (form->renews[i])
      row_renew(form, text, i, to);
    for (int k = 0; k < moving; k++)
      text_put_eight(to + point[k], text_decimals(text, half_of(&form->parts[k][i], 1),
                                                  half_of(&form->parts[k][i], 0)));
  }
}

LANES_VOID(put_rows, (const struct text_row *text, struct row_form *form, size_t count, char *to),
           (text, form, count, to)) {
  if (form->count == COLUMNS)
    put_moving(text, form, COLUMNS, count, to);
  else if (form->count == COLUMNS - 1)
    put_moving(text, form, COLUMNS - 1, count, to);
  else
    put_moving(text, form, form->count, count, to);
}

/* -- finding ---------------------------------------------------------------------------------- */

/* Depths and angles stand still for long, and more where nothing moves. */
LANES(bool, all_same, (const double *values, size_t count), (values, count)) {
  int differ = 0;
  for (size_t i = 1; i < count; i++)
    differ |= values[i] != values[0];
  return differ == 0;
}

/* The next column, which begins `at` bytes from the row's start with a number in millionths.  NULL:
 * it has too many digits. */
static struct column *column_begin(struct row_form *form, size_t at, int64_t first) {
  struct column *column = &form->moving[form->count];
  column->at = at;
  if (!digits_shape_of(first, &column->shape))
    return NULL;
  column->point = at + column->shape.is_negative + (size_t)column->shape.places;
  return column;
}

/* In parts, too: each a tick later than the one before.  Ticks are seconds at most, so microseconds
 * over POSES_MOST of them have room. */
LANES_VOID(split_times,
           (uint64_t seconds, uint32_t first_us, uint32_t tick_us, size_t count,
            uint64_t *restrict parts),
           (seconds, first_us, tick_us, count, parts)) {
  for (uint32_t i = 0; i < (uint32_t)count; i++) {
    uint32_t us = first_us + i * tick_us, ms = us / 1000, s = ms / 1000;
    parts[i] = (seconds + s) << 32 | (uint64_t)(ms - s * 1000) << 16 | (us - ms * 1000);
  }
}

/* As many of the `count` times as look like the first; likewise below. */
static size_t times_take(struct row_form *form, size_t *at, uint64_t first, uint32_t tick_us,
                         size_t count) {
  const struct column *column = column_begin(form, *at, (int64_t)first);
  if (!column)
    return 0;
  *at = column->point + DECIMALS;
  uint64_t end = 1000000;
  for (int i = 0; i < column->shape.places; i++)
    end *= 10;
  uint64_t alike = (end - 1 - first) / tick_us + 1; /* up to the first with a digit more */
  count = alike < count ? (size_t)alike : count;
  split_times(first / 1000000, (uint32_t)(first % 1000000), tick_us, count,
              form->parts[form->count++]);
  return count;
}

static size_t column_take(struct row_form *form, size_t *at, int64_t first, const double *values,
                          double factor, size_t count) {
  const struct column *column = column_begin(form, *at, first);
  if (!column)
    return 0;
  *at = column->point + DECIMALS;
  if (values[count - 1] == values[0] && all_same(values, count))
    return count;
  return digits_split_all(values, factor, column->shape, count, form->parts[form->count++]);
}

/* As many of the ticks from number `from` on as have rows that look like `first`, the row of that
 * one.  Their count; 0: it has too many digits. */
static size_t columns_take(struct row_form *form, const struct borelay_row *first,
                           const struct tick_block *ticks, size_t from, uint32_t tick_us) {
  const struct poses *poses = &ticks->poses;
  const int64_t firsts[] = {first->x_nm, first->y_nm, first->z_nm, first->head_udeg};
  const double *const values[] = {poses->x, poses->y, poses->z, poses->head};
  static const double FACTORS[] = {1, 1, 1, DEGREES};
  size_t at = 0, count;
  form->count = 0;
  count = times_take(form, &at, first->t_us, tick_us, ticks->count - from);
  for (int k = 0; k < COLUMNS - 1 && count > 0; k++)
    count = column_take(form, &at, firsts[k], values[k] + from, FACTORS[k], count);
  return count;
}

/* The rows that look like the first one; at least that.  Their count. */
static size_t put_alike(struct text_row *text, const struct borelay_row *first,
                        const struct tick_block *ticks, size_t from, uint32_t tick_us, char **to) {
  struct row_form form;
  size_t count = columns_take(&form, first, ticks, from, tick_us);
  if (count <= 1) {
    *to = text_row_put(text, first, *to);
    return 1;
  }
  form.length = (size_t)(text_row_put(text, first, form.row) - form.row);
  find_renews(&form, count);
  put_rows(text, &form, count, *to);
  *to += count * form.length;
  return count;
}

/* The same where the processor has wide vectors, of rows that surely round to what they are; none,
 * where the first does not. */
static size_t put_wide(struct text_row *text, const struct borelay_row *first,
                       const struct tick_block *ticks, size_t from, uint32_t tick_us, double margin,
                       char **to) {
  const int64_t firsts[TEXT_COLUMNS] = {(int64_t)first->t_us, first->x_nm, first->y_nm, first->z_nm,
                                        first->head_udeg};
  struct digits_shape shapes[TEXT_COLUMNS];
  for (int k = 0; k < TEXT_COLUMNS; k++)
    if (!digits_shape_of(firsts[k], &shapes[k]))
      return 0;
  if (!text_look_make(&text->look, shapes))
    return 0;
  char row[TEXT_ROW_ROOM];
  size_t length = (size_t)(text_row_put(text, first, row) - row);
  if (length > 2 * TEXT_WIDTH)
    return 0;
  struct text_model model = {&text->look, row, length, firsts[0], tick_us};
  size_t count = text_wide_rows(&model, ticks, from, margin, *to);
  *to += count * length;
  return count;
}

/* `count` rows from number `from` on stand at `to`, all with the last columns of the first; the
 * others get their own.  How many: up to one whose last columns are longer or shorter.  0: a figure
 * that no stream can carry. */
static size_t put_tails(struct text_row *text, struct setpoint *setpoint,
                        const struct tick_values *each, size_t from, size_t count, size_t length,
                        char *to) {
  size_t tail_length = text->tail_length;
  for (size_t i = 1; i < count; i++) {
    if (!setpoint_labels(setpoint, &each[from + i]))
      return 0;
    text_row_keep_tail(text, &setpoint->row);
    if (text->tail_length != tail_length)
      return i;
    memcpy(to + (i + 1) * length - tail_length, text->tail, tail_length);
  }
  return count;
}

bool text_block_put(struct text_row *text, struct setpoint *setpoint, struct tick_block *ticks,
                    const struct tick_values *each, char **to) {
  const struct poses *poses = &ticks->poses;
  double margin = text->is_wide ? tick_block_end_nearly(ticks) : 0;
  if (!text->is_wide)
    tick_block_end(ticks);
  for (size_t i = 0, done; i < ticks->count; i += done) {
    char *begin = *to;
    struct tick_values values = each ? each[i] : ticks->values;
    values.tick = ticks->values.tick + (int64_t)i;
    values.pose = (struct pose){poses->x[i], poses->y[i], poses->z[i], poses->head[i]};
    if (!setpoint_make(setpoint, &values))
      return false;
    const struct borelay_row *first = &setpoint->row;
    done = text->is_wide ? put_wide(text, first, ticks, i, setpoint->tick_us, margin, to) : 0;
    if (done == 0 && margin > 0) { /* perhaps another number, as near to a half as it is */
      tick_block_end(ticks);
      margin = 0;
    } else if (done == 0) {
      done = put_alike(text, first, ticks, i, setpoint->tick_us, to);
    }
    if (each && done > 1) {
      size_t length = (size_t)(*to - begin) / done;
      done = put_tails(text, setpoint, each, i, done, length, begin);
      if (done == 0)
        return false;
      *to = begin + done * length;
    }
  }
  return true;
}
