/* lines.h - the lines of the layout: code, comments and where they stand. */
#ifndef TIDY_LINES_H
#define TIDY_LINES_H

#include "borelay/source.h"
#include "borelay/tidy.h"

struct arena;

/* Bytes that grow. */
struct text {
  struct arena *arena;
  char *bytes;
  size_t length, room;
};

void text_put(struct text *text, const void *bytes, size_t length);
void text_blanks(struct text *text, size_t count);

/* Code, a comment, or both. */
struct line {
  size_t indent;        /* in columns */
  size_t begin, length; /* of the code, in lines->code; 0: none */
  size_t width;         /* of the code, in code points */
  span comment;         /* empty: none */
  size_t was_at;        /* column of the comment in the source */
  bool after_blank;     /* a blank line stands before it */
  bool is_brace;        /* opens or closes a block that is spread over lines */
  bool goes_on;         /* a comment alone that goes on with the one above */
};

struct lines {
  struct arena *arena;
  const struct source *source;
  struct text code;
  struct line *items;
  size_t count, room;
};

/* A line for the code from `begin` to the end of lines->code. */
struct line *lines_add_code(struct lines *lines, size_t indent, size_t begin);
struct line *lines_add_comment(struct lines *lines, size_t indent, span comment);

/* All lines as text, the comments behind code in columns. */
struct tidy_text lines_text(const struct lines *lines);

size_t width_of(const char *bytes, size_t length);

#endif
