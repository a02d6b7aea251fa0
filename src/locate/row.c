/* The row asked for, and the strings of the header that concern it.  The strings come before the
 * row that tells which of them are wanted, so the header is read twice. */
#include <inttypes.h>
#include <string.h>

#include "borelay/locate.h"

static bool is_wanted(struct locate_wish wish, const struct borelay_row *row, uint32_t tick_us) {
  if (!wish.by_time)
    return row->index == wish.row;
  return row->t_us <= wish.t_us && wish.t_us < row->t_us + tick_us;
}

static enum locate_result row_find(struct rows *rows, struct locate_wish wish,
                                   struct located *located) {
  for (;;) {
    switch (rows_next(rows)) {
    case BORELAY_MORE:
    case BORELAY_TEXT:
      break;
    case BORELAY_HEADER:
      located->header = rows->reader.header;
      break;
    case BORELAY_ROW:
      if (!is_wanted(wish, &rows->reader.row, located->header.tick_us))
        break;
      located->row = rows->reader.row;
      return LOCATED;
    case BORELAY_END:
      fprintf(stderr, "borelay: %s ends at row %" PRIu64 ", %.6f s\n", rows->path,
              located->header.rows - 1, (double)located->header.duration_us / 1e6);
      return LOCATE_NO_ROW;
    case BORELAY_ERROR:
      rows_tell_error(rows, stderr);
      return rows->error ? LOCATE_UNREADABLE : LOCATE_WRONG_STREAM;
    }
  }
}

static void name_add(char name[LOCATE_NAME], const struct borelay_text *text) {
  size_t used = strlen(name), room = LOCATE_NAME - 1 - used;
  size_t length = text->length < room ? text->length : room;
  memcpy(name + used, text->bytes, length);
  name[used + length] = '\0';
}

static void names_find(struct rows *rows, struct located *located) {
  const struct borelay_text *text = &rows->reader.text;
  while (rows_next(rows) == BORELAY_TEXT) {
    bool is_own = text->number == located->row.overlay;
    if (text->field == BORELAY_OVERLAY_NAME && is_own)
      name_add(located->overlay, text);
    else if (text->field == BORELAY_OVERLAY_FILE && is_own)
      located->file_number = text->value;
    if (text->field == BORELAY_FILE_NAME && text->number == located->file_number)
      name_add(located->file, text);
    if (text->field == BORELAY_FILE_NAME && text->number == 1)
      name_add(located->job_file, text);
  }
}

enum locate_result locate_row(const char *path, struct locate_wish wish, struct located *located) {
  struct rows rows;
  *located = (struct located){.file_number = 0};
  enum locate_result result = LOCATE_UNREADABLE;
  if (rows_open(&rows, path, false))
    result = row_find(&rows, wish, located);
  else
    rows_tell_error(&rows, stderr);
  rows_close(&rows);
  if (result != LOCATED)
    return result;
  if (rows_open(&rows, path, false))
    names_find(&rows, located);
  rows_close(&rows);
  return LOCATED;
}
