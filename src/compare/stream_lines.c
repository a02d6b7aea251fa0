/* Header lines beside one another, each by its key: its first word, and the name or the number that
 * tells it from its like. */
#include <stdint.h>
#include <string.h>

#include "borelay/arena.h"
#include "compare/streams.h"

/* How many words of a line are its key. */
static int key_words(const char *line) {
  bool is_numbered = strncmp(line, "overlay ", 8) == 0 || strncmp(line, "file ", 5) == 0;
  return is_numbered || strncmp(line, "procedure ", 10) == 0 ? 2 : 1;
}

static struct header_line line_split(struct arena *arena, const char *line, size_t length) {
  char *text = arena_text(arena, line, length);
  char *end = text;
  for (int words = key_words(text); words > 0 && *end; words--) {
    end += strcspn(end, " ");
    if (words > 1 && *end)
      end++;
  }
  const char *rest = *end ? end + 1 : end;
  *end = '\0';
  return (struct header_line){text, rest};
}

void stream_lines_read(struct arena *arena, struct stream_side *side) {
  size_t length, count = 0;
  const char *text = rows_header_text(&side->rows, &length);
  for (size_t i = 0; i < length; i++)
    count += text[i] == '\n';
  side->lines = arena_alloc(arena, count + 1, sizeof *side->lines);
  while (length > 0) {
    const char *end = memchr(text, '\n', length);
    size_t whole = end ? (size_t)(end - text) : length;
    size_t mark = whole >= 2 && memcmp(text, "# ", 2) == 0 ? 2 : 0;
    side->lines[side->line_count++] = line_split(arena, text + mark, whole - mark);
    text += end ? whole + 1 : whole;
    length -= end ? whole + 1 : whole;
  }
}

static const struct header_line *line_find(const struct stream_side *side, const char *key) {
  for (size_t i = 0; i < side->line_count; i++)
    if (strcmp(side->lines[i].key, key) == 0)
      return &side->lines[i];
  return NULL;
}

static void add(struct streams *streams, struct line_change change) {
  size_t n = streams->line_count;
  if ((n & (n - 1)) == 0)
    streams->lines = arena_grow(streams->arena, streams->lines, n, n ? 2 * n : 1, sizeof change);
  streams->lines[streams->line_count++] = change;
}

void stream_lines_compare(struct streams *streams) {
  const struct stream_side *before = &streams->sides[0], *after = &streams->sides[1];
  for (size_t i = 0; i < after->line_count; i++) {
    const struct header_line *line = &after->lines[i], *other = line_find(before, line->key);
    if (!other || strcmp(other->rest, line->rest) != 0)
      add(streams, (struct line_change){line->key, other ? other->rest : NULL, line->rest});
  }
  for (size_t i = 0; i < before->line_count; i++)
    if (!line_find(after, before->lines[i].key))
      add(streams, (struct line_change){before->lines[i].key, before->lines[i].rest, NULL});
}
