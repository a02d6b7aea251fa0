/* feed.h - a stream as lines of text, one at a time, whatever kind the file is of. */
#ifndef PLAY_FEED_H
#define PLAY_FEED_H

#include <sys/stat.h>

#include "borelay/emit.h"
#include "borelay/rows.h"

/* What the first reading of the file found; it was whole and right. */
struct survey {
  struct stat file;
  struct borelay_header header;
  struct borelay_row row; /* number `wanted`, where the stream has one */
  bool has_row;
  bool is_held_back; /* row lies between the start of a preflow and the end of its arc */
  bool has_before;
  uint64_t before; /* then: the last row before that preflow or arc, where there is one */
};

/* Reads all of the file; tells on standard error what is wrong with it. */
bool feed_survey(struct survey *survey, const char *path, uint64_t wanted, bool *file_failed);

struct feed {
  struct rows rows; /* rows.reader.row: the row of the present line */
  struct outfile text;
  struct stream_writer *writer;
  enum borelay_event event; /* BORELAY_HEADER, BORELAY_ROW, BORELAY_END; BORELAY_ERROR */
  const char *line; /* with its newline; the header: all of its lines and the names of columns */
  size_t length;
};

/* False: not the file that was surveyed, or it cannot be read: told; close all the same. */
bool feed_open(struct feed *feed, const char *path, const struct survey *survey);
/* Whatever line comes next.  BORELAY_ERROR: told. */
enum borelay_event feed_next(struct feed *feed);
void feed_close(struct feed *feed);

/* The overlay's name from the header lines; "" for 0. */
void feed_overlay_name(const struct feed *feed, uint32_t overlay, char *name, size_t size);

#endif
