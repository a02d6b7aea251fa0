/* header.c - a line has ended: what it says, and which line may come next. */
#include "parts.h"

static const int64_t ROWS_MOST = (int64_t)1 << 46; /* times 100000 us it still fits 63 bits */

/* Numbered lines count from 1. */
static enum borelay_error count_on(uint32_t *count, int64_t number) {
  if (number != (int64_t)*count + 1 || number > UINT32_MAX)
    return BORELAY_ERROR_HEADER;
  ++*count;
  return BORELAY_OK;
}

static enum borelay_error frame_take(struct borelay_reader *reader) {
  struct borelay_header *header = &reader->header;
  const int64_t *figure = reader->own.figure;
  for (unsigned i = 0; i < 3; i++)
    if (!borelay_own_fits(figure[i], BORELAY_LENGTH_BITS))
      return BORELAY_ERROR_RANGE;
  if (reader->own.line == LINE_TORCH) {
    header->reach_nm = figure[0];
    header->drop_nm = figure[1];
    header->correction_nm = figure[2];
  } else {
    header->datum_x_nm = figure[0];
    header->datum_y_nm = figure[1];
    header->datum_z_nm = figure[2];
    header->datum_turned_udeg = figure[3];
  }
  return BORELAY_OK;
}

static enum borelay_error extent_take(struct borelay_reader *reader) {
  struct borelay_header *header = &reader->header;
  int64_t figure = reader->own.figure[0];
  if (reader->own.line == LINE_TICK) {
    header->tick_us = (uint32_t)figure;
    return figure < 1000 || figure > 100000 ? BORELAY_ERROR_RANGE : BORELAY_OK;
  }
  if (reader->own.line == LINE_ROWS) {
    header->rows = (uint64_t)figure;
    return figure < 1 || figure > ROWS_MOST ? BORELAY_ERROR_RANGE : BORELAY_OK;
  }
  header->duration_us = (uint64_t)figure;
  return header->duration_us != (header->rows - 1) * header->tick_us ? BORELAY_ERROR_HEADER
                                                                     : BORELAY_OK;
}

static enum borelay_error overlay_take(struct borelay_reader *reader) {
  int64_t file = reader->own.figure[2];
  if (file < 1 || file > UINT32_MAX)
    return BORELAY_ERROR_RANGE;
  if (file > reader->own.files_named)
    reader->own.files_named = (uint32_t)file;
  reader->text.field = BORELAY_OVERLAY_FILE;
  reader->text.length = 0;
  reader->text.value = (uint32_t)file;
  return count_on(&reader->header.overlays, reader->own.figure[0]);
}

static enum borelay_error line_take(struct borelay_reader *reader) {
  struct borelay_header *header = &reader->header;
  switch ((enum line)reader->own.line) {
  case LINE_VERSION:
    return reader->own.figure[0] == 1 ? BORELAY_OK : BORELAY_ERROR_VERSION;
  case LINE_MODE:
    header->mode = (uint8_t)reader->own.figure[0];
    return BORELAY_OK;
  case LINE_TORCH:
  case LINE_DATUM:
    return frame_take(reader);
  case LINE_PROCEDURE:
    return count_on(&header->procedures, (int64_t)header->procedures + 1);
  case LINE_TICK:
  case LINE_ROWS:
  case LINE_DURATION:
    return extent_take(reader);
  case LINE_HEAD_END:
    header->head_end_udeg = reader->own.figure[0];
    return BORELAY_OK;
  case LINE_OVERLAY:
    return overlay_take(reader);
  case LINE_FILE:
    return count_on(&header->files, reader->own.figure[0]);
  case LINE_JOB:
  case LINE_SOURCE:
  case LINE_CELL:
  case LINE_VERDICT:
  case LINE_COLUMNS:
  case LINE_ROW:
  case LINE_END:
  case LINE_COUNT:
    break;
  }
  return BORELAY_OK;
}

/* -- rows and end of the text ------------------------------------------------------------------ */

static enum borelay_event text_row(struct borelay_reader *reader) {
  if (reader->own.figure[0] != (int64_t)(reader->own.rows * reader->header.tick_us))
    return borelay_own_fail(reader, BORELAY_ERROR_TIME, reader->own.place);
  return borelay_own_row(reader);
}

static enum borelay_event text_end(struct borelay_reader *reader) {
  if (reader->own.figure[1] != (int64_t)reader->own.line_crc)
    return borelay_own_fail(reader, BORELAY_ERROR_CRC, reader->own.place);
  if (reader->own.rows != reader->header.rows || reader->own.figure[0] != (int64_t)reader->own.rows)
    return borelay_own_fail(reader, BORELAY_ERROR_ROWS, reader->own.place);
  reader->own.state = STATE_ENDED;
  return BORELAY_END;
}

enum borelay_event borelay_own_header_done(struct borelay_reader *reader) {
  /* An overlay stands in a file that is listed. */
  if (reader->own.files_named > reader->header.files)
    return borelay_own_fail(reader, BORELAY_ERROR_HEADER, reader->own.place);
  return BORELAY_HEADER;
}

enum borelay_event borelay_own_line_done(struct borelay_reader *reader) {
  enum line line = (enum line)reader->own.line;
  enum borelay_error error = line_take(reader);
  if (error != BORELAY_OK)
    return borelay_own_fail(reader, error, reader->own.place);
  reader->own.step = reader->own.field = 0;
  reader->own.may_skip =
      line == LINE_PROCEDURE || line == LINE_OVERLAY || line == LINE_FILE || line == LINE_ROW;
  if (!reader->own.may_skip)
    reader->own.line++;
  if (line == LINE_OVERLAY)
    return BORELAY_TEXT;
  if (line == LINE_COLUMNS)
    return borelay_own_header_done(reader);
  if (line == LINE_ROW)
    return text_row(reader);
  return line == LINE_END ? text_end(reader) : BORELAY_MORE;
}
