/* frame.h - messages in a stream of bytes: header lines, a blank line, so many bytes of text. */
#ifndef EDITOR_FRAME_H
#define EDITOR_FRAME_H

#include <stdbool.h>
#include <stddef.h>

enum { FRAME_HEADER_MOST = 4096, FRAME_BODY_MOST = 64 * 1024 * 1024 };

/* Bytes that came in and were not taken yet. */
struct frames {
  char *bytes;
  size_t begin, end, room; /* those to be read: begin .. end-1 */
  size_t passed_over;      /* still to come of a body that was too long */
};

enum frame {
  FRAME_NONE,     /* more bytes are wanted */
  FRAME_TEXT,     /* a message's text, good until the next call */
  FRAME_NO_HEADER /* a header without a length that can be taken; it was passed over */
};

void frames_add(struct frames *frames, const char *bytes, size_t count);
enum frame frame_next(struct frames *frames, const char **text, size_t *length);
void frames_free(struct frames *frames);

#endif
