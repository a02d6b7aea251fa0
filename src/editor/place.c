/* Offsets and places.  A byte that is no UTF-8 counts as one unit: such a file is refused anyway.
 */
#include "editor/place.h"

#include <stdint.h>
#include <stdlib.h>

#include "borelay/utf8.h"
#include "editor/memory.h"

/* The length of the line end at offset; 0: there is none. */
static size_t end_at(const char *text, size_t length, size_t offset) {
  if (offset >= length)
    return 0;
  if (text[offset] == '\r')
    return offset + 1 < length && text[offset + 1] == '\n' ? 2 : 1;
  return text[offset] == '\n';
}

struct lines lines_find(const char *text, size_t length) {
  struct lines lines = {.text = text, .length = length, .count = 1};
  for (size_t i = 0; i < length; i++)
    lines.count += text[i] == '\n' || text[i] == '\r';
  lines.starts = memory_grow(NULL, lines.count * sizeof *lines.starts);
  lines.starts[0] = 0;
  lines.count = 1;
  for (size_t i = 0; i < length;) {
    size_t end = end_at(text, length, i);
    i += end ? end : 1;
    if (end)
      lines.starts[lines.count++] = i;
  }
  return lines;
}

void lines_free(struct lines *lines) {
  free(lines->starts);
  *lines = (struct lines){.text = NULL};
}

/* One code point: its bytes, and its units. */
static size_t step(const struct lines *lines, size_t offset, enum place_unit unit, size_t *units) {
  const uint8_t *text = (const uint8_t *)lines->text;
  uint32_t code = 0;
  size_t bytes = utf8_read(text + offset, text + lines->length, &code);
  if (bytes == 0)
    bytes = 1;
  *units = unit == PLACE_UTF8 ? bytes : code >= 0x10000 ? 2 : 1;
  return bytes;
}

size_t place_offset(const struct lines *lines, struct place place, enum place_unit unit) {
  if (place.line >= lines->count)
    return lines->length;
  size_t offset = lines->starts[place.line], units = 0;
  for (size_t left = place.character; left > 0 && offset < lines->length; left -= units) {
    size_t bytes = step(lines, offset, unit, &units);
    if (end_at(lines->text, lines->length, offset) || units > left)
      break;
    offset += bytes;
  }
  return offset;
}

static size_t line_of(const struct lines *lines, size_t offset) {
  size_t low = 0, high = lines->count; /* starts[low] <= offset < starts[high] */
  while (high - low > 1) {
    size_t middle = low + (high - low) / 2;
    if (lines->starts[middle] <= offset)
      low = middle;
    else
      high = middle;
  }
  return low;
}

struct place place_at(const struct lines *lines, size_t offset, enum place_unit unit) {
  if (offset > lines->length)
    offset = lines->length;
  struct place place = {.line = line_of(lines, offset)};
  for (size_t at = lines->starts[place.line], units = 0; at < offset; place.character += units) {
    size_t bytes = step(lines, at, unit, &units);
    if (end_at(lines->text, lines->length, at) || at + bytes > offset)
      break;
    at += bytes;
  }
  return place;
}
