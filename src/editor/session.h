/* session.h - what the server knows: the client, its open documents, and the jobs that they make.
 */
#ifndef EDITOR_SESSION_H
#define EDITOR_SESSION_H

#include <sys/types.h>

#include "borelay/editor.h"
#include "borelay/emit.h"
#include "borelay/json.h"
#include "editor/frame.h"
#include "editor/place.h"

/* A text that the editor holds.  Its own view: what comes of it when it is taken for a job file, or
 * looked at alone because no job that is open reads it; NULL: none is wanted, or not yet. */
struct document {
  char *uri;  /* as the client writes it */
  char *path; /* where it lies; of no file the URI */
  char *text; /* length bytes and a NUL */
  size_t length;
  json_int_t version;
  bool is_changed; /* since the views were last made */
  bool is_due;     /* its diagnostics are to be sent even where they are the same */
  struct view *view;
};

/* The stages over one job file up to the plan, kept for questions about it. */
struct view {
  struct arena *arena;
  struct source_set *sources;
  struct outcome outcome;
  json_t
      *findings; /* by URI, diagnostics as they are sent; of the whole check once it is through */
  long long whole_at; /* ms: when the whole check is due; 0: it is not */
};

/* The whole check of one document's job, in a process of its own: an edit ends it. */
struct whole {
  pid_t child; /* 0: none */
  int from;    /* what it found, as JSON */
  struct document *of;
  char *text;
  size_t length, room;
};

enum stage { STAGE_NEW, STAGE_OPEN, STAGE_SHUT };

struct session {
  int from, to;
  editor_examine *examine;
  struct frames frames;
  enum stage stage;
  bool is_over; /* exit was said, or the input or the output ended */
  bool no_output;
  enum place_unit unit;
  bool takes_related, takes_tree; /* what the client understands */
  struct document **documents;
  size_t document_count, document_room;
  json_t *published; /* by URI, what was sent last */
  struct whole whole;
  int fault; /* of the request in hand: its error code, or 0 */
  const char *fault_text;
};

long long now_ms(void);

/* -- documents.c: texts and their edits ---------------------------------------------------- */
/* NULL: it is not open. */
struct document *document_find(const struct session *session, const char *uri);
void document_open(struct session *session, const char *uri, json_int_t version, const char *text,
                   size_t length);
/* One item of contentChanges.  False: it is none. */
bool document_change(const struct session *session, struct document *document,
                     const json_t *change);
void document_close(struct session *session, struct document *document);
/* The file is the document's, by whatever path it was reached. */
bool document_is_at(const struct document *document, const struct source_set *sources,
                    const char *path);

/* -- views.c: the stages over open documents ------------------------------------------------ */
/* Makes anew what edits have touched, and publishes what was found. */
void views_update(struct session *session);
void view_free(struct view *view);
struct source_set *sources_of(const struct session *session, struct arena *arena);
/* A view whose job reads the document, and the number of its file there; NULL: none. */
struct view *view_of(const struct session *session, const struct document *document,
                     uint32_t *file);
/* The URI of a source: of an open document its own.  The caller frees. */
char *source_uri(const struct session *session, const struct source_set *sources, uint32_t file);

/* -- ranges.c: places of sources as the client has them -------------------------------------- */
/* Of the file that was asked for last its lines and URI are kept. */
struct ranges {
  const struct session *session;
  const struct source_set *sources;
  uint32_t file;
  struct lines lines;
  char *uri;
};
json_t *range_object(struct ranges *ranges, span at);
const char *range_uri(struct ranges *ranges, uint32_t file); /* until the next file is asked for */
json_t *location_object(struct ranges *ranges, span at);
json_t *range_of_lines(const struct lines *lines, size_t begin, size_t end, enum place_unit unit);
void ranges_end(struct ranges *ranges);

/* -- findings.c ------------------------------------------------------------------------------ */
/* Everything told, by URI, but that the document holds no job. */
json_t *findings_make(const struct session *session, const struct outcome *outcome,
                      const struct document *document);
/* Sends what differs from what was sent last, and what concerns documents that were edited. */
void findings_publish(struct session *session);

/* -- whole.c --------------------------------------------------------------------------------- */
/* Begins one that is due, where none runs; milliseconds until the next is due, -1: none. */
int whole_begin(struct session *session);
/* Takes what came; at its end the view gets it, and it is published. */
void whole_read(struct session *session);
void whole_end(struct session *session); /* whatever it was doing */

/* -- answers.c ------------------------------------------------------------------------------- */
/* All of them take the values over. */
void answer_result(struct session *session, json_t *id, json_t *result);
void answer_error(struct session *session, json_t *id, int code, const char *text);
void notify(struct session *session, const char *method, json_t *params);

/* -- messages.c ------------------------------------------------------------------------------ */
/* One message's text. */
void message_take(struct session *session, const char *text, size_t length);

/* -- what clients ask: each gives the result, or NULL with session->fault set ---------------- */
json_t *hover_answer(struct session *session, const json_t *params);
json_t *completion_answer(struct session *session, const json_t *params);
json_t *definition_answer(struct session *session, const json_t *params);
json_t *symbols_answer(struct session *session, const json_t *params);
json_t *formatting_answer(struct session *session, const json_t *params);
/* The document that the params name, open; else NULL and a fault. */
struct document *asked_document(struct session *session, const json_t *params);
/* The offset that they name besides. */
bool asked_offset(struct session *session, const json_t *params, const struct document *document,
                  size_t *offset);

/* Codes of JSON-RPC 2.0 and of the protocol. */
enum {
  PARSE_ERROR = -32700,
  INVALID_REQUEST = -32600,
  METHOD_NOT_FOUND = -32601,
  INVALID_PARAMS = -32602,
  NOT_INITIALIZED = -32002
};

#endif
