/* Comments behind code stand in a column where lines follow one another at one indentation: two
 * blanks behind the longest line that has one.  Where they stood before does not matter, so the
 * layout of the layout is itself. */
#include "tidy/lines.h"

#include <string.h>

#include "borelay/arena.h"

enum { BEFORE_COMMENT = 2 };

static char *text_room(struct text *text, size_t length) {
  if (text->room - text->length < length) {
    size_t room = 2 * text->room + length + 256;
    text->bytes = arena_grow(text->arena, text->bytes, text->length, room, 1);
    text->room = room;
  }
  char *at = text->bytes + text->length;
  text->length += length;
  return at;
}

void text_put(struct text *text, const void *bytes, size_t length) {
  if (length > 0)
    memcpy(text_room(text, length), bytes, length);
}

void text_blanks(struct text *text, size_t count) {
  if (count > 0)
    memset(text_room(text, count), ' ', count);
}

size_t width_of(const char *bytes, size_t length) {
  size_t width = 0;
  for (size_t i = 0; i < length; i++)
    width += ((unsigned char)bytes[i] & 0xC0) != 0x80;
  return width;
}

static struct line *add(struct lines *lines, size_t indent) {
  if (lines->count == lines->room) {
    size_t room = lines->room ? lines->room * 2 : 64;
    lines->items = arena_grow(lines->arena, lines->items, lines->count, room, sizeof *lines->items);
    lines->room = room;
  }
  struct line *line = &lines->items[lines->count++];
  *line = (struct line){.indent = indent};
  return line;
}

struct line *lines_add_code(struct lines *lines, size_t indent, size_t begin) {
  struct line *line = add(lines, indent);
  line->begin = begin;
  line->length = lines->code.length - begin;
  line->width = width_of(lines->code.bytes + begin, line->length);
  return line;
}

struct line *lines_add_comment(struct lines *lines, size_t indent, span comment) {
  struct line *line = add(lines, indent);
  line->comment = comment;
  return line;
}

static bool has_comment(const struct line *line) {
  return line->comment.begin < line->comment.end;
}

static bool is_comment_alone(const struct line *line) {
  return line->length == 0 && !line->goes_on;
}

/* A comment that goes on is of the run above it. */
static bool begins_run(const struct line *line, const struct line *above) {
  if (line->goes_on)
    return false;
  return line->after_blank || is_comment_alone(line) || is_comment_alone(above) || line->is_brace ||
         above->is_brace || line->indent != above->indent;
}

/* From a line on, how many share one column of comments. */
static size_t run_length(const struct lines *lines, size_t first) {
  const struct line *above = &lines->items[first];
  size_t last = first + 1;
  for (; last < lines->count; last++) {
    const struct line *line = &lines->items[last];
    if (begins_run(line, above))
      break;
    if (line->length > 0)
      above = line;
  }
  return last - first;
}

static size_t run_column(const struct line *run, size_t count) {
  size_t widest = 0;
  for (size_t i = 0; i < count; i++)
    if (has_comment(&run[i]) && run[i].width > widest)
      widest = run[i].width;
  return run[0].indent + widest + BEFORE_COMMENT;
}

static void put_line(const struct lines *lines, const struct line *line, size_t column,
                     struct text *to) {
  if (line->after_blank)
    text_put(to, "\n", 1);
  size_t at = line->indent + line->width;
  if (line->length > 0) {
    text_blanks(to, line->indent);
    text_put(to, lines->code.bytes + line->begin, line->length);
  }
  if (has_comment(line)) {
    bool is_alone = is_comment_alone(line);
    text_blanks(to, is_alone ? line->indent : line->length > 0 ? column - at : column);
    text_put(to, lines->source->text + line->comment.begin,
             line->comment.end - line->comment.begin);
  }
  text_put(to, "\n", 1);
}

struct tidy_text lines_text(const struct lines *lines) {
  struct text to = {.arena = lines->arena};
  for (size_t first = 0; first < lines->count;) {
    const struct line *run = &lines->items[first];
    size_t count = run_length(lines, first);
    size_t column = run_column(run, count);
    for (size_t i = 0; i < count; i++)
      put_line(lines, &run[i], column, &to);
    first += count;
  }
  return (struct tidy_text){.bytes = to.bytes, .length = to.length};
}
