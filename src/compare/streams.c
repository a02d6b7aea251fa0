/* Both streams are read side by side, row for row, and only what the answer needs is kept. */
#include "compare/streams.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"

const struct column_info COLUMNS[COLUMN_COUNT] = {
    [COLUMN_T] = {"t_s", "s", 1e-6},
    [COLUMN_X] = {"x_mm", "mm", 1e-6},
    [COLUMN_Y] = {"y_mm", "mm", 1e-6},
    [COLUMN_Z] = {"z_mm", "mm", 1e-6},
    [COLUMN_HEAD] = {"head_deg", "deg", 1e-6},
    [COLUMN_PHASE] = {"phase", NULL, 1},
    [COLUMN_ARC] = {"arc", NULL, 1},
    [COLUMN_CURRENT] = {"current_a", "A", 0.1},
    [COLUMN_VOLTAGE] = {"voltage_v", "V", 0.01},
    [COLUMN_WIRE] = {"wire_mm_s", "mm/s", 0.001},
    [COLUMN_WIRE_CURRENT] = {"wire_current_a", "A", 0.1},
    [COLUMN_GAS] = {"gas", NULL, 1},
    [COLUMN_AVC] = {"avc", NULL, 1},
    [COLUMN_OVERLAY] = {"overlay", NULL, 1},
    [COLUMN_LAYER] = {"layer", NULL, 1},
    [COLUMN_LAP] = {"lap", NULL, 1},
    [COLUMN_LINE] = {"line", NULL, 1},
};

static void figures_of(const struct borelay_row *row, int64_t figure[COLUMN_COUNT]) {
  figure[COLUMN_T] = (int64_t)row->t_us;
  figure[COLUMN_X] = row->x_nm;
  figure[COLUMN_Y] = row->y_nm;
  figure[COLUMN_Z] = row->z_nm;
  figure[COLUMN_HEAD] = row->head_udeg;
  figure[COLUMN_PHASE] = row->phase;
  figure[COLUMN_ARC] = row->arc;
  figure[COLUMN_CURRENT] = row->current_100ma;
  figure[COLUMN_VOLTAGE] = row->voltage_10mv;
  figure[COLUMN_WIRE] = row->wire_um_s;
  figure[COLUMN_WIRE_CURRENT] = row->wire_current_100ma;
  figure[COLUMN_GAS] = row->gas;
  figure[COLUMN_AVC] = row->avc;
  figure[COLUMN_OVERLAY] = row->overlay;
  figure[COLUMN_LAYER] = row->layer;
  figure[COLUMN_LAP] = row->lap;
  figure[COLUMN_LINE] = row->line;
}

static void compare_rows(struct streams *streams) {
  int64_t a[COLUMN_COUNT], b[COLUMN_COUNT];
  const struct borelay_row *row = &streams->sides[0].rows.reader.row;
  bool differs = false;
  figures_of(row, a);
  figures_of(&streams->sides[1].rows.reader.row, b);
  for (int i = 0; i < COLUMN_COUNT; i++) {
    struct column_change *change = &streams->columns[i];
    if (a[i] == b[i])
      continue;
    double size = (double)llabs(b[i] - a[i]) * COLUMNS[i].scale;
    if (change->rows++ == 0)
      change->first = row->index;
    if (size > change->largest) {
      change->largest = size;
      change->largest_row = row->index;
    }
    differs = true;
  }
  streams->rows_differ += differs;
  streams->rows_compared++;
}

static void take_row(struct streams *streams, struct stream_side *side) {
  const struct borelay_row *row = &side->rows.reader.row;
  stream_stretch_take(streams->arena, side, row);
  stream_way_take(streams->arena, side, row);
}

static void tell_error(struct sarif *findings, const struct rows *rows) {
  const struct borelay_reader *reader = &rows->reader;
  char text[4608];
  rows_tell_error(rows, stderr);
  if (rows->error)
    snprintf(text, sizeof text, "cannot read %.4000s: %s", rows->path, strerror(rows->error));
  else
    snprintf(text, sizeof text, "%.4000s: row %llu, byte %llu: %s", rows->path,
             (unsigned long long)reader->error_row, (unsigned long long)reader->error_at,
             rows_error_text(reader->error));
  sarif_fail(findings, text);
}

/* False: it failed, and that is told. */
static bool step(struct streams *streams, struct stream_side *side) {
  for (;;) {
    switch (rows_next(&side->rows)) {
    case BORELAY_HEADER:
      side->header = side->rows.reader.header;
      stream_lines_read(streams->arena, side);
      break;
    case BORELAY_ROW:
      side->has_more = true;
      take_row(streams, side);
      return true;
    case BORELAY_END:
      side->has_more = false;
      return true;
    case BORELAY_ERROR:
      tell_error(streams->findings, &side->rows);
      return false;
    case BORELAY_MORE:
    case BORELAY_TEXT:
      break;
    }
  }
}

static bool read_both(struct streams *streams) {
  struct stream_side *a = &streams->sides[0], *b = &streams->sides[1];
  if (!step(streams, a) || !step(streams, b))
    return false;
  while (a->has_more || b->has_more) {
    if (a->has_more && b->has_more)
      compare_rows(streams);
    if ((a->has_more && !step(streams, a)) || (b->has_more && !step(streams, b)))
      return false;
  }
  return true;
}

static bool open_both(struct streams *streams) {
  for (int i = 0; i < 2; i++)
    if (!rows_open(&streams->sides[i].rows, streams->sides[i].path, true)) {
      tell_error(streams->findings, &streams->sides[i].rows);
      return false;
    }
  return true;
}

bool streams_are_same(const struct streams *streams) {
  return streams->line_count == 0 && streams->rows_differ == 0 &&
         streams->sides[0].header.rows == streams->sides[1].header.rows;
}

bool streams_act_same(const struct streams *streams) {
  return streams->stretch_count == 0 && streams->columns[COLUMN_T].rows == 0 &&
         streams->sides[0].header.rows == streams->sides[1].header.rows &&
         streams->sides[0].header.tick_us == streams->sides[1].header.tick_us;
}

static void tell(const struct streams *streams, FILE *words, FILE *json) {
  if (words)
    streams_print(streams, words);
  if (!json)
    return;
  char *text = streams_json(streams);
  fputs(text, json);
  free(text);
}

static void finish(struct streams *streams) {
  stream_lines_compare(streams);
  stream_stretches_compare(streams);
  if (streams->stretch_count == 0)
    return;
  streams->tip_off =
      apart_find(streams->arena, &streams->sides[0].ways[0], &streams->sides[1].ways[0]);
  streams->tip_on =
      apart_find(streams->arena, &streams->sides[0].ways[1], &streams->sides[1].ways[1]);
}

enum streams_end compare_streams(const char *before, const char *after, FILE *words, FILE *json,
                                 struct sarif *findings) {
  struct arena *arena = arena_new();
  struct streams *streams = arena_alloc(arena, 1, sizeof *streams);
  const char *paths[] = {before, after};
  streams->arena = arena;
  streams->findings = findings;
  for (int i = 0; i < 2; i++) {
    streams->sides[i].path = paths[i];
    streams->sides[i].rows.fd = -1;
  }
  enum streams_end end = STREAMS_FAILED;
  if (open_both(streams) && read_both(streams)) {
    finish(streams);
    end = streams_are_same(streams) ? STREAMS_SAME : STREAMS_DIFFERENT;
    tell(streams, words, json);
  }
  for (int i = 0; i < 2; i++)
    rows_close(&streams->sides[i].rows);
  arena_free(arena);
  return end;
}
