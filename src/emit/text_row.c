/* text_row.c - fixed-point digits, comma by comma. */
#include "emit/text_row.h"

#include <string.h>

#include "borelay/digits.h"
#include "borelay/motion.h"

const char TEXT_ROW_HEAD[] = "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,"
                             "wire_current_a,gas,avc,overlay,layer,lap,line\n";

void text_row_begin(struct text_row *text) {
  text->tail_length = text->current.length = text->voltage.length = text->wire.length = 0;
  text->is_wide = text_wide_is_there();
  text->look = (struct text_look){.time = 0};
  for (uint32_t i = 0; i < 1000; i++) {
    uint32_t three = ('0' + i / 100) | ('0' + i / 10 % 10) << 8 | ('0' + i % 10) << 16;
    text->point[i] = '.' | three << 8;
    text->comma[i] = three | (uint32_t)',' << 24;
  }
}

static char *put(char *to, int64_t scaled, int decimals, char after) {
  to = digits_put(to, scaled, decimals);
  *to = after;
  return to + 1;
}

static const uint64_t WHOLE_END = 1000000; /* of what text_whole() takes */

static int places_of(uint64_t whole) {
  return whole < 10       ? 1
         : whole < 100    ? 2
         : whole < 1000   ? 3
         : whole < 10000  ? 4
         : whole < 100000 ? 5
                          : 6;
}

static char *put_whole(const struct text_row *text, bool is_negative, uint64_t whole, char *to) {
  int places = places_of(whole);
  text_put_eight(to, text_whole(text, is_negative, places, whole));
  return to + is_negative + places;
}

/* With six decimals and a comma. */
static char *put_six(const struct text_row *text, int64_t scaled, char *to) {
  bool is_negative = scaled < 0;
  uint64_t size = is_negative ? 0 - (uint64_t)scaled : (uint64_t)scaled, whole = size / 1000000;
  if (whole >= WHOLE_END)
    return put(to, scaled, 6, ',');
  to = put_whole(text, is_negative, whole, to);
  text_put_eight(to, text_decimals(text, size / 1000 % 1000, size % 1000));
  return to + 8;
}

/* With one to three decimals, of which there are `of` in 1, and a comma. */
static inline char *put_few(const struct text_row *text, int64_t scaled, int decimals, uint64_t of,
                            char *to) {
  bool is_negative = scaled < 0;
  uint64_t size = is_negative ? 0 - (uint64_t)scaled : (uint64_t)scaled, whole = size / of;
  if (whole >= WHOLE_END)
    return put(to, scaled, decimals, ',');
  to = put_whole(text, is_negative, whole, to);
  text_put_eight(to, text->point[size % of * (1000 / of)]);
  to[decimals + 1] = ',';
  return to + decimals + 2;
}

static char *put_flag(char *to, bool flag) {
  *to = flag ? '1' : '0';
  to[1] = ',';
  return to + 2;
}

static bool is_same_middle(const struct borelay_row *a, const struct borelay_row *b) {
  return a->current_100ma == b->current_100ma && a->voltage_10mv == b->voltage_10mv &&
         a->wire_um_s == b->wire_um_s;
}

static bool is_same_around(const struct borelay_row *a, const struct borelay_row *b) {
  return a->phase == b->phase && a->arc == b->arc && a->gas == b->gas && a->avc == b->avc &&
         a->wire_current_100ma == b->wire_current_100ma && a->overlay == b->overlay &&
         a->layer == b->layer && a->lap == b->lap && a->line == b->line;
}

static char *put_tail_begin(const struct borelay_row *row, char *to) {
  const char *name = phase_name((enum phase_kind)row->phase);
  size_t length = strlen(name);
  memcpy(to, name, length);
  to += length;
  *to++ = ',';
  return put_flag(to, row->arc);
}

static char *put_tail_end(const struct borelay_row *row, char *to) {
  to = put(to, row->wire_current_100ma, 1, ',');
  to = put_flag(to, row->gas);
  to = put_flag(to, row->avc);
  to = put(to, row->overlay, 0, ',');
  to = put(to, row->layer, 0, ',');
  to = put(to, row->lap, 0, ',');
  return put(to, row->line, 0, '\n');
}

static inline char *put_figure(const struct text_row *text, struct text_figure *figure,
                               int64_t scaled, int decimals, uint64_t of, char *to) {
  if (figure->length == 0 || figure->scaled != scaled) {
    figure->scaled = scaled;
    figure->length = (size_t)(put_few(text, scaled, decimals, of, figure->text) - figure->text);
  }
  memcpy(to, figure->text, 16);
  return to + figure->length;
}

/* On a ramp between sectors only the middle changes, from row to row.  The end, of 60 bytes at
 * most, goes aside meanwhile. */
static void make_middle(struct text_row *text, const struct borelay_row *row) {
  char end[TAIL_END_ROOM], *to = text->tail + text->tail_begin;
  size_t end_length = text->tail_length - text->tail_middle;
  memcpy(end, text->tail + text->tail_middle, sizeof end);
  to = put_figure(text, &text->current, row->current_100ma, 1, 10, to);
  to = put_figure(text, &text->voltage, row->voltage_10mv, 2, 100, to);
  to = put_figure(text, &text->wire, row->wire_um_s, 3, 1000, to);
  memcpy(to, end, sizeof end);
  text->tail_middle = (size_t)(to - text->tail);
  text->tail_length = text->tail_middle + end_length;
}

void text_row_keep_tail(struct text_row *text, const struct borelay_row *row) {
  if (text->tail_length == 0 || !is_same_around(&text->row, row)) {
    text->tail_begin = text->tail_middle = (size_t)(put_tail_begin(row, text->tail) - text->tail);
    text->tail_length = (size_t)(put_tail_end(row, text->tail + text->tail_begin) - text->tail);
  } else if (is_same_middle(&text->row, row)) {
    return;
  }
  make_middle(text, row);
  text->row = *row;
}

char *text_row_put(struct text_row *text, const struct borelay_row *row, char *to) {
  to = put_six(text, (int64_t)row->t_us, to);
  to = put_six(text, row->x_nm, to);
  to = put_six(text, row->y_nm, to);
  to = put_six(text, row->z_nm, to);
  to = put_six(text, row->head_udeg, to);
  text_row_keep_tail(text, row);
  memcpy(to, text->tail, text->tail_length);
  return to + text->tail_length;
}
