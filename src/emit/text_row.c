/* text_row.c - fixed-point digits, comma by comma. */
#include "emit/text_row.h"

#include <string.h>

#include "borelay/digits.h"
#include "borelay/motion.h"

const char TEXT_ROW_HEAD[] = "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,"
                             "wire_current_a,gas,avc,overlay,layer,lap,line\n";

void text_row_begin(struct text_row *text) {
  text->tail_length = 0;
  for (int i = 0; i < 10000; i++) {
    char *four = text->four[i];
    four[0] = (char)('0' + i / 1000);
    four[1] = (char)('0' + i / 100 % 10);
    four[2] = (char)('0' + i / 10 % 10);
    four[3] = (char)('0' + i % 10);
  }
}

static char *put(char *to, int64_t scaled, int decimals, char after) {
  to = digits_put(to, scaled, decimals);
  *to = after;
  return to + 1;
}

static char *put_flag(char *to, bool flag) {
  *to = flag ? '1' : '0';
  to[1] = ',';
  return to + 2;
}

static bool is_same_tail(const struct borelay_row *a, const struct borelay_row *b) {
  return a->phase == b->phase && a->arc == b->arc && a->gas == b->gas && a->avc == b->avc &&
         a->current_100ma == b->current_100ma && a->voltage_10mv == b->voltage_10mv &&
         a->wire_um_s == b->wire_um_s && a->wire_current_100ma == b->wire_current_100ma &&
         a->overlay == b->overlay && a->layer == b->layer && a->lap == b->lap && a->line == b->line;
}

static void make_tail(struct text_row *text, const struct borelay_row *row) {
  char *to = text->tail;
  const char *name = phase_name((enum phase_kind)row->phase);
  size_t length = strlen(name);
  memcpy(to, name, length);
  to += length;
  *to++ = ',';
  to = put_flag(to, row->arc);
  to = put(to, row->current_100ma, 1, ',');
  to = put(to, row->voltage_10mv, 2, ',');
  to = put(to, row->wire_um_s, 3, ',');
  to = put(to, row->wire_current_100ma, 1, ',');
  to = put_flag(to, row->gas);
  to = put_flag(to, row->avc);
  to = put(to, row->overlay, 0, ',');
  to = put(to, row->layer, 0, ',');
  to = put(to, row->lap, 0, ',');
  to = put(to, row->line, 0, '\n');
  text->tail_length = (size_t)(to - text->tail);
  text->row = *row;
}

static void keep_tail(struct text_row *text, const struct borelay_row *row) {
  if (text->tail_length == 0 || !is_same_tail(&text->row, row))
    make_tail(text, row);
}

char *text_row_put(struct text_row *text, const struct borelay_row *row, char *to) {
  to = put(to, (int64_t)row->t_us, 6, ',');
  to = put(to, row->x_nm, 6, ',');
  to = put(to, row->y_nm, 6, ',');
  to = put(to, row->z_nm, 6, ',');
  to = put(to, row->head_udeg, 6, ',');
  keep_tail(text, row);
  memcpy(to, text->tail, text->tail_length);
  return to + text->tail_length;
}

/* -- many rows at once: six decimals, digits by fours -------------------------------------------
 */

/* The number without leading zeros; at least one digit. */
static inline char *put_up_to_four(const struct text_row *text, uint32_t number, char *to) {
  size_t skip = number < 10 ? 3 : number < 100 ? 2 : number < 1000 ? 1 : 0;
  memcpy(to, text->four[number] + skip, 4 - skip);
  return to + 4 - skip;
}

static inline char *put_four(const struct text_row *text, uint32_t number, char *to) {
  memcpy(to, text->four[number], 4);
  return to + 4;
}

static inline char *put_six(const struct text_row *text, int64_t scaled, char *to) {
  uint64_t size = scaled < 0 ? 0 - (uint64_t)scaled : (uint64_t)scaled;
  uint64_t whole = size / 1000000;
  if (whole >= 100000000)
    return put(to, scaled, 6, ',');
  uint32_t units = (uint32_t)whole, rest = (uint32_t)(size - whole * 1000000);
  *to = '-';
  to += scaled < 0;
  if (units < 10000)
    to = put_up_to_four(text, units, to);
  else
    to = put_four(text, units % 10000, put_up_to_four(text, units / 10000, to));
  *to = '.';
  put_four(text, rest / 100, to + 1);
  memcpy(to + 5, text->four[rest % 100] + 2, 2);
  to[7] = ',';
  return to + 8;
}

char *text_block_put(struct text_row *text, const struct row_block *rows, char *to) {
  keep_tail(text, &rows->row);
  size_t tail = text->tail_length;
  int64_t t_us = (int64_t)rows->row.t_us;
  for (size_t i = 0; i < rows->count; i++, t_us += rows->tick_us) {
    to = put_six(text, t_us, to);
    to = put_six(text, rows->x_nm[i], to);
    to = put_six(text, rows->y_nm[i], to);
    to = put_six(text, rows->z_nm[i], to);
    to = put_six(text, rows->head_udeg[i], to);
    memcpy(to, text->tail,
           64); /* mostly all of it, in a few moves; what is too much is overwritten */
    if (tail > 64)
      memcpy(to + 64, text->tail + 64, tail - 64);
    to += tail;
  }
  return to;
}
