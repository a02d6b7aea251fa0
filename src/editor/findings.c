/* Diagnostics as the protocol has them, and when they are sent. */
#include <stdlib.h>

#include "editor/session.h"

/* -- one -------------------------------------------------------------------------------------- */

static json_t *related_array(struct ranges *ranges, const struct diag_list *diags, size_t index) {
  json_t *array = json_array();
  struct diag_note_view note;
  for (size_t i = 0; diag_note_get(diags, index, i, &note); i++) {
    if (note.at.file == 0)
      continue;
    json_t *related = json_object();
    json_put(related, "location", location_object(ranges, note.at));
    json_put(related, "message", json_text(note.text));
    json_append(array, related);
  }
  return array;
}

/* The message, its help on a line of its own; notes too, where the client takes none apart. */
static json_t *message_text(const struct session *session, const struct diag_list *diags,
                            size_t index, const struct diag_view *view) {
  char *text = NULL;
  size_t length = 0;
  struct diag_note_view note;
  FILE *to = open_memstream(&text, &length);
  if (!to)
    return json_text(view->message);
  fputs(view->message, to);
  for (size_t i = 0; diag_note_get(diags, index, i, &note); i++)
    if (!session->takes_related || note.at.file == 0)
      fprintf(to, "\nnote: %s", note.text);
  if (view->help)
    fprintf(to, "\nhelp: %s", view->help);
  fclose(to);
  json_t *message = json_text(text);
  free(text);
  return message;
}

static json_t *diagnostic_object(struct ranges *ranges, const struct diag_list *diags, size_t index,
                                 span at) {
  enum { ERROR = 1, WARNING = 2 };
  struct diag_view view = diag_view_get(diags, index);
  json_t *object = json_object();
  json_put(object, "range", range_object(ranges, at));
  json_put(object, "severity", json_integer(view.is_error ? ERROR : WARNING));
  json_put(object, "code", json_text(view.code));
  json_put(object, "source", json_text("borelay"));
  json_put(object, "message", message_text(ranges->session, diags, index, &view));
  json_t *related = ranges->session->takes_related ? related_array(ranges, diags, index) : NULL;
  if (json_array_size(related) > 0)
    json_put(object, "relatedInformation", related);
  else
    json_decref(related);
  return object;
}

/* -- all of a job ----------------------------------------------------------------------------- */

static json_t *list_at(json_t *by_uri, const char *uri) {
  json_t *list = json_object_get(by_uri, uri);
  if (!list) {
    list = json_array();
    json_put(by_uri, uri, list);
  }
  return list;
}

/* Told at the end of a file that holds no job, an empty place: it may be one that others use, or
 * one that is only begun. */
static bool misses_job(const struct source_set *sources, const struct diag_view *view) {
  return view->what == DIAG_JOB_PLACE && view->at.begin == view->at.end && view->at.file == 1 &&
         view->at.end == source_get(sources, 1)->length;
}

/* So many of one file; nobody reads more, and it would not come within a keystroke. */
enum { MOST_OF_A_FILE = 200 };

/* In their place where the first of them is, without a code: they are found, but not told. */
static json_t *rest_object(struct ranges *ranges, span at, size_t count) {
  enum { INFORMATION = 3 };
  char text[64];
  json_t *object = json_object();
  snprintf(text, sizeof text, "%zu more from here on", count);
  json_put(object, "range", range_object(ranges, at));
  json_put(object, "severity", json_integer(INFORMATION));
  json_put(object, "source", json_text("borelay"));
  json_put(object, "message", json_text(text));
  return object;
}

/* Of the job as a whole: the beginning of its file. */
static span place_of(const struct diag_list *diags, size_t index) {
  span at = diag_view_get(diags, index).at;
  return at.file ? at : (span){.file = 1};
}

/* Those of one file, which follow one another from `first` on; returns the first behind them. */
static size_t add_file(struct ranges *ranges, const struct diag_list *diags, size_t first,
                       json_t *list) {
  span left_out = {0};
  size_t count = diag_count(diags), i = first, rest = 0;
  uint32_t file = place_of(diags, first).file;
  for (; i < count && place_of(diags, i).file == file; i++) {
    struct diag_view view = diag_view_get(diags, i);
    span at = place_of(diags, i);
    if (misses_job(ranges->sources, &view))
      continue;
    if (json_array_size(list) < MOST_OF_A_FILE)
      json_append(list, diagnostic_object(ranges, diags, i, at));
    else if (rest++ == 0)
      left_out = at;
  }
  if (rest > 0)
    json_append(list, rest_object(ranges, left_out, rest));
  return i;
}

json_t *findings_make(const struct session *session, const struct outcome *outcome,
                      const struct document *document) {
  struct ranges ranges = {.session = session, .sources = outcome->sources};
  json_t *by_uri = json_object();
  list_at(by_uri, document->uri);
  for (size_t i = 0; source_count(outcome->sources) > 0 && i < diag_count(outcome->diags);) {
    const char *uri = range_uri(&ranges, place_of(outcome->diags, i).file);
    i = add_file(&ranges, outcome->diags, i, list_at(by_uri, uri));
  }
  ranges_end(&ranges);
  return by_uri;
}

/* -- sending ---------------------------------------------------------------------------------- */

static bool holds(const json_t *list, const json_t *wanted) {
  for (size_t i = 0; i < json_array_size(list); i++)
    if (json_equal(json_array_get(list, i), wanted))
      return true;
  return false;
}

/* Two jobs that read one file find the same in it; one job finds nothing twice. */
static void append_new(json_t *list, const json_t *from) {
  bool is_first = json_array_size(list) == 0;
  for (size_t i = 0; i < json_array_size(from); i++) {
    json_t *item = json_array_get(from, i);
    if (is_first || !holds(list, item))
      json_append(list, json_incref(item));
  }
}

static void add_findings(json_t *all, json_t *findings) {
  json_t *list;
  const char *uri;
  json_object_foreach(findings, uri, list) {
    append_new(list_at(all, uri), list);
  }
}

/* What of all views is to stand at the client; of what was sent before an empty list at least. */
static json_t *merged(const struct session *session) {
  json_t *all = json_object(), *list;
  const char *uri;
  for (size_t i = 0; i < session->document_count; i++) {
    const struct document *document = session->documents[i];
    list_at(all, document->uri);
    if (document->view)
      add_findings(all, document->view->findings);
  }
  json_object_foreach(session->published, uri, list) {
    list_at(all, uri);
  }
  return all;
}

static void publish(struct session *session, const char *uri, json_t *list) {
  const struct document *document = document_find(session, uri);
  json_t *params = json_object();
  json_put(params, "uri", json_text(uri));
  if (document)
    json_put(params, "version", json_integer(document->version));
  json_put(params, "diagnostics", json_incref(list));
  notify(session, "textDocument/publishDiagnostics", params);
}

void findings_publish(struct session *session) {
  json_t *all = merged(session), *kept = json_object(), *list;
  const char *uri;
  json_object_foreach(all, uri, list) {
    struct document *document = document_find(session, uri);
    const json_t *last = json_object_get(session->published, uri);
    if (!last || !json_equal(last, list) || (document && document->is_due))
      publish(session, uri, list);
    if (document)
      document->is_due = false;
    if (document || json_array_size(list) > 0)
      json_put(kept, uri, json_incref(list));
  }
  json_decref(session->published);
  session->published = kept;
  json_decref(all);
}
