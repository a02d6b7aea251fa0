/* The loop of the server: bytes come in, messages are taken, jobs are looked at anew, and the whole
 * check goes on beside. */
#include <errno.h>
#include <poll.h>
#include <stdlib.h>
#include <unistd.h>

#include "editor/session.h"

static void read_more(struct session *session) {
  char bytes[1 << 16];
  ssize_t got = read(session->from, bytes, sizeof bytes);
  if (got > 0)
    frames_add(&session->frames, bytes, (size_t)got);
  else if (got == 0 || errno != EINTR)
    session->is_over = true;
}

/* Several edits that came together are looked at once, behind the last of them. */
static void take_messages(struct session *session) {
  const char *text = NULL;
  size_t length = 0;
  enum frame frame;
  while (!session->is_over &&
         (frame = frame_next(&session->frames, &text, &length)) != FRAME_NONE) {
    if (frame == FRAME_TEXT)
      message_take(session, text, length);
    else
      answer_error(session, json_null(), PARSE_ERROR, "a header without a Content-Length to go by");
  }
  if (!session->is_over)
    views_update(session);
}

static void serve(struct session *session) {
  while (!session->is_over) {
    int wait = whole_begin(session);
    struct pollfd ready[2] = {{.fd = session->from, .events = POLLIN},
                              {.fd = session->whole.from, .events = POLLIN}};
    if (poll(ready, session->whole.child ? 2 : 1, wait) < 0 && errno != EINTR)
      return;
    if (ready[0].revents) {
      read_more(session);
      take_messages(session);
    } else if (session->whole.child && ready[1].revents) {
      whole_read(session);
    }
  }
}

static void session_end(struct session *session) {
  whole_end(session);
  while (session->document_count > 0)
    document_close(session, session->documents[session->document_count - 1]);
  free(session->documents);
  json_decref(session->published);
  frames_free(&session->frames);
}

enum editor_end editor_serve(int from, int to, editor_examine *examine) {
  struct session session = {.from = from,
                            .to = to,
                            .examine = examine,
                            .published = json_object(),
                            .whole = {.from = -1}};
  serve(&session);
  session_end(&session);
  if (session.no_output)
    return EDITOR_NO_OUTPUT;
  return session.stage == STAGE_SHUT ? EDITOR_DONE : EDITOR_CUT_OFF;
}
