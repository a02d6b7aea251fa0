/* The whole check, which takes longer than a keystroke may: in a process of its own, that an edit
 * ends.  What it finds comes through a pipe as the JSON that is sent on; should it fail, what the
 * quick stages found stays. */
#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "editor/memory.h"
#include "editor/session.h"

void whole_end(struct session *session) {
  struct whole *whole = &session->whole;
  if (whole->child == 0)
    return;
  kill(whole->child, SIGKILL);
  while (waitpid(whole->child, NULL, 0) < 0 && errno == EINTR)
    continue;
  close(whole->from);
  free(whole->text);
  *whole = (struct whole){.from = -1};
}

/* In the child: everything the parent holds is there, as it was. */
static _Noreturn void find_all(const struct session *session, const struct document *document,
                               int to) {
  struct arena *arena = arena_new();
  struct outcome outcome;
  session->examine(arena, sources_of(session, arena), document->path, true, &outcome);
  char *text = json_dumps(findings_make(session, &outcome, document), JSON_COMPACT);
  size_t length = text ? strlen(text) : 0;
  for (ssize_t wrote; length > 0; text += wrote, length -= (size_t)wrote) {
    wrote = write(to, text, length);
    if (wrote < 0)
      _exit(1);
  }
  _exit(0);
}

static void begin(struct session *session, struct document *document) {
  int ends[2];
  document->view->whole_at = 0;
  if (pipe(ends) != 0)
    return;
  pid_t child = fork();
  if (child == 0) {
    close(ends[0]);
    find_all(session, document, ends[1]);
  }
  close(ends[1]);
  if (child < 0)
    close(ends[0]);
  else
    session->whole = (struct whole){.child = child, .from = ends[0], .of = document};
}

int whole_begin(struct session *session) {
  struct document *next = NULL;
  for (size_t i = 0; i < session->document_count; i++) {
    struct document *document = session->documents[i];
    bool is_due = document->view && document->view->whole_at > 0;
    if (is_due && (!next || document->view->whole_at < next->view->whole_at))
      next = document;
  }
  if (!next || session->whole.child != 0)
    return -1;
  long long left = next->view->whole_at - now_ms();
  if (left > 0)
    return (int)left;
  begin(session, next);
  return -1;
}

static void take_findings(struct session *session) {
  struct whole *whole = &session->whole;
  struct view *view = whole->of->view;
  json_t *findings =
      json_loadb(whole->text ? whole->text : "", whole->length, JSON_ALLOW_NUL, NULL);
  whole_end(session);
  if (!json_is_object(findings) || !view) {
    json_decref(findings);
    return;
  }
  json_decref(view->findings);
  view->findings = findings;
  findings_publish(session);
}

void whole_read(struct session *session) {
  enum { STEP = 1 << 16 };
  struct whole *whole = &session->whole;
  if (whole->room - whole->length < STEP) {
    whole->room = 2 * whole->room + STEP;
    whole->text = memory_grow(whole->text, whole->room);
  }
  ssize_t got = read(whole->from, whole->text + whole->length, STEP);
  if (got > 0)
    whole->length += (size_t)got;
  else if (got == 0 || errno != EINTR)
    take_findings(session);
}
