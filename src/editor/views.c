/* The stages over open documents: which jobs an edit touches, and what is known of them.
 *
 * Each open document that holds a job is looked at as a job file.  One without, a cell or
 * procedures for several jobs, is seen through the open jobs that read it; where there are none it
 * is looked at alone, and nobody complains of the job that it does not hold. */
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "editor/memory.h"
#include "editor/session.h"

enum { PAUSE_MS = 400 }; /* after the last edit, before the whole check */

void view_free(struct view *view) {
  if (!view)
    return;
  json_decref(view->findings);
  arena_free(view->arena);
  free(view);
}

struct source_set *sources_of(const struct session *session, struct arena *arena) {
  struct source_set *sources = source_set_new(arena);
  for (size_t i = 0; i < session->document_count; i++)
    source_unsaved(sources, session->documents[i]->path, session->documents[i]->text,
                   session->documents[i]->length);
  return sources;
}

/* -- who reads what --------------------------------------------------------------------------- */

/* Does a line begin with the word `job`?  What is only nearly so, inside a string of several lines
 * for instance, costs nothing but a complaint. */
static bool holds_job(const struct document *document) {
  const char *text = document->text, *end = text + document->length;
  while (text < end) {
    const char *word = text + strspn(text, " \t");
    if (strncmp(word, "job", 3) == 0 && strspn(word + 3, " \t\"") > 0)
      return true;
    const char *line_end = memchr(text, '\n', (size_t)(end - text));
    text = line_end ? line_end + 1 : end;
  }
  return false;
}

/* The number of the document's file among those that the view has read; 0: none. */
static uint32_t file_in(const struct view *view, const struct document *document) {
  for (uint32_t i = 1; view && i <= source_count(view->sources); i++) {
    const struct source *source = source_get(view->sources, i);
    if (source->is_file && document_is_at(document, view->sources, source->path))
      return i;
  }
  return 0;
}

struct view *view_of(const struct session *session, const struct document *document,
                     uint32_t *file) {
  *file = file_in(document->view, document);
  if (*file != 0)
    return document->view;
  for (size_t i = 0; i < session->document_count; i++) {
    *file = file_in(session->documents[i]->view, document);
    if (*file != 0)
      return session->documents[i]->view;
  }
  return NULL;
}

static bool is_read_by_a_job(const struct session *session, const struct document *document) {
  for (size_t i = 0; i < session->document_count; i++) {
    const struct document *other = session->documents[i];
    if (other != document && other->view && holds_job(other) && file_in(other->view, document))
      return true;
  }
  return false;
}

/* A file that could not be read may be there by now. */
static bool misses_a_file(const struct view *view) {
  for (size_t i = 0; i < diag_count(view->outcome.diags); i++)
    if (diag_view_get(view->outcome.diags, i).what == DIAG_FILE_UNREADABLE)
      return true;
  return false;
}

static bool is_touched(const struct session *session, const struct document *document) {
  if (document->is_changed || !document->view)
    return true;
  for (size_t i = 0; i < session->document_count; i++)
    if (session->documents[i]->is_changed &&
        (file_in(document->view, session->documents[i]) || misses_a_file(document->view)))
      return true;
  return false;
}

/* -- making them ------------------------------------------------------------------------------ */

static void drop_view(struct session *session, struct document *document) {
  if (session->whole.of == document)
    whole_end(session);
  view_free(document->view);
  document->view = NULL;
}

static void make_view(struct session *session, struct document *document) {
  drop_view(session, document);
  struct view *view = memory_grow(NULL, sizeof *view);
  *view = (struct view){.arena = arena_new()};
  view->sources = sources_of(session, view->arena);
  session->examine(view->arena, view->sources, document->path, false, &view->outcome);
  view->findings = findings_make(session, &view->outcome, document);
  if (view->outcome.plan && diag_error_count(view->outcome.diags) == 0)
    view->whole_at = now_ms() + PAUSE_MS;
  document->view = view;
}

void views_update(struct session *session) {
  bool is_needed = false;
  for (size_t i = 0; i < session->document_count; i++)
    is_needed = is_needed || session->documents[i]->is_changed;
  if (!is_needed)
    return;
  for (size_t i = 0; i < session->document_count; i++)
    if (holds_job(session->documents[i]) && is_touched(session, session->documents[i]))
      make_view(session, session->documents[i]);
  for (size_t i = 0; i < session->document_count; i++) {
    struct document *document = session->documents[i];
    if (holds_job(document))
      continue;
    if (is_read_by_a_job(session, document))
      drop_view(session, document);
    else if (is_touched(session, document))
      make_view(session, document);
  }
  for (size_t i = 0; i < session->document_count; i++) {
    session->documents[i]->is_due =
        session->documents[i]->is_due || session->documents[i]->is_changed;
    session->documents[i]->is_changed = false;
  }
  findings_publish(session);
}
