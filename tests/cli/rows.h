/* rows.h - reads a text stream back, by its own lights: shares nothing with the writer. */
#ifndef TESTS_CLI_ROWS_H
#define TESTS_CLI_ROWS_H

#include "support/close.h"

#include <stdlib.h>
#include <string.h>

struct row {
  double t, x, y, z, head, current, voltage, wire, wire_current;
  char phase[16];
  int arc, gas, avc, overlay, layer, lap, line;
};

struct rows {
  char *header; /* up to the names of the columns, without them */
  struct row *items;
  size_t count;
  const char *end_line; /* in the text given */
};

/* sscanf first looks for the end of all that it is given: the line alone, not the whole stream. */
static inline int row_read(const char *from, struct row *row) {
  char line[400];
  size_t length = strcspn(from, "\n");
  if (length >= sizeof line)
    return 0;
  memcpy(line, from, length);
  line[length] = '\0';
  return sscanf(line, "%lf,%lf,%lf,%lf,%lf,%15[a-z],%d,%lf,%lf,%lf,%lf,%d,%d,%d,%d,%d,%d", &row->t,
                &row->x, &row->y, &row->z, &row->head, row->phase, &row->arc, &row->current,
                &row->voltage, &row->wire, &row->wire_current, &row->gas, &row->avc, &row->overlay,
                &row->layer, &row->lap, &row->line) == 17;
}

static inline struct rows rows_read(const char *text) {
  static const char NAMES[] = "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,"
                              "wire_current_a,gas,avc,overlay,layer,lap,line\n";
  struct rows rows = {0};
  const char *at = strstr(text, NAMES);
  assert_non_null(at);
  rows.header = strndup(text, (size_t)(at - text));
  size_t room = 0;
  for (at += strlen(NAMES); *at != '#'; at += strcspn(at, "\n") + 1) {
    if (rows.count == room)
      rows.items = realloc(rows.items, (room = 2 * room + 1024) * sizeof *rows.items);
    assert_non_null(rows.items);
    assert_true(row_read(at, &rows.items[rows.count++]));
  }
  rows.end_line = at;
  return rows;
}

static inline void rows_free(struct rows *rows) {
  free(rows->header);
  free(rows->items);
}

#endif
