/* From a name to its declaration, and from a `use` line to its file. */
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "editor/memory.h"
#include "editor/names.h"
#include "editor/session.h"
#include "editor/uri.h"
#include "job_parse.h"

static json_t *beginning_of(const char *uri) {
  struct lines lines = lines_find("", 0);
  json_t *location = json_object();
  json_put(location, "uri", json_text(uri));
  json_put(location, "range", range_of_lines(&lines, 0, 0, PLACE_UTF16));
  lines_free(&lines);
  return location;
}

/* The file that `use "..."` names, relative to the document's own. */
static json_t *used_file(struct session *session, const struct document *document,
                         const struct token *string) {
  const char *slash = strrchr(document->path, '/');
  size_t folder = slash ? (size_t)(slash + 1 - document->path) : 0;
  size_t length = string->at.end - string->at.begin - 2; /* without its quotes */
  const char *written = document->text + string->at.begin + 1;
  if (*written == '/')
    folder = 0;
  char *path = memory_grow(NULL, folder + length + 1);
  memcpy(path, document->path, folder);
  memcpy(path + folder, written, length);
  path[folder + length] = '\0';
  char *whole = realpath(path, NULL);
  char *uri = whole ? uri_of_path(whole) : NULL;
  struct arena *arena = arena_new();
  struct source_set *sources = sources_of(session, arena);
  const char *known = uri;
  for (size_t i = 0; i < session->document_count; i++)
    if (document_is_at(session->documents[i], sources, path))
      known = session->documents[i]->uri;
  json_t *location = known ? beginning_of(known) : json_null();
  arena_free(arena);
  free(uri);
  free(whole);
  free(path);
  return location;
}

static json_t *declaration(struct session *session, const struct document *document,
                           const struct cursor *cursor) {
  struct meant meant;
  if (!cursor_kind_is(cursor, cursor->at, TOKEN_NAME) ||
      !meant_find(session, document, cursor, &meant))
    return json_null();
  struct ranges ranges = {.session = session, .sources = meant.sources};
  json_t *location = location_object(&ranges, meant.info.at);
  ranges_end(&ranges);
  return location;
}

json_t *definition_answer(struct session *session, const json_t *params) {
  const struct document *document = asked_document(session, params);
  size_t offset;
  if (!document || !asked_offset(session, params, document, &offset))
    return NULL;
  struct arena *arena = arena_new();
  struct cursor cursor = cursor_find(arena, document->text, document->length, offset);
  json_t *result = NULL;
  if (!cursor.is_on_word)
    result = json_null();
  else if (cursor_kind_is(&cursor, cursor.at, TOKEN_STRING) &&
           cursor_kind_is(&cursor, cursor.first, TOKEN_USE) &&
           cursor.tokens[cursor.at].at.end - cursor.tokens[cursor.at].at.begin >= 2)
    result = used_file(session, document, &cursor.tokens[cursor.at]);
  else
    result = declaration(session, document, &cursor);
  arena_free(arena);
  return result;
}
