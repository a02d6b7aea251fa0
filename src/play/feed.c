/* feed.c - rows back to text.
 *
 * The compiler's own writer makes the lines, so that what a receiver gathers is the text stream
 * byte for byte.  It writes to the null device; each line is taken from its buffer before it goes
 * there. */
#include "play/feed.h"

#include <errno.h>
#include <string.h>

#include "borelay_reader.h"

static void note_row(struct survey *survey, const struct borelay_row *row, uint64_t wanted) {
  /* Until the wanted row, has_before and before follow the stream. */
  bool holds_back = row->arc || (row->phase == BORELAY_PREFLOW && row->gas);
  if (row->index > wanted)
    return;
  if (!holds_back) {
    survey->before = row->index;
    survey->has_before = true;
  }
  survey->is_held_back = holds_back;
  survey->row = *row;
  survey->has_row = row->index == wanted;
}

static bool survey_rows(struct survey *survey, struct rows *rows, uint64_t wanted) {
  enum borelay_event event = BORELAY_MORE;
  if (fstat(rows->fd, &survey->file) != 0)
    rows->error = errno;
  while (!rows->error && event != BORELAY_END && event != BORELAY_ERROR) {
    event = rows_next(rows);
    if (event == BORELAY_ROW)
      note_row(survey, &rows->reader.row, wanted);
  }
  survey->header = rows->reader.header;
  return event == BORELAY_END;
}

bool feed_survey(struct survey *survey, const char *path, uint64_t wanted, bool *file_failed) {
  struct rows rows;
  *survey = (struct survey){.has_row = false};
  bool done = rows_open(&rows, path, false) && survey_rows(survey, &rows, wanted);
  if (!done)
    rows_tell_error(&rows, stderr);
  *file_failed = rows.error != 0;
  rows_close(&rows);
  return done;
}

/* A compile gives its output the name in one step: the file that is open stays what it was, and
 * only the name may have moved on between the two readings. */
static bool is_same_file(const struct rows *rows, const struct stat *before) {
  struct stat now;
  return fstat(rows->fd, &now) == 0 && now.st_dev == before->st_dev &&
         now.st_ino == before->st_ino && now.st_size == before->st_size &&
         now.st_mtim.tv_sec == before->st_mtim.tv_sec &&
         now.st_mtim.tv_nsec == before->st_mtim.tv_nsec;
}

bool feed_open(struct feed *feed, const char *path, const struct survey *survey) {
  memset(feed, 0, sizeof *feed);
  feed->text = (struct outfile){.fd = -1, .folder = -1};
  if (!rows_open(&feed->rows, path, true)) {
    rows_tell_error(&feed->rows, stderr);
    return false;
  }
  if (!is_same_file(&feed->rows, &survey->file)) {
    fprintf(stderr, "borelay: %s has changed since it was checked\n", path);
    return false;
  }
  if (!outfile_open(&feed->text, "/dev/null")) {
    fprintf(stderr, "borelay: cannot write /dev/null: %s\n", strerror(feed->text.error));
    return false;
  }
  return true;
}

static void write_header(struct feed *feed) {
  size_t length;
  const char *header = rows_header_text(&feed->rows, &length);
  feed->writer = stream_writer_new(&feed->text, false, header, length);
  if (feed->writer && feed->text.used < length) /* more than the buffer holds at once */
    feed->text.error = EFBIG;
}

static void write_line(struct feed *feed) {
  if (feed->event == BORELAY_HEADER) {
    write_header(feed);
  } else if (feed->event == BORELAY_ROW) {
    stream_writer_row(feed->writer, &feed->rows.reader.row);
  } else {
    stream_writer_end(feed->writer);
    feed->writer = NULL;
  }
}

enum borelay_event feed_next(struct feed *feed) {
  outfile_crc32c(&feed->text); /* the line before is taken; its checksum counts */
  do
    feed->event = rows_next(&feed->rows);
  while (feed->event == BORELAY_TEXT);
  if (feed->event == BORELAY_ERROR) {
    rows_tell_error(&feed->rows, stderr);
    return feed->event;
  }
  write_line(feed);
  feed->line = feed->text.buffer;
  feed->length = feed->text.used;
  if (feed->text.error) {
    fprintf(stderr, "borelay: cannot make the text of the stream: %s\n",
            strerror(feed->text.error));
    feed->event = BORELAY_ERROR;
  }
  return feed->event;
}

void feed_close(struct feed *feed) {
  stream_writer_end(feed->writer);
  feed->writer = NULL;
  outfile_abandon(&feed->text);
  rows_close(&feed->rows);
}

void feed_overlay_name(const struct feed *feed, uint32_t overlay, char *name, size_t size) {
  char head[40];
  size_t length;
  const char *at = rows_header_text(&feed->rows, &length), *end = at + length;
  size_t head_length =
      (size_t)snprintf(head, sizeof head, "# overlay %lu ", (unsigned long)overlay);
  name[0] = '\0';
  while (overlay > 0 && at < end) {
    const char *newline = memchr(at, '\n', (size_t)(end - at));
    const char *stop = newline ? newline : end;
    if ((size_t)(stop - at) > head_length && memcmp(at, head, head_length) == 0) {
      at += head_length;
      const char *blank = memchr(at, ' ', (size_t)(stop - at));
      snprintf(name, size, "%.*s", (int)((blank ? blank : stop) - at), at);
      return;
    }
    at = stop + 1;
  }
}
