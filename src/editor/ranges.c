/* Places of sources as lines and units of lines. */
#include <stdlib.h>
#include <string.h>

#include "editor/memory.h"
#include "editor/session.h"
#include "editor/uri.h"

char *source_uri(const struct session *session, const struct source_set *sources, uint32_t file) {
  const char *path = source_get(sources, file)->path;
  for (size_t i = 0; i < session->document_count; i++)
    if (document_is_at(session->documents[i], sources, path))
      return memory_text(session->documents[i]->uri, strlen(session->documents[i]->uri));
  char *whole = realpath(path, NULL);
  char *uri = uri_of_path(whole ? whole : path);
  free(whole);
  return uri;
}

static json_t *place_object(struct place place) {
  json_t *object = json_object();
  json_put(object, "line", json_integer((json_int_t)place.line));
  json_put(object, "character", json_integer((json_int_t)place.character));
  return object;
}

json_t *range_of_lines(const struct lines *lines, size_t begin, size_t end, enum place_unit unit) {
  json_t *range = json_object();
  json_put(range, "start", place_object(place_at(lines, begin, unit)));
  json_put(range, "end", place_object(place_at(lines, end, unit)));
  return range;
}

static void turn_to(struct ranges *ranges, uint32_t file) {
  if (ranges->file == file)
    return;
  ranges_end(ranges);
  const struct source *source = source_get(ranges->sources, file);
  ranges->file = file;
  ranges->lines = lines_find((const char *)source->text, source->length);
  ranges->uri = source_uri(ranges->session, ranges->sources, file);
}

json_t *range_object(struct ranges *ranges, span at) {
  turn_to(ranges, at.file);
  return range_of_lines(&ranges->lines, at.begin, at.end, ranges->session->unit);
}

const char *range_uri(struct ranges *ranges, uint32_t file) {
  turn_to(ranges, file);
  return ranges->uri;
}

json_t *location_object(struct ranges *ranges, span at) {
  json_t *location = json_object();
  json_put(location, "uri", json_text(range_uri(ranges, at.file)));
  json_put(location, "range", range_object(ranges, at));
  return location;
}

void ranges_end(struct ranges *ranges) {
  lines_free(&ranges->lines);
  free(ranges->uri);
  ranges->uri = NULL;
  ranges->file = 0;
}
