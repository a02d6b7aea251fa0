/* Where one message ends and the next begins (LSP 3.17, "Base Protocol"; from memory).
 *
 * A header that tells no length leaves nothing to go by but the next blank line: it is passed over
 * and told, and reading goes on behind it. */
#include "editor/frame.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "editor/memory.h"

void frames_add(struct frames *frames, const char *bytes, size_t count) {
  size_t skipped = count < frames->passed_over ? count : frames->passed_over;
  frames->passed_over -= skipped;
  bytes += skipped;
  count -= skipped;
  size_t used = frames->end - frames->begin;
  if (frames->begin > 0 && used > 0)
    memmove(frames->bytes, frames->bytes + frames->begin, used);
  frames->begin = 0;
  frames->end = used;
  if (frames->room - used < count) {
    frames->room = 2 * (used + count);
    frames->bytes = memory_grow(frames->bytes, frames->room);
  }
  if (count > 0)
    memcpy(frames->bytes + used, bytes, count);
  frames->end += count;
}

void frames_free(struct frames *frames) {
  free(frames->bytes);
  *frames = (struct frames){.bytes = NULL};
}

/* A length in digits alone, not above FRAME_BODY_MOST by more than its number of digits tells. */
static bool read_length(const char *text, const char *end, size_t *length) {
  size_t digits = 0;
  *length = 0;
  while (text < end && *text == ' ')
    text++;
  while (end > text && (end[-1] == ' ' || end[-1] == '\t'))
    end--;
  for (; text < end && *text >= '0' && *text <= '9' && digits < 12; text++, digits++)
    *length = 10 * *length + (size_t)(*text - '0');
  return digits > 0 && text == end;
}

/* Header lines between text and end, each with its CR LF. */
static bool header_length(const char *text, const char *end, size_t *length) {
  static const char NAME[] = "content-length:";
  bool is_found = false;
  while (text < end) {
    const char *line_end = memmem(text, (size_t)(end - text), "\r\n", 2);
    if (!line_end)
      line_end = end;
    bool is_length = (size_t)(line_end - text) >= sizeof NAME - 1 &&
                     strncasecmp(text, NAME, sizeof NAME - 1) == 0;
    if (is_length && (is_found || !read_length(text + sizeof NAME - 1, line_end, length)))
      return false;
    is_found = is_found || is_length;
    text = line_end + 2;
  }
  return is_found;
}

static enum frame pass_over(struct frames *frames, size_t count) {
  size_t there = frames->end - frames->begin;
  frames->passed_over = count > there ? count - there : 0;
  frames->begin += count > there ? there : count;
  return FRAME_NO_HEADER;
}

enum frame frame_next(struct frames *frames, const char **text, size_t *length) {
  const char *begin = frames->bytes ? frames->bytes + frames->begin : "";
  size_t there = frames->end - frames->begin;
  const char *blank = there > 0 ? memmem(begin, there, "\r\n\r\n", 4) : NULL;
  size_t header = blank ? (size_t)(blank - begin) + 4 : 0;
  if (!blank)
    return there > FRAME_HEADER_MOST ? pass_over(frames, there) : FRAME_NONE;
  if (header > FRAME_HEADER_MOST || !header_length(begin, blank, length))
    return pass_over(frames, header);
  if (*length > FRAME_BODY_MOST)
    return pass_over(frames, header + *length);
  if (there - header < *length)
    return FRAME_NONE;
  *text = begin + header;
  frames->begin += header + *length;
  return FRAME_TEXT;
}
