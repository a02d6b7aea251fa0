/* text_row.c - fixed-point digits, comma by comma. */
#include "emit/text_row.h"

#include <string.h>

#include "borelay/num.h"
#include "emit/digits.h"

const char TEXT_ROW_HEAD[] = "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,"
                             "wire_current_a,gas,avc,overlay,layer,lap,line\n";

void text_row_begin(struct text_row *row, int64_t tick_us) {
  row->tick_us = tick_us;
  row->tail_length = 0;
}

static char *put_real(char *to, double value, int decimals) {
  to = digits_put(to, digits_scale(value, decimals), decimals);
  *to = ',';
  return to + 1;
}

static char *put_whole(char *to, int64_t value, char after) {
  to = digits_put(to, value, 0);
  *to = after;
  return to + 1;
}

static char *put_flag(char *to, bool flag) {
  *to = flag ? '1' : '0';
  to[1] = ',';
  return to + 2;
}

static bool is_same_tail(const struct tick_values *a, const struct tick_values *b) {
  return a->phase == b->phase && a->arc == b->arc && a->gas == b->gas && a->avc == b->avc &&
         a->current == b->current && a->voltage == b->voltage && a->wire == b->wire &&
         a->wire_current == b->wire_current && a->overlay == b->overlay && a->layer == b->layer &&
         a->lap == b->lap && a->line == b->line;
}

static void make_tail(struct text_row *row, const struct tick_values *values) {
  char *to = row->tail;
  const char *name = phase_name(values->phase);
  size_t length = strlen(name);
  memcpy(to, name, length);
  to += length;
  *to++ = ',';
  to = put_flag(to, values->arc);
  to = put_real(to, values->current, 1);
  to = put_real(to, values->voltage, 2);
  to = put_real(to, values->wire, 3);
  to = put_real(to, values->wire_current, 1);
  to = put_flag(to, values->gas);
  to = put_flag(to, values->avc);
  to = put_whole(to, values->overlay, ',');
  to = put_whole(to, values->layer, ',');
  to = put_whole(to, values->lap, ',');
  to = put_whole(to, values->line, '\n');
  row->tail_length = (size_t)(to - row->tail);
  row->values = *values;
}

char *text_row_put(struct text_row *row, const struct tick_values *values, char *to) {
  to = digits_put(to, values->tick * row->tick_us, 6); /* whole microseconds: exact */
  *to++ = ',';
  to = put_real(to, values->pose.x, 6);
  to = put_real(to, values->pose.y, 6);
  to = put_real(to, values->pose.z, 6);
  to = put_real(to, values->pose.head * (180.0 / NUM_PI), 6);
  if (row->tail_length == 0 || !is_same_tail(&row->values, values))
    make_tail(row, values);
  memcpy(to, row->tail, row->tail_length);
  return to + row->tail_length;
}
