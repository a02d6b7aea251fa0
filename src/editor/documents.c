/* Open documents, and the edits that the client tells. */
#include <stdlib.h>
#include <string.h>

#include "editor/memory.h"
#include "editor/session.h"
#include "editor/uri.h"

struct document *document_find(const struct session *session, const char *uri) {
  for (size_t i = 0; i < session->document_count; i++)
    if (strcmp(session->documents[i]->uri, uri) == 0)
      return session->documents[i];
  return NULL;
}

static void set_text(struct document *document, const char *text, size_t length) {
  char *copy = memory_text(text, length);
  free(document->text);
  document->text = copy;
  document->length = length;
  document->is_changed = true;
}

/* One that is open already gets the text, as if it had been changed. */
void document_open(struct session *session, const char *uri, json_int_t version, const char *text,
                   size_t length) {
  struct document *document = document_find(session, uri);
  if (!document) {
    if (session->document_count == session->document_room) {
      session->document_room = 2 * session->document_room + 8;
      session->documents =
          memory_grow(session->documents, session->document_room * sizeof(struct document *));
    }
    document = memory_grow(NULL, sizeof *document);
    *document = (struct document){.uri = memory_text(uri, strlen(uri)), .path = uri_path(uri)};
    session->documents[session->document_count++] = document;
  }
  document->version = version;
  set_text(document, text, length);
}

void document_close(struct session *session, struct document *document) {
  size_t i = 0;
  while (session->documents[i] != document)
    i++;
  session->document_count--;
  memmove(session->documents + i, session->documents + i + 1,
          (session->document_count - i) * sizeof(struct document *));
  view_free(document->view);
  free(document->uri);
  free(document->path);
  free(document->text);
  free(document);
}

bool document_is_at(const struct document *document, const struct source_set *sources,
                    const char *path) {
  struct source_identity one, other;
  if (strcmp(document->path, path) == 0)
    return true;
  return source_identify(sources, document->path, &one) && source_identify(sources, path, &other) &&
         one.device == other.device && one.inode == other.inode;
}

/* -- edits ------------------------------------------------------------------------------------ */

static bool read_place(const json_t *place, struct place *read) {
  const json_t *line = json_object_get(place, "line");
  const json_t *character = json_object_get(place, "character");
  if (!json_is_integer(line) || !json_is_integer(character) || json_integer_value(line) < 0 ||
      json_integer_value(character) < 0)
    return false;
  read->line = (size_t)json_integer_value(line);
  read->character = (size_t)json_integer_value(character);
  return true;
}

static void replace(struct document *document, size_t begin, size_t end, const char *text,
                    size_t length) {
  size_t rest = document->length - end;
  char *made = memory_grow(NULL, begin + length + rest + 1);
  memcpy(made, document->text, begin);
  memcpy(made + begin, text, length);
  memcpy(made + begin + length, document->text + end, rest);
  document->length = begin + length + rest;
  made[document->length] = '\0';
  free(document->text);
  document->text = made;
  document->is_changed = true;
}

bool document_change(const struct session *session, struct document *document,
                     const json_t *change) {
  const json_t *text = json_object_get(change, "text"), *range = json_object_get(change, "range");
  struct place begin, end;
  if (!json_is_string(text))
    return false;
  if (!range || json_is_null(range)) {
    set_text(document, json_string_value(text), json_string_length(text));
    return true;
  }
  if (!read_place(json_object_get(range, "start"), &begin) ||
      !read_place(json_object_get(range, "end"), &end))
    return false;
  struct lines lines = lines_find(document->text, document->length);
  size_t from = place_offset(&lines, begin, session->unit);
  size_t to = place_offset(&lines, end, session->unit);
  lines_free(&lines);
  if (from > to)
    return false;
  replace(document, from, to, json_string_value(text), json_string_length(text));
  return true;
}

/* -- what requests name ----------------------------------------------------------------------- */

struct document *asked_document(struct session *session, const json_t *params) {
  const json_t *named = json_object_get(params, "textDocument");
  const char *uri = json_string_value(json_object_get(named, "uri"));
  struct document *document = uri ? document_find(session, uri) : NULL;
  if (!document) {
    session->fault = INVALID_PARAMS;
    session->fault_text = uri ? "the document is not open" : "textDocument.uri is wanted";
  }
  return document;
}

bool asked_offset(struct session *session, const json_t *params, const struct document *document,
                  size_t *offset) {
  struct place place;
  if (!read_place(json_object_get(params, "position"), &place)) {
    session->fault = INVALID_PARAMS;
    session->fault_text = "position wants line and character, from 0";
    return false;
  }
  struct lines lines = lines_find(document->text, document->length);
  *offset = place_offset(&lines, place, session->unit);
  lines_free(&lines);
  return true;
}
