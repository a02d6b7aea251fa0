/* text_row.c - fixed-point digits, comma by comma. */
#include "emit/text_row.h"

#include <string.h>

#include "borelay/digits.h"
#include "borelay/motion.h"

const char TEXT_ROW_HEAD[] = "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,"
                             "wire_current_a,gas,avc,overlay,layer,lap,line\n";

void text_row_begin(struct text_row *text) {
  text->tail_length = 0;
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

void text_row_keep_tail(struct text_row *text, const struct borelay_row *row) {
  if (text->tail_length == 0 || !is_same_tail(&text->row, row))
    make_tail(text, row);
}

/* With six decimals and a comma. */
static char *put_six(const struct text_row *text, int64_t scaled, char *to) {
  bool is_negative = scaled < 0;
  uint64_t size = is_negative ? 0 - (uint64_t)scaled : (uint64_t)scaled, whole = size / 1000000;
  if (whole >= 1000000)
    return put(to, scaled, 6, ',');
  int places = whole < 10       ? 1
               : whole < 100    ? 2
               : whole < 1000   ? 3
               : whole < 10000  ? 4
               : whole < 100000 ? 5
                                : 6;
  text_put_eight(to, text_whole(text, is_negative, places, whole));
  to += is_negative + places;
  text_put_eight(to, text_decimals(text, size / 1000 % 1000, size % 1000));
  return to + 8;
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
