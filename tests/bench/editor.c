/* How long an author waits for what `serve-editor` says of a change: from the notification that a
 * character was typed to the diagnostics of the text with it, by the clock.
 *
 * The Language Server Protocol 3.17, base protocol: "Content-Length: N\r\n\r\n", then JSON. */
#include "bench/bench.h"

#include <fcntl.h>
#include <jansson.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum { CHANGES = 21, REPLY_MOST = 1 << 22, ONE_CHARACTER = 2 /* incremental, as LSP counts */ };
static const char URI[] = "file:///bench/typed.lay";

struct server {
  pid_t child;
  FILE *to, *from;
  int version; /* of the document */
  bool whole;  /* takes whole texts only */
};

static bool is_there(const struct bench *bench) {
  const char *words[] = {bench->program, "serve-editor", "--help", NULL};
  return run_program_quietly(words).status == 0;
}

static struct server server_start(const struct bench *bench) {
  int in[2], out[2];
  if (pipe(in) != 0 || pipe(out) != 0)
    fail("no pipes");
  struct server server = {.child = fork()};
  if (server.child == 0) {
    dup2(in[0], STDIN_FILENO);
    dup2(out[1], STDOUT_FILENO);
    close(in[1]);
    close(out[0]);
    execl(bench->program, bench->program, "serve-editor", (char *)NULL);
    _exit(127);
  }
  close(in[0]);
  close(out[1]);
  server.to = fdopen(in[1], "w");
  server.from = fdopen(out[0], "r");
  if (server.child < 0 || !server.to || !server.from)
    fail("the editor's server does not start");
  return server;
}

/* Takes the message over. */
static void say(struct server *server, json_t *message) {
  json_object_set_new(message, "jsonrpc", json_string("2.0"));
  char *text = json_dumps(message, JSON_COMPACT);
  json_decref(message);
  if (!text)
    fail("a message cannot be made");
  fprintf(server->to, "Content-Length: %zu\r\n\r\n%s", strlen(text), text);
  fflush(server->to);
  free(text);
}

static json_t *hear(struct server *server) {
  char line[200];
  size_t length = 0;
  while (fgets(line, sizeof line, server->from) && strcmp(line, "\r\n") != 0)
    if (strncmp(line, "Content-Length: ", 16) == 0)
      length = (size_t)strtoul(line + 16, NULL, 10);
  char *text = length > 0 && length < REPLY_MOST ? malloc(length) : NULL;
  json_t *message = NULL;
  if (text && fread(text, 1, length, server->from) == length)
    message = json_loadb(text, length, 0, NULL);
  free(text);
  if (!message)
    fail("the editor's server gives no answer");
  return message;
}

/* Passes over everything until the answer with that id. */
static json_t *answer(struct server *server, int id) {
  for (;;) {
    json_t *message = hear(server);
    if (json_integer_value(json_object_get(message, "id")) == id &&
        json_object_get(message, "result"))
      return message;
    json_decref(message);
  }
}

/* Until the diagnostics of the document as it now is; how many they are. */
static size_t diagnostics(struct server *server) {
  for (;;) {
    json_t *message = hear(server), *about = json_object_get(message, "params");
    const char *method = json_string_value(json_object_get(message, "method"));
    json_t *version = json_object_get(about, "version");
    bool is_it = method && strcmp(method, "textDocument/publishDiagnostics") == 0 &&
                 strcmp(json_string_value(json_object_get(about, "uri")), URI) == 0 &&
                 (!version || json_integer_value(version) == server->version);
    size_t count = json_array_size(json_object_get(about, "diagnostics"));
    json_decref(message);
    if (is_it)
      return count;
  }
}

static void begin(struct server *server, const char *text) {
  say(server, json_pack("{s:i, s:s, s:{s:n, s:n, s:{}}}", "id", 1, "method", "initialize", "params",
                        "processId", "rootUri", "capabilities"));
  json_t *hello = answer(server, 1);
  json_t *sync = json_object_get(json_object_get(json_object_get(hello, "result"), "capabilities"),
                                 "textDocumentSync");
  json_t *change = json_is_object(sync) ? json_object_get(sync, "change") : sync;
  server->whole = json_integer_value(change) != ONE_CHARACTER;
  json_decref(hello);
  say(server, json_pack("{s:s, s:{}}", "method", "initialized", "params"));
  say(server, json_pack("{s:s, s:{s:{s:s, s:s, s:i, s:s}}}", "method", "textDocument/didOpen",
                        "params", "textDocument", "uri", URI, "languageId", "borelay", "version",
                        server->version, "text", text));
  if (diagnostics(server) != 0)
    fail("the editor's server finds fault with a sound job");
}

/* text[at] becomes `typed`. */
static size_t change(struct server *server, char *text, size_t at, char typed) {
  int line = 0, character = 0;
  for (size_t i = 0; i < at; i++) {
    character = text[i] == '\n' ? 0 : character + 1;
    line += text[i] == '\n';
  }
  char with[2] = {typed, 0};
  text[at] = typed;
  json_t *change = server->whole
                       ? json_pack("{s:s}", "text", text)
                       : json_pack("{s:{s:{s:i, s:i}, s:{s:i, s:i}}, s:s}", "range", "start",
                                   "line", line, "character", character, "end", "line", line,
                                   "character", character + 1, "text", with);
  say(server, json_pack("{s:s, s:{s:{s:s, s:i}, s:[o]}}", "method", "textDocument/didChange",
                        "params", "textDocument", "uri", URI, "version", ++server->version,
                        "contentChanges", change));
  return diagnostics(server);
}

static void finish(struct server *server) {
  say(server, json_pack("{s:i, s:s}", "id", 2, "method", "shutdown"));
  json_decref(answer(server, 2));
  say(server, json_pack("{s:s}", "method", "exit"));
  fclose(server->to);
  fclose(server->from);
  waitpid(server->child, NULL, 0);
}

static char *text_load(const struct bench *bench, const char *name) {
  char path[PATH_ROOM];
  path_in(bench, name, path);
  size_t size = (size_t)file_size(bench, name);
  char *text = calloc(size + 1, 1);
  FILE *from = fopen(path, "r");
  if (!text || !from || fread(text, 1, size, from) != size)
    fail("a job cannot be read");
  fclose(from);
  return text;
}

void editor_measure(struct bench *bench) {
  struct figure figure = {
      .what = "serve-editor: a character in 2,000 lines, to diagnostics", .unit = "ms", .goal = 20};
  if (!is_there(bench)) {
    figure.skipped = "left out: there is no serve-editor";
    figure_add(&bench->figures, figure);
    return;
  }
  tell("the editor's server\n");
  struct bench_job job = bench_small();
  job.filler_lines = 2000;
  job_put(bench, "typed.lay", job);
  char *text = text_load(bench, "typed.lay");
  size_t at =
      (size_t)(strstr(text + strlen(text) / 2, "current 200 A") - text) + strlen("current 2");
  signal(SIGPIPE, SIG_IGN);
  struct server server = server_start(bench);
  begin(&server, text);
  double taken[CHANGES];
  for (int i = 0; i < CHANGES; i++) { /* by turns 2x0 A, which is no number, and 210 A */
    double start = wall_now();
    size_t found = change(&server, text, at, i % 2 ? '1' : 'x');
    taken[i] = (wall_now() - start) * 1e3;
    if ((found == 0) == (i % 2 == 0))
      fail("the editor's server does not see the change");
  }
  finish(&server);
  free(text);
  figure.value = median(taken, CHANGES);
  figure_add(&bench->figures, figure);
}
