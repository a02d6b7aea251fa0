/* The one canonical layout, as one edit: from the first byte that differs to the last. */
#include <string.h>

#include "borelay/arena.h"
#include "borelay/tidy.h"
#include "editor/session.h"

/* What both begin with, up to a line's beginning, so that no code point is cut. */
static size_t same_begin(const struct document *document, const struct tidy_text *made) {
  size_t least = document->length < made->length ? document->length : made->length;
  size_t i = 0, line = 0;
  for (; i < least && document->text[i] == made->bytes[i]; i++)
    if (made->bytes[i] == '\n')
      line = i + 1;
  return i == least && document->length == made->length ? i : line;
}

static size_t same_end(const struct document *document, const struct tidy_text *made,
                       size_t begin) {
  size_t count = 0, line = 0;
  while (document->length - count > begin && made->length - count > begin &&
         document->text[document->length - 1 - count] == made->bytes[made->length - 1 - count]) {
    count++;
    if (document->text[document->length - count] == '\n')
      line = count - 1; /* behind this line end */
  }
  return line;
}

static json_t *edits_array(const struct session *session, const struct document *document,
                           const struct tidy_text *made) {
  json_t *edits = json_array();
  size_t begin = same_begin(document, made);
  if (begin == document->length && begin == made->length)
    return edits;
  size_t end = same_end(document, made, begin);
  struct lines lines = lines_find(document->text, document->length);
  json_t *edit = json_object();
  json_put(edit, "range", range_of_lines(&lines, begin, document->length - end, session->unit));
  /* a file of blank lines has an empty layout, of no bytes at all */
  const char *bytes = made->length > 0 ? made->bytes + begin : "";
  json_put(edit, "newText", json_stringn(bytes, made->length - end - begin));
  json_append(edits, edit);
  lines_free(&lines);
  return edits;
}

/* A file with faults of form has no layout, and its diagnostics say why: null. */
json_t *formatting_answer(struct session *session, const json_t *params) {
  const struct document *document = asked_document(session, params);
  if (!document)
    return NULL;
  struct arena *arena = arena_new();
  struct source_set *sources = source_set_new(arena);
  struct diag_list *diags = diag_list_new(arena, sources);
  uint32_t file = source_add_text(sources, document->path, document->text, document->length);
  struct tidy_text made;
  json_t *result = file != 0 && tidy_make(arena, sources, file, diags, &made)
                       ? edits_array(session, document, &made)
                       : json_null();
  arena_free(arena);
  return result;
}
