/* stream_edit.h - a text stream taken apart and put together again, so that whoever reads it finds
 * its times, counts and CRC in order, whatever was done to its rows. */
#ifndef TESTS_CLI_STREAM_EDIT_H
#define TESTS_CLI_STREAM_EDIT_H

#include "support/close.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum field {
  FIELD_T,
  FIELD_X,
  FIELD_Y,
  FIELD_Z,
  FIELD_HEAD,
  FIELD_PHASE,
  FIELD_ARC,
  FIELD_CURRENT,
  FIELD_VOLTAGE,
  FIELD_WIRE,
  FIELD_WIRE_CURRENT,
  FIELD_GAS,
  FIELD_AVC,
  FIELD_OVERLAY,
  FIELD_LAYER,
  FIELD_LAP,
  FIELD_LINE,
  FIELD_COUNT
};

struct edit_row {
  char fields[FIELD_COUNT][20];
};

struct edit {
  char *header; /* with the line of column names */
  struct edit_row *rows;
  size_t count;
};

static inline struct edit edit_open(const char *path) {
  struct edit edit = {0};
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  char line[1000];
  size_t room = 0, length = 0;
  bool in_rows = false;
  edit.header = calloc(1, 20000);
  while (fgets(line, sizeof line, file) && !(in_rows && *line == '#')) {
    if (!in_rows) {
      strcpy(edit.header + length, line);
      length += strlen(line);
      in_rows = *line != '#';
      continue;
    }
    if (edit.count == room)
      edit.rows = realloc(edit.rows, (room = 2 * room + 4096) * sizeof *edit.rows);
    assert_non_null(edit.rows);
    struct edit_row *row = &edit.rows[edit.count++];
    int field = 0;
    for (char *word = strtok(line, ",\n"); word && field < FIELD_COUNT; word = strtok(NULL, ",\n"))
      snprintf(row->fields[field++], sizeof row->fields[0], "%s", word);
    assert_int_equal(field, FIELD_COUNT);
  }
  fclose(file);
  return edit;
}

static inline void edit_close(struct edit *edit) {
  free(edit->header);
  free(edit->rows);
}

/* A header line's text after its key is replaced. */
static inline void edit_header(struct edit *edit, const char *key, const char *text) {
  char *at = strstr(edit->header, key);
  assert_non_null(at);
  at += strlen(key);
  char *rest = strdup(at + strcspn(at, "\n"));
  strcpy(at, text);
  strcat(at, rest);
  free(rest);
}

static inline char *edit_header_text(const struct edit *edit, const char *key) {
  const char *at = strstr(edit->header, key);
  assert_non_null(at);
  at += strlen(key);
  return strndup(at, strcspn(at, "\n"));
}

static inline void edit_set(struct edit_row *row, enum field field, const char *text) {
  snprintf(row->fields[field], sizeof row->fields[0], "%s", text);
}

static inline void edit_shift(struct edit_row *row, enum field field, double by, int decimals) {
  snprintf(row->fields[field], sizeof row->fields[0], "%.*f", decimals,
           atof(row->fields[field]) + by);
}

static inline bool edit_is(const struct edit_row *row, enum field field, const char *text) {
  return strcmp(row->fields[field], text) == 0;
}

/* First row at or after `from` that has the phase, overlay and lap; "": any. */
static inline size_t edit_find(const struct edit *edit, size_t from, const char *phase,
                               const char *overlay, const char *lap) {
  for (size_t i = from; i < edit->count; i++)
    if ((!*phase || edit_is(&edit->rows[i], FIELD_PHASE, phase)) &&
        (!*overlay || edit_is(&edit->rows[i], FIELD_OVERLAY, overlay)) &&
        (!*lap || edit_is(&edit->rows[i], FIELD_LAP, lap)))
      return i;
  fail_msg("no row of phase %s, overlay %s, lap %s", phase, overlay, lap);
  return 0;
}

/* A move with arc, wire and gas off. */
static inline void edit_put_out(struct edit_row *row) {
  static const struct {
    enum field field;
    const char *text;
  } OUT[] = {{FIELD_PHASE, "move"},   {FIELD_ARC, "0"},      {FIELD_CURRENT, "0.0"},
             {FIELD_VOLTAGE, "0.00"}, {FIELD_WIRE, "0.000"}, {FIELD_WIRE_CURRENT, "0.0"},
             {FIELD_GAS, "0"},        {FIELD_AVC, "0"}};
  for (size_t i = 0; i < sizeof OUT / sizeof OUT[0]; i++)
    edit_set(row, OUT[i].field, OUT[i].text);
}

static inline void edit_remove(struct edit *edit, size_t from, size_t to) {
  memmove(&edit->rows[from], &edit->rows[to], (edit->count - to) * sizeof *edit->rows);
  edit->count -= to - from;
}

/* CRC-32C bit by bit: RFC 3720, appendix B.4, gives its polynomial and the test 8a9136aa for 32
 * zero bytes. */
static inline uint32_t edit_crc(uint32_t crc, const char *bytes, size_t length) {
  crc = ~crc;
  for (size_t i = 0; i < length; i++) {
    crc ^= (uint8_t)bytes[i];
    for (int bit = 0; bit < 8; bit++)
      crc = crc >> 1 ^ (crc & 1 ? 0x82F63B78u : 0);
  }
  return ~crc;
}

/* Times anew from the tick, rows, duration and CRC; the tick as the header tells it. */
static inline void edit_write(struct edit *edit, const char *path, bool keeps_times) {
  char text[40];
  char *tick = edit_header_text(edit, "\n# tick_s ");
  double t = atof(tick);
  free(tick);
  snprintf(text, sizeof text, "%zu", edit->count);
  edit_header(edit, "\n# rows ", text);
  snprintf(text, sizeof text, "%.6f", (double)(edit->count - 1) * t);
  edit_header(edit, "\n# duration_s ", text);
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  fputs(edit->header, file);
  uint32_t crc = edit_crc(0, edit->header, strlen(edit->header));
  for (size_t i = 0; i < edit->count; i++) {
    char line[FIELD_COUNT * 20 + 2];
    size_t length = 0;
    if (!keeps_times)
      snprintf(edit->rows[i].fields[FIELD_T], sizeof text / 2, "%.6f", (double)i * t);
    for (int k = 0; k < FIELD_COUNT; k++)
      length += (size_t)snprintf(line + length, sizeof line - length, "%s%c",
                                 edit->rows[i].fields[k], k + 1 < FIELD_COUNT ? ',' : '\n');
    fwrite(line, 1, length, file);
    crc = edit_crc(crc, line, length);
  }
  fprintf(file, "# end rows %zu crc32c %08" PRIx32 "\n", edit->count, crc);
  assert_int_equal(fclose(file), 0);
}

/* How many faults of a check verify tells in its JSON. */
static inline size_t judged_faults(const char *json, const char *check) {
  char name[60];
  snprintf(name, sizeof name, "\"name\": \"%s\"", check);
  const char *at = strstr(json, name);
  assert_non_null(at);
  at = strstr(at, "\"faults\": ");
  assert_non_null(at);
  return (size_t)atoi(at + strlen("\"faults\": "));
}

#endif
