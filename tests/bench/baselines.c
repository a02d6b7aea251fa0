/* The obvious ways. */
#include "bench/baselines.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench/run.h"

static const char *const PHASES[] = {"move", "touch",     "preflow",  "upslope",
                                     "weld", "downslope", "postflow", "wait"};

static uint8_t *file_load(const char *path, size_t *length) {
  FILE *file = fopen(path, "rb");
  uint8_t *bytes = NULL;
  *length = 0;
  if (file && fseek(file, 0, SEEK_END) == 0) {
    long size = ftell(file);
    rewind(file);
    bytes = size > 0 ? malloc((size_t)size) : NULL;
    if (bytes)
      *length = fread(bytes, 1, (size_t)size, file);
  }
  if (file)
    fclose(file);
  return bytes;
}

struct row_set rows_load(const char *path, size_t most) {
  struct row_set set = {.rows = malloc(most * sizeof *set.rows)};
  size_t length;
  uint8_t *bytes = file_load(path, &length);
  const uint8_t *next = bytes;
  struct borelay_reader *reader = malloc(sizeof *reader);
  if (set.rows && bytes && reader) {
    borelay_reader_begin(reader);
    while (set.count < most) {
      enum borelay_event event = borelay_reader_next(reader, &next, &length);
      if (event == BORELAY_ROW)
        set.rows[set.count++] = reader->row;
      else if (event == BORELAY_END || event == BORELAY_ERROR || event == BORELAY_MORE)
        break;
    }
  }
  free(reader);
  free(bytes);
  return set;
}

static void row_put(FILE *to, const struct borelay_row *row) {
  fprintf(to,
          "%.6f,%.6f,%.6f,%.6f,%.6f,%s,%d,%.1f,%.2f,%.3f,%.1f,%d,%d,%" PRIu32 ",%" PRIu32
          ",%" PRIu32 ",%" PRIu32 "\n",
          (double)row->t_us * 1e-6, (double)row->x_nm * 1e-6, (double)row->y_nm * 1e-6,
          (double)row->z_nm * 1e-6, (double)row->head_udeg * 1e-6, PHASES[row->phase], row->arc,
          row->current_100ma * 0.1, row->voltage_10mv * 0.01, row->wire_um_s * 0.001,
          row->wire_current_100ma * 0.1, row->gas, row->avc, row->overlay, row->layer, row->lap,
          row->line);
}

double baseline_fprintf(const struct row_set *set) {
  FILE *to = fopen("/dev/null", "w");
  if (!to)
    return 0;
  double start = cpu_now();
  for (size_t i = 0; i < set->count; i++)
    row_put(to, &set->rows[i]);
  fclose(to);
  return (cpu_now() - start) / (double)set->count * 1e9;
}

bool baseline_is_same(const struct row_set *set, const char *text_path) {
  size_t length, at = 0;
  char *own = NULL;
  size_t own_size = 0;
  uint8_t *text = file_load(text_path, &length);
  FILE *to = open_memstream(&own, &own_size);
  bool same = text && to;
  while (same && at < length && (text[at] == '#' || text[at] == 't')) /* the header, the columns */
    at += (size_t)((const uint8_t *)memchr(text + at, '\n', length - at) - (text + at)) + 1;
  for (size_t i = 0; same && i < set->count; i++)
    row_put(to, &set->rows[i]);
  if (to)
    fclose(to);
  same = same && own && at + own_size <= length && memcmp(own, text + at, own_size) == 0 &&
         text[at + own_size] == '#'; /* the end line */
  free(text);
  free(own);
  return same;
}

double baseline_memcpy(void) {
  enum { BLOCK = 1 << 26, TIMES = 8 }; /* more than the caches hold */
  char *from = malloc(BLOCK), *to = malloc(BLOCK);
  double speed = 0;
  if (from && to) {
    memset(from, 7, BLOCK);
    memset(to, 0, BLOCK);
    double start = cpu_now();
    for (int i = 0; i < TIMES; i++) {
      from[i] = (char)i; /* or the compiler sees that nothing new is moved */
      memcpy(to, from, BLOCK);
      __asm__ volatile("" : : "r"(to) : "memory");
    }
    speed = (double)BLOCK * TIMES / (cpu_now() - start);
  }
  free(from);
  free(to);
  return speed;
}

double reader_speed(const char *path) {
  size_t length;
  uint8_t *bytes = file_load(path, &length);
  struct borelay_reader *reader = malloc(sizeof *reader);
  double speed = 0, whole = (double)length;
  if (bytes && reader) {
    const uint8_t *next = bytes;
    enum borelay_event event;
    borelay_reader_begin(reader);
    double start = cpu_now();
    do
      event = borelay_reader_next(reader, &next, &length);
    while (event == BORELAY_ROW || event == BORELAY_HEADER || event == BORELAY_TEXT);
    if (event == BORELAY_END)
      speed = whole / (cpu_now() - start);
  }
  free(reader);
  free(bytes);
  return speed;
}
