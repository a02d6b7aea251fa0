/* What a message is, and who answers it.
 *
 * JSON-RPC 2.0: a request has an id and gets exactly one answer; a notification has none and gets
 * none, not even where it is wrong. */
#include <string.h>

#include "editor/session.h"

typedef json_t *request_take(struct session *session, const json_t *params);
typedef void notification_take(struct session *session, const json_t *params);

/* -- the session ------------------------------------------------------------------------------ */

static bool offers(const json_t *list, const char *word) {
  for (size_t i = 0; i < json_array_size(list); i++) {
    const char *offered = json_string_value(json_array_get(list, i));
    if (offered && strcmp(offered, word) == 0)
      return true;
  }
  return false;
}

static const json_t *deep(const json_t *value, const char *const *names) {
  for (; *names && value; names++)
    value = json_object_get(value, *names);
  return value;
}

static json_t *capabilities_object(const struct session *session) {
  enum { INCREMENTAL = 2 };
  json_t *all = json_object(), *sync = json_object(), *save = json_object();
  json_put(save, "includeText", json_false());
  json_put(sync, "openClose", json_true());
  json_put(sync, "change", json_integer(INCREMENTAL));
  json_put(sync, "save", save);
  json_put(all, "positionEncoding", json_text(session->unit == PLACE_UTF8 ? "utf-8" : "utf-16"));
  json_put(all, "textDocumentSync", sync);
  json_put(all, "hoverProvider", json_true());
  json_put(all, "completionProvider", json_object());
  json_put(all, "definitionProvider", json_true());
  json_put(all, "documentSymbolProvider", json_true());
  json_put(all, "documentFormattingProvider", json_true());
  return all;
}

static json_t *initialize(struct session *session, const json_t *params) {
  static const char *const ENCODINGS[] = {"capabilities", "general", "positionEncodings", NULL};
  static const char *const RELATED[] = {"capabilities", "textDocument", "publishDiagnostics",
                                        "relatedInformation", NULL};
  static const char *const TREE[] = {"capabilities", "textDocument", "documentSymbol",
                                     "hierarchicalDocumentSymbolSupport", NULL};
  json_t *result = json_object(), *info = json_object();
  session->unit = offers(deep(params, ENCODINGS), "utf-8") ? PLACE_UTF8 : PLACE_UTF16;
  session->takes_related = json_is_true(deep(params, RELATED));
  session->takes_tree = json_is_true(deep(params, TREE));
  session->stage = STAGE_OPEN;
  json_put(info, "name", json_text("borelay"));
  json_put(result, "capabilities", capabilities_object(session));
  json_put(result, "serverInfo", info);
  return result;
}

static json_t *shut_down(struct session *session, const json_t *params) {
  (void)params;
  session->stage = STAGE_SHUT;
  whole_end(session);
  return json_null();
}

/* -- documents -------------------------------------------------------------------------------- */

static void did_open(struct session *session, const json_t *params) {
  const json_t *document = json_object_get(params, "textDocument");
  const json_t *uri = json_object_get(document, "uri"), *text = json_object_get(document, "text");
  if (json_is_string(uri) && json_is_string(text))
    document_open(session, json_string_value(uri),
                  json_integer_value(json_object_get(document, "version")), json_string_value(text),
                  json_string_length(text));
}

static struct document *named_document(struct session *session, const json_t *params) {
  const json_t *named = json_object_get(params, "textDocument");
  const char *uri = json_string_value(json_object_get(named, "uri"));
  return uri ? document_find(session, uri) : NULL;
}

/* From a change that is none on, the text is not the client's any more: what follows is left out.
 */
static void did_change(struct session *session, const json_t *params) {
  struct document *document = named_document(session, params);
  const json_t *changes = json_object_get(params, "contentChanges");
  size_t i = 0;
  if (!document)
    return;
  while (i < json_array_size(changes) &&
         document_change(session, document, json_array_get(changes, i)))
    i++;
  const json_t *version = json_object_get(json_object_get(params, "textDocument"), "version");
  if (json_is_integer(version))
    document->version = json_integer_value(version);
}

/* What used it reads the file on disk from now on. */
static void did_close(struct session *session, const json_t *params) {
  struct document *document = named_document(session, params);
  if (!document)
    return;
  if (session->whole.of == document)
    whole_end(session);
  document_close(session, document);
  for (size_t i = 0; i < session->document_count; i++)
    session->documents[i]->is_changed = true;
  views_update(session);
  findings_publish(session);
}

/* A saved job is checked whole at once. */
static void did_save(struct session *session, const json_t *params) {
  struct document *document = named_document(session, params);
  if (document)
    document->is_changed = true; /* files that are not open may be other ones by now */
  views_update(session);
  for (size_t i = 0; document && i < session->document_count; i++) {
    struct view *view = session->documents[i]->view;
    if (view && view->whole_at > 0)
      view->whole_at = 1;
  }
}

static void quit(struct session *session, const json_t *params) {
  (void)params;
  session->is_over = true;
}

/* -- the tables ------------------------------------------------------------------------------- */

static const struct {
  const char *method;
  request_take *take;
  bool wants_views; /* what edits have touched is looked at first */
} REQUESTS[] = {
    {"initialize", initialize, false},
    {"shutdown", shut_down, false},
    {"textDocument/hover", hover_answer, true},
    {"textDocument/completion", completion_answer, true},
    {"textDocument/definition", definition_answer, true},
    {"textDocument/documentSymbol", symbols_answer, false},
    {"textDocument/formatting", formatting_answer, false},
};

static const struct {
  const char *method;
  notification_take *take;
} NOTIFICATIONS[] = {
    {"textDocument/didOpen", did_open},
    {"textDocument/didChange", did_change},
    {"textDocument/didClose", did_close},
    {"textDocument/didSave", did_save},
};

/* -- dispatch --------------------------------------------------------------------------------- */

static void refuse(struct session *session, json_t *id, int code, const char *text) {
  answer_error(session, json_incref(id), code, text);
}

static void answer(struct session *session, size_t index, json_t *id, const json_t *params) {
  session->fault = 0;
  if (REQUESTS[index].wants_views)
    views_update(session);
  json_t *result = REQUESTS[index].take(session, params);
  if (session->fault != 0) {
    json_decref(result);
    refuse(session, id, session->fault, session->fault_text);
  } else {
    answer_result(session, json_incref(id), result);
  }
}

static void take_request(struct session *session, const char *method, json_t *id,
                         const json_t *params) {
  size_t count = sizeof REQUESTS / sizeof REQUESTS[0], i = 0;
  bool begins = strcmp(method, "initialize") == 0;
  while (i < count && strcmp(REQUESTS[i].method, method) != 0)
    i++;
  if (session->stage == STAGE_NEW && !begins)
    refuse(session, id, NOT_INITIALIZED, "the first request is initialize");
  else if (session->stage == STAGE_SHUT)
    refuse(session, id, INVALID_REQUEST, "after shutdown only exit is taken");
  else if (session->stage == STAGE_OPEN && begins)
    refuse(session, id, INVALID_REQUEST, "initialize is said once");
  else if (i == count)
    refuse(session, id, METHOD_NOT_FOUND, "no such method here");
  else
    answer(session, i, id, params);
}

static void take_notification(struct session *session, const char *method, const json_t *params) {
  if (strcmp(method, "exit") == 0)
    quit(session, params);
  for (size_t i = 0; i < sizeof NOTIFICATIONS / sizeof NOTIFICATIONS[0]; i++)
    if (session->stage == STAGE_OPEN && strcmp(NOTIFICATIONS[i].method, method) == 0)
      NOTIFICATIONS[i].take(session, params);
}

static bool is_id(const json_t *id) {
  return json_is_string(id) || json_is_number(id) || json_is_null(id);
}

static bool is_answer(const json_t *message) {
  return json_object_get(message, "result") || json_object_get(message, "error");
}

void message_take(struct session *session, const char *text, size_t length) {
  json_t *message = json_loadb(text, length, JSON_ALLOW_NUL, NULL);
  if (!message) {
    answer_error(session, json_null(), PARSE_ERROR, "this is no JSON");
    return;
  }
  json_t *id = json_object_get(message, "id");
  const json_t *params = json_object_get(message, "params");
  const json_t *version = json_object_get(message, "jsonrpc");
  const json_t *method = json_object_get(message, "method");
  bool is_one = json_is_object(message) && json_is_string(version) &&
                strcmp(json_string_value(version), "2.0") == 0 && (!id || is_id(id)) &&
                (!params || json_is_object(params) || json_is_array(params) ||
                 json_is_null(params)); /* which some clients write for none */
  bool is_unasked = is_one && !method && id && is_answer(message); /* we ask nothing */
  if (!is_unasked && (!is_one || !json_is_string(method)))
    answer_error(session, id && is_id(id) ? json_incref(id) : json_null(), INVALID_REQUEST,
                 "this is no request of JSON-RPC 2.0");
  else if (!is_unasked && id)
    take_request(session, json_string_value(method), id, params);
  else if (!is_unasked)
    take_notification(session, json_string_value(method), params);
  json_decref(message);
}
