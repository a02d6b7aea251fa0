/* streams.h - two streams beside one another: header lines, rows one by one, stretches of one
 * phase, ways of the tip. */
#ifndef COMPARE_STREAMS_H
#define COMPARE_STREAMS_H

#include "borelay/compare.h"
#include "borelay/rows.h"
#include "compare/apart.h"

enum column {
  COLUMN_T,
  COLUMN_X,
  COLUMN_Y,
  COLUMN_Z,
  COLUMN_HEAD,
  COLUMN_PHASE,
  COLUMN_ARC,
  COLUMN_CURRENT,
  COLUMN_VOLTAGE,
  COLUMN_WIRE,
  COLUMN_WIRE_CURRENT,
  COLUMN_GAS,
  COLUMN_AVC,
  COLUMN_OVERLAY,
  COLUMN_LAYER,
  COLUMN_LAP,
  COLUMN_LINE,
  COLUMN_COUNT
};
/* Name as in the text stream; unit of `largest`; NULL: a label, which has no size. */
struct column_info {
  const char *name, *unit;
  double scale; /* of the row's whole numbers to the unit */
};
extern const struct column_info COLUMNS[COLUMN_COUNT];

/* What one column does differently in rows of the same number. */
struct column_change {
  uint64_t rows, first; /* how many, and the first */
  double largest;       /* in the column's unit */
  uint64_t largest_row;
};

/* Rows that follow one another with the same labels and phase. */
struct row_stretch {
  uint32_t overlay, layer, lap;
  uint8_t phase;
  uint64_t first, count;
  uint64_t digest;     /* of everything that a machine does with the rows, times apart */
  uint32_t recurrence; /* how many with these labels came before */
};

struct header_line {
  const char *key, *rest; /* "procedure hw.hot", "wps ..." */
};

struct head_place { /* mm, rad, s */
  double x, y, z, head, t;
};

struct stream_side {
  const char *path;
  struct rows rows;
  bool has_more; /* a row is there to be looked at */
  struct borelay_header header;
  struct header_line *lines;
  size_t line_count;
  struct row_stretch *stretches;
  size_t stretch_count;
  struct tip_course ways[2]; /* arc off, arc on; ta .. tb are times of the stream */
  size_t way_room[2];
  struct head_place last; /* of the last row */
  bool has_last, last_arc;
};

struct line_change {
  const char *key, *before, *after; /* NULL: not there */
};
struct stretch_change {
  const struct row_stretch *before, *after; /* NULL: not there */
};

struct streams {
  struct arena *arena;
  struct sarif *findings;
  struct stream_side sides[2];
  uint64_t rows_differ, rows_compared; /* of those with a counterpart */
  struct column_change columns[COLUMN_COUNT];
  struct line_change *lines;
  size_t line_count;
  struct stretch_change *stretches;
  size_t stretch_count;
  struct apart tip_on, tip_off;
};

bool streams_are_same(const struct streams *streams);
/* The same for the machine: only header, lines or labels differ. */
bool streams_act_same(const struct streams *streams);

/* stream_lines.c */
void stream_lines_read(struct arena *arena, struct stream_side *side);
void stream_lines_compare(struct streams *streams);
/* stream_stretches.c */
void stream_stretch_take(struct arena *arena, struct stream_side *side,
                         const struct borelay_row *row);
void stream_stretches_compare(struct streams *streams);
const char *stream_stretch_text(struct arena *arena, const struct row_stretch *stretch);
const struct row_stretch *stream_stretch_at(const struct stream_side *side, double t);
/* stream_way.c */
void stream_way_take(struct arena *arena, struct stream_side *side, const struct borelay_row *row);
/* stream_print.c, stream_json.c */
void streams_print(const struct streams *streams, FILE *to);
char *streams_json(const struct streams *streams);

#endif
