/* editor_talk.h - talks to `borelay serve-editor` as an editor does. */
#ifndef TESTS_CLI_EDITOR_TALK_H
#define TESTS_CLI_EDITOR_TALK_H

#include "cli/program.h"

#include <jansson.h>
#include <limits.h>
#include <poll.h>
#include <signal.h>

struct talk {
  struct program *program;
  pid_t child;
  int to, from;
  char *bytes; /* what came and was not read yet */
  size_t length;
  int last_id;
  char uri[1400];      /* opened first, and stays open */
  json_t *diagnostics; /* by URI, what was published last */
  int published;       /* how often */
};

/* Far longer than anything takes: a server that says nothing fails the test. */
enum { TALK_WAIT_MS = 30000 };

static inline void talk_begin(struct talk *talk, struct program *program) {
  int in[2], out[2];
  char name[] = "borelay", command[] = "serve-editor", *arguments[] = {name, command, NULL};
  *talk = (struct talk){.program = program, .diagnostics = json_object()};
  assert_int_equal(pipe(in), 0);
  assert_int_equal(pipe(out), 0);
  talk->child = fork();
  if (talk->child == 0) {
    dup2(in[0], STDIN_FILENO);
    dup2(out[1], STDOUT_FILENO);
    close(in[1]);
    close(out[0]);
    execv(program->path, arguments);
    _exit(121);
  }
  close(in[0]);
  close(out[1]);
  talk->to = in[1];
  talk->from = out[0];
  signal(SIGPIPE, SIG_IGN);
}

/* Reads more; false: nothing comes for so long, or ever. */
static inline bool talk_more(struct talk *talk, int wait_ms) {
  struct pollfd ready = {.fd = talk->from, .events = POLLIN};
  if (poll(&ready, 1, wait_ms) <= 0)
    return false;
  talk->bytes = realloc(talk->bytes, talk->length + (1 << 16) + 1);
  ssize_t got = read(talk->from, talk->bytes + talk->length, 1 << 16);
  if (got <= 0)
    return false;
  talk->length += (size_t)got;
  talk->bytes[talk->length] = '\0';
  return true;
}

/* Takes in what comes meanwhile: a server that cannot get rid of its answers does not listen. */
static inline void talk_bytes(struct talk *talk, const char *bytes, size_t length) {
  while (length > 0) {
    struct pollfd ready[2] = {{.fd = talk->to, .events = POLLOUT},
                              {.fd = talk->from, .events = POLLIN}};
    assert_true(poll(ready, 2, TALK_WAIT_MS) > 0);
    if (ready[1].revents & POLLIN)
      talk_more(talk, 0);
    if (ready[0].revents == 0)
      continue;
    ssize_t wrote = write(talk->to, bytes, length < PIPE_BUF ? length : PIPE_BUF);
    assert_true(wrote > 0);
    bytes += wrote;
    length -= (size_t)wrote;
  }
}

static inline void talk_text(struct talk *talk, const char *text, size_t length) {
  char header[64];
  snprintf(header, sizeof header, "Content-Length: %zu\r\n\r\n", length);
  talk_bytes(talk, header, strlen(header));
  talk_bytes(talk, text, length);
}

static inline void talk_send(struct talk *talk, json_t *message) {
  json_object_set_new(message, "jsonrpc", json_string("2.0"));
  char *text = json_dumps(message, JSON_COMPACT);
  talk_text(talk, text, strlen(text));
  free(text);
  json_decref(message);
}

/* Everything that comes is a message of the protocol, headers as it has them.  NULL: none came. */
static inline json_t *talk_read(struct talk *talk, int wait_ms) {
  static const char NAME[] = "Content-Length: ";
  for (;;) {
    char *blank = talk->length > 0 ? strstr(talk->bytes, "\r\n\r\n") : NULL;
    if (blank) {
      assert_memory_equal(talk->bytes, NAME, sizeof NAME - 1);
      size_t header = (size_t)(blank - talk->bytes) + 4;
      size_t body = strtoul(talk->bytes + sizeof NAME - 1, NULL, 10);
      if (talk->length >= header + body) {
        json_t *message = json_loadb(blank + 4, body, JSON_ALLOW_NUL, NULL);
        assert_non_null(message);
        assert_string_equal(json_string_value(json_object_get(message, "jsonrpc")), "2.0");
        talk->length -= header + body;
        memmove(talk->bytes, blank + 4 + body, talk->length + 1);
        return message;
      }
    }
    if (!talk_more(talk, wait_ms))
      return NULL;
  }
}

/* Takes a notification over.  Only diagnostics are ever sent unasked. */
static inline void talk_take(struct talk *talk, json_t *message) {
  json_t *params = json_object_get(message, "params");
  assert_string_equal(json_string_value(json_object_get(message, "method")),
                      "textDocument/publishDiagnostics");
  json_object_set(talk->diagnostics, json_string_value(json_object_get(params, "uri")),
                  json_object_get(params, "diagnostics"));
  talk->published++;
  json_decref(message);
}

/* The answer to a request with that id, or with null where id is 0: result or error, new. */
static inline json_t *talk_answer(struct talk *talk, int id) {
  for (;;) {
    json_t *message = talk_read(talk, TALK_WAIT_MS);
    if (!message)
      fail_msg("no answer");
    json_t *got = json_object_get(message, "id");
    if (got) {
      assert_true(id == 0 ? json_is_null(got) : json_integer_value(got) == id);
      return message;
    }
    talk_take(talk, message);
  }
}

/* params is taken over; NULL: none. */
static inline json_t *talk_request(struct talk *talk, const char *method, json_t *params) {
  json_t *message = json_pack("{s:i,s:s}", "id", ++talk->last_id, "method", method);
  if (params)
    json_object_set_new(message, "params", params);
  talk_send(talk, message);
  return talk_answer(talk, talk->last_id);
}

static inline void talk_notify(struct talk *talk, const char *method, json_t *params) {
  json_t *message = json_pack("{s:s}", "method", method);
  if (params)
    json_object_set_new(message, "params", params);
  talk_send(talk, message);
}

/* The result of a request that is answered with one. */
static inline json_t *talk_result(struct talk *talk, const char *method, json_t *params) {
  json_t *message = talk_request(talk, method, params);
  json_t *result = json_object_get(message, "result");
  if (!result)
    fail_msg("%s: %s", method, json_dumps(message, 0));
  json_incref(result);
  json_decref(message);
  return result;
}

static inline int talk_error(struct talk *talk, const char *method, json_t *params) {
  json_t *message = talk_request(talk, method, params);
  int code = (int)json_integer_value(json_object_get(json_object_get(message, "error"), "code"));
  json_decref(message);
  return code;
}

/* capabilities: JSON of the client's. */
static inline json_t *talk_hello(struct talk *talk, const char *capabilities) {
  json_t *result = talk_result(talk, "initialize",
                               json_pack("{s:n,s:n,s:o}", "processId", "rootUri", "capabilities",
                                         json_loads(capabilities, 0, NULL)));
  talk_notify(talk, "initialized", json_object());
  return result;
}

static const char TALK_ALL[] = "{\"textDocument\": {\"publishDiagnostics\": {\"relatedInformation\""
                               ": true}, \"documentSymbol\": {\"hierarchicalDocumentSymbolSupport\""
                               ": true}}}";

/* The status that it ends with. */
static inline int talk_status(struct talk *talk) {
  int status = -1;
  close(talk->to);
  while (talk_more(talk, TALK_WAIT_MS))
    continue;
  assert_int_equal(waitpid(talk->child, &status, 0), talk->child);
  close(talk->from);
  free(talk->bytes);
  json_decref(talk->diagnostics);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

static inline void talk_end(struct talk *talk) {
  json_decref(talk_result(talk, "shutdown", NULL));
  talk_notify(talk, "exit", NULL);
  assert_int_equal(talk_status(talk), 0);
}

/* -- documents ----------------------------------------------------------------------------------
 */

static inline void talk_open(struct talk *talk, const char *uri, const char *text) {
  if (!*talk->uri)
    snprintf(talk->uri, sizeof talk->uri, "%s", uri);
  talk_notify(talk, "textDocument/didOpen",
              json_pack("{s:{s:s,s:s,s:i,s:s}}", "textDocument", "uri", uri, "languageId", "lay",
                        "version", 1, "text", text));
}

/* The whole text anew. */
static inline void talk_change(struct talk *talk, const char *uri, const char *text) {
  talk_notify(talk, "textDocument/didChange",
              json_pack("{s:{s:s,s:i},s:[{s:s}]}", "textDocument", "uri", uri, "version", 2,
                        "contentChanges", "text", text));
}

static inline json_t *named(const char *uri) {
  return json_pack("{s:{s:s}}", "textDocument", "uri", uri);
}

static inline json_t *named_at(const char *uri, int line, int character) {
  return json_pack("{s:{s:s},s:{s:i,s:i}}", "textDocument", "uri", uri, "position", "line", line,
                   "character", character);
}

/* Reads what has come because of all that was sent before: a hover is answered when edits have been
 * looked at. */
static inline void talk_settle(struct talk *talk) {
  json_decref(talk_result(talk, "textDocument/hover", named_at(talk->uri, 0, 0)));
}

/* "0:5-0:9 E0312 severity 1, ...", the diagnostics of a document. */
static inline char *talk_told(const struct talk *talk, const char *uri) {
  static char text[4096];
  size_t i, used = 0;
  json_t *item, *list = json_object_get(talk->diagnostics, uri);
  if (!list)
    return strcpy(text, "nothing published");
  text[0] = '\0';
  json_array_foreach(list, i, item) {
    json_int_t a, b, c, d, severity;
    const char *code, *source, *message;
    assert_int_equal(json_unpack(item, "{s:{s:{s:I,s:I},s:{s:I,s:I}},s:I,s:s,s:s,s:s}", "range",
                                 "start", "line", &a, "character", &b, "end", "line", &c,
                                 "character", &d, "severity", &severity, "code", &code, "source",
                                 &source, "message", &message),
                     0);
    assert_string_equal(source, "borelay");
    used += (size_t)snprintf(text + used, sizeof text - used, "%d:%d-%d:%d %s %s\n", (int)a, (int)b,
                             (int)c, (int)d, code, message);
    assert_int_equal(severity, *code == 'W' ? 2 : 1);
  }
  return text;
}

#endif
