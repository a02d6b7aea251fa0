/* rows.c - a file's bytes, 64 KiB at a time, pushed into the reader library. */
#include "borelay/rows.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "borelay/reader.h"

enum { BUFFER_SIZE = 1 << 16 };

bool rows_open(struct rows *rows, const char *path, bool keeps_head) {
  memset(rows, 0, sizeof *rows);
  borelay_reader_begin(&rows->reader);
  rows->path = path;
  rows->keeps_head = keeps_head;
  rows->fd = strcmp(path, "-") == 0 ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
  if (rows->fd < 0) {
    rows->error = errno;
    return false;
  }
  rows->buffer = malloc(BUFFER_SIZE);
  if (!rows->buffer)
    rows->error = ENOMEM;
  return rows->buffer != NULL;
}

void rows_close(struct rows *rows) {
  if (rows->fd > STDIN_FILENO)
    close(rows->fd);
  rows->fd = -1;
  free(rows->buffer);
  free(rows->head);
  rows->buffer = rows->head = NULL;
}

static bool refill(struct rows *rows) {
  ssize_t got;
  do
    got = read(rows->fd, rows->buffer, BUFFER_SIZE);
  while (got < 0 && errno == EINTR);
  if (got < 0) {
    rows->error = errno;
    return false;
  }
  rows->at = rows->buffer;
  rows->left = (size_t)got;
  rows->is_last = got == 0;
  return true;
}

/* What was taken may belong to the header lines; where they end is known only afterwards. */
static bool keep_head(struct rows *rows, const uint8_t *from, size_t length) {
  if (length == 0)
    return true;
  if (rows->head_room - rows->head_length < length) {
    size_t room = 2 * (rows->head_length + length);
    uint8_t *head = realloc(rows->head, room);
    if (!head) {
      rows->error = ENOMEM;
      return false;
    }
    rows->head = head;
    rows->head_room = room;
  }
  memcpy(rows->head + rows->head_length, from, length);
  rows->head_length += length;
  return true;
}

enum borelay_event rows_next(struct rows *rows) {
  while (!rows->error) {
    const uint8_t *from = rows->at;
    enum borelay_event event = borelay_reader_next(&rows->reader, &rows->at, &rows->left);
    if (rows->keeps_head && from && !keep_head(rows, from, (size_t)(rows->at - from)))
      break;
    if (event == BORELAY_HEADER)
      rows->keeps_head = false;
    if (event == BORELAY_END) /* what follows the end is an error: wait for the file's */
      continue;
    if (event != BORELAY_MORE)
      return event;
    if (rows->is_last)
      return borelay_reader_finish(&rows->reader);
    if (!refill(rows))
      break;
  }
  return BORELAY_ERROR;
}

size_t rows_more(struct rows *rows, struct borelay_row *to, size_t room) {
  return borelay_reader_more(&rows->reader, &rows->at, &rows->left, to, room);
}

const char *rows_header_text(const struct rows *rows, size_t *length) {
  const struct borelay_header *header = &rows->reader.header;
  *length = (size_t)(header->text_to - header->text_from);
  return (const char *)rows->head + header->text_from;
}

const char *rows_error_text(enum borelay_error error) {
  static const char *const TEXTS[] = {
#define TEXT_OF(name, text) [name] = (text),
      BORELAY_ERRORS(TEXT_OF)
#undef TEXT_OF
  };
  return error < BORELAY_ERROR_COUNT ? TEXTS[error] : "";
}

void rows_tell_error(const struct rows *rows, FILE *to) {
  const char *name = strcmp(rows->path, "-") == 0 ? "standard input" : rows->path;
  const struct borelay_reader *reader = &rows->reader;
  if (rows->error)
    fprintf(to, "borelay: cannot read %s: %s\n", name, strerror(rows->error));
  else
    fprintf(to, "%s: row %llu, byte %llu: error: %s\n", name, (unsigned long long)reader->error_row,
            (unsigned long long)reader->error_at, rows_error_text(reader->error));
}
