/* place.h - places in a text as the protocol counts them: a line and the units of it, both from 0.
 *
 * A line ends at LF, CR LF or CR.  The unit is that of an encoding: 16-bit units of UTF-16 unless
 * the client offered bytes of UTF-8. */
#ifndef EDITOR_PLACE_H
#define EDITOR_PLACE_H

#include <stddef.h>

enum place_unit { PLACE_UTF16, PLACE_UTF8 };

struct place {
  size_t line, character;
};

struct lines {
  const char *text; /* not owned */
  size_t length;
  size_t *starts;
  size_t count;
};

struct lines lines_find(const char *text, size_t length);
void lines_free(struct lines *lines);

/* A place within a code point is its beginning; beyond the end of a line, the line's end; beyond
 * the last line, the text's end. */
size_t place_offset(const struct lines *lines, struct place place, enum place_unit unit);
/* Offsets beyond the text are its end; those within a line's end, the end of what stands before. */
struct place place_at(const struct lines *lines, size_t offset, enum place_unit unit);

#endif
