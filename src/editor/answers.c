/* What is said to the client, and how it is written. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "editor/memory.h"
#include "editor/session.h"

long long now_ms(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void write_all(struct session *session, const char *bytes, size_t length) {
  while (length > 0 && !session->no_output) {
    ssize_t wrote = write(session->to, bytes, length);
    if (wrote < 0 && errno == EINTR)
      continue;
    if (wrote < 0) {
      session->no_output = session->is_over = true;
      return;
    }
    bytes += wrote;
    length -= (size_t)wrote;
  }
}

/* Header and text in one write, so that no reader waits for the second half. */
static void say(struct session *session, json_t *message) {
  json_put(message, "jsonrpc", json_text("2.0"));
  char *text = json_dumps(message, JSON_COMPACT | JSON_REAL_PRECISION(12));
  json_decref(message);
  size_t length = text ? strlen(text) : 0;
  char *bytes = memory_grow(NULL, length + 64);
  int header = sprintf(bytes, "Content-Length: %zu\r\n\r\n", length);
  memcpy(bytes + header, text ? text : "", length);
  write_all(session, bytes, (size_t)header + length);
  free(bytes);
  free(text);
}

void answer_result(struct session *session, json_t *id, json_t *result) {
  json_t *message = json_object();
  json_put(message, "id", id);
  json_put(message, "result", result);
  say(session, message);
}

void answer_error(struct session *session, json_t *id, int code, const char *text) {
  json_t *message = json_object(), *error = json_object();
  json_put(error, "code", json_integer(code));
  json_put(error, "message", json_text(text));
  json_put(message, "id", id);
  json_put(message, "error", error);
  say(session, message);
}

void notify(struct session *session, const char *method, json_t *params) {
  json_t *message = json_object();
  json_put(message, "method", json_text(method));
  json_put(message, "params", params);
  say(session, message);
}
