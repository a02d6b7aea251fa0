/* rows.h - a file that holds a stream, read event by event through the reader library. */
#ifndef BORELAY_ROWS_H
#define BORELAY_ROWS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "borelay_reader.h"

struct rows {
  struct borelay_reader reader; /* header, row, text, error: see borelay_reader.h */
  const char *path;             /* as given; "-" is standard input */
  int fd;                       /* -1: closed */
  int error;                    /* errno of a failed open or read; 0: none */
  uint8_t *buffer;
  const uint8_t *at; /* bytes read but not taken */
  size_t left;
  bool is_last; /* the file has ended */
  /* the header lines as they stand in the file, kept until the first row; not NUL-terminated */
  uint8_t *head;
  size_t head_length, head_room;
  bool keeps_head;
};

/* False: error is set; close all the same.  keeps_head: gather the bytes of the header lines. */
bool rows_open(struct rows *rows, const char *path, bool keeps_head);
/* Never BORELAY_MORE.  BORELAY_END comes only when the file has ended too.  BORELAY_ERROR: the
 * stream is wrong, or the file could not be read (error is not 0). */
enum borelay_event rows_next(struct rows *rows);
/* After BORELAY_ROW: as many of the rows that follow as there are at hand, at most `room`; maybe
 * none.  The last one is in reader.row too. */
size_t rows_more(struct rows *rows, struct borelay_row *to, size_t room);
void rows_close(struct rows *rows);

/* The header lines, from BORELAY_HEADER on, where keeps_head was asked for. */
const char *rows_header_text(const struct rows *rows, size_t *length);

/* What an error of the reader means, in a few words without a stop. */
const char *rows_error_text(enum borelay_error error);
/* "FILE: row 12, byte 3456: error: ..." or "borelay: cannot read FILE: ..." and a newline; after
 * BORELAY_ERROR. */
void rows_tell_error(const struct rows *rows, FILE *to);

#endif
