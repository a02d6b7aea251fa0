/* serve-editor, message by message: the session, what is found, what is answered.
 *
 * Source: Language Server Protocol 3.17 and JSON-RPC 2.0, both from memory: the order of a session,
 * its error codes, positions in units of UTF-16 unless the client offers utf-8. */
#include "cli/editor_talk.h"

/* -- the session --------------------------------------------------------------------------------
 */

static void test_session(void **state) {
  struct talk talk;
  talk_begin(&talk, *state);
  assert_int_equal(talk_error(&talk, "textDocument/hover", json_object()), -32002);
  assert_int_equal(talk_error(&talk, "shutdown", NULL), -32002);
  json_t *hello = talk_hello(&talk, "{}");
  json_t *can = json_object_get(hello, "capabilities");
  assert_string_equal(json_string_value(json_object_get(can, "positionEncoding")), "utf-16");
  assert_int_equal(
      json_integer_value(json_object_get(json_object_get(can, "textDocumentSync"), "change")), 2);
  json_decref(hello);
  assert_int_equal(talk_error(&talk, "initialize", json_object()), -32600);
  assert_int_equal(talk_error(&talk, "textDocument/unknown", json_object()), -32601);
  assert_int_equal(talk_error(&talk, "$/unknown", json_object()), -32601);
  assert_int_equal(talk_error(&talk, "textDocument/hover", json_object()), -32602);
  assert_int_equal(talk_error(&talk, "textDocument/hover", named("file:///none.lay")), -32602);
  json_decref(talk_result(&talk, "shutdown", NULL));
  assert_int_equal(talk_error(&talk, "textDocument/hover", json_object()), -32600);
  talk_notify(&talk, "exit", NULL);
  assert_int_equal(talk_status(&talk), 0);
}

static void test_ends_without_shutdown(void **state) {
  struct talk talk;
  talk_begin(&talk, *state);
  talk_notify(&talk, "exit", NULL);
  assert_int_equal(talk_status(&talk), 1);
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, "{}"));
  assert_int_equal(talk_status(&talk), 1); /* its input ended */
}

static void test_wrong_use(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "serve-editor x.lay"), 2);
  assert_int_equal(program_run(program, "serve-editor --port"), 2);
  assert_string_equal(program->out, "");
}

/* -- what is found ------------------------------------------------------------------------------
 */

static const char URI[] = "file:///nowhere/job.lay";

/* Places in units of the encoding: the string before holds a clef, one code point, two units of
 * UTF-16, four bytes. */
static void test_places(void **state) {
  static const char TEXT[] = "let a = \"\xF0\x9D\x84\x9E\"; let b = 1 mm + 1 s\r\n"
                             "let b = 2\r\n";
  static const struct {
    const char *capabilities, *told;
  } ROWS[] = {
      {"{}", "0:27-0:28 E0306"},
      {"{\"general\": {\"positionEncodings\": [\"utf-32\", \"utf-8\", \"utf-16\"]}}",
       "0:29-0:30 E0306"},
      {"{\"general\": {\"positionEncodings\": [\"utf-16\"]}}", "0:27-0:28 E0306"},
  };
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    struct talk talk;
    talk_begin(&talk, *state);
    json_decref(talk_hello(&talk, ROWS[i].capabilities));
    talk_open(&talk, URI, TEXT);
    talk_settle(&talk);
    char *told = talk_told(&talk, URI);
    if (!strstr(told, ROWS[i].told))
      fail_msg("no %s in\n%s", ROWS[i].told, told);
    /* without relatedInformation a note stands in the message */
    assert_non_null(strstr(told, "1:4-1:5 E0201 there are two values named `b`\n"
                                 "note: the first one stands here\n"));
    talk_end(&talk);
  }
}

static void test_related_places(void **state) {
  struct talk talk;
  const char *uri, *words;
  json_int_t line, character;
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, URI, "let b = 1\nlet b = 2\n");
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, URI), "1:4-1:5 E0201 there are two values named `b`\n");
  json_t *one = json_array_get(json_object_get(talk.diagnostics, URI), 0);
  assert_int_equal(json_unpack(one, "{s:[{s:{s:s,s:{s:{s:I,s:I}}},s:s}]}", "relatedInformation",
                               "location", "uri", &uri, "range", "start", "line", &line,
                               "character", &character, "message", &words),
                   0);
  assert_string_equal(uri, URI);
  assert_string_equal(words, "the first one stands here");
  assert_true(line == 0 && character == 4);
  talk_end(&talk);
}

static char *job_text(const struct program *program, const char *name) {
  char path[1400];
  snprintf(path, sizeof path, "%s/%s", program->jobs, name);
  char *text = file_read(path);
  assert_non_null(text);
  return text;
}

static void job_uri(const struct program *program, const char *name, char uri[1400]) {
  snprintf(uri, 1400, "file://%s/%s", program->jobs, name);
}

/* The first `from` becomes `to`.  The caller frees. */
static char *changed(const char *text, const char *from, const char *to) {
  const char *at = strstr(text, from);
  char *made = malloc(strlen(text) + strlen(to) + 1);
  assert_non_null(at);
  sprintf(made, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
  return made;
}

/* A file that jobs use is not saved: its text in the editor counts, in it and in the job; closed,
 * the one on disk counts again. */
static void test_used_file(void **state) {
  struct program *program = *state;
  struct talk talk;
  char job[1400], shop[1400];
  char *job_words = job_text(program, "bore.lay"), *shop_words = job_text(program, "shop.lay");
  char *wrong = changed(shop_words, "tick 20 ms", "tick 20 mm");
  char *renamed = changed(shop_words, "procedure steady", "procedure steadier");
  job_uri(program, "bore.lay", job);
  job_uri(program, "shop.lay", shop);
  talk_begin(&talk, program);
  json_decref(talk_hello(&talk, "{}"));
  talk_open(&talk, job, job_words);
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, job), "");
  assert_string_equal(talk_told(&talk, shop), "nothing published");
  talk_open(&talk, shop, wrong);
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, job), "");
  assert_non_null(strstr(talk_told(&talk, shop), "E0312 tick wants a time; this is a length"));
  talk_change(&talk, shop, renamed);
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, shop), "");
  assert_non_null(strstr(talk_told(&talk, job), "E0200 there is no procedure named `steady`\n"
                                                "help: did you mean `w.steadier`?"));
  talk_notify(&talk, "textDocument/didClose", named(shop));
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, job), "");
  talk_end(&talk);
  free(job_words);
  free(shop_words);
  free(wrong);
  free(renamed);
}

/* A file without a job, that no open job reads: what is in it is looked at, the job not missed. */
static void test_file_without_a_job(void **state) {
  struct talk talk;
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, "{}"));
  talk_open(&talk, URI, "shape bore round { diameter 3 s }\n");
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, URI), "0:28-0:31 E0312 diameter wants a length; this is a "
                                             "time\nhelp: write `3 mm`\n");
  talk_change(&talk, URI, "shape bore round { diameter 3 mm }\n");
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, URI), "");
  talk_end(&talk);
}

/* Keystroke by keystroke: the diagnostics are those of the whole text. */
static void test_incremental(void **state) {
  struct talk talk;
  static const char WORDS[] = "let b = 1 mm + 1 s";
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, "{}"));
  talk_open(&talk, URI, "# \xF0\x9D\x84\x9E\n\n");
  for (int i = 0; WORDS[i]; i++) {
    char key[2] = {WORDS[i], '\0'};
    talk_notify(&talk, "textDocument/didChange",
                json_pack("{s:{s:s,s:i},s:[{s:{s:{s:i,s:i},s:{s:i,s:i}},s:s}]}", "textDocument",
                          "uri", URI, "version", i + 2, "contentChanges", "range", "start", "line",
                          1, "character", i, "end", "line", 1, "character", i, "text", key));
  }
  talk_settle(&talk);
  assert_non_null(strstr(talk_told(&talk, URI), "1:13-1:14 E0306"));
  /* two changes in one message, the second by the text that the first has made */
  talk_notify(&talk, "textDocument/didChange",
              json_pack("{s:{s:s,s:i},s:[{s:s},{s:{s:{s:i,s:i},s:{s:i,s:i}},s:s}]}", "textDocument",
                        "uri", URI, "version", 99, "contentChanges", "text", "let c = 1 mn\n",
                        "range", "start", "line", 0, "character", 10, "end", "line", 0, "character",
                        12, "text", "mm"));
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, URI), "");
  talk_end(&talk);
}

/* An edit amid two thousand lines is answered with what is found there; of very many findings the
 * rest is counted. */
static void test_long_job(void **state) {
  enum { BLOCKS = 500, LINES = 4 };
  struct talk talk;
  char *text = malloc(BLOCKS * 128), *at = text;
  for (int i = 0; i < BLOCKS; i++)
    at += sprintf(at, "shape bore_%d round {\n  diameter %d mm\n  centre (0, 0) mm\n}\n", i, i + 9);
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, "{}"));
  talk_open(&talk, URI, text);
  talk_settle(&talk);
  assert_string_equal(talk_told(&talk, URI), "");
  int line = LINES * 250 + 1;
  talk_notify(&talk, "textDocument/didChange",
              json_pack("{s:{s:s,s:i},s:[{s:{s:{s:i,s:i},s:{s:i,s:i}},s:s}]}", "textDocument",
                        "uri", URI, "version", 2, "contentChanges", "range", "start", "line", line,
                        "character", 2, "end", "line", line, "character", 10, "text", "diametre"));
  talk_settle(&talk);
  assert_non_null(strstr(talk_told(&talk, URI), "1001:2-1001:10 E0202"));
  for (char *word = text; (word = strstr(word, "centre")) != NULL;)
    memcpy(word, "center", 6);
  talk_change(&talk, URI, text);
  talk_settle(&talk);
  json_t *list = json_object_get(talk.diagnostics, URI);
  assert_int_equal(json_array_size(list), 201);
  json_t *last = json_array_get(list, 200);
  assert_string_equal(json_string_value(json_object_get(last, "message")), "300 more from here on");
  assert_int_equal(json_integer_value(json_object_get(last, "severity")), 3);
  talk_end(&talk);
  free(text);
}

/* The motion is checked when the job is saved, or when nothing was typed for a while. */
static void test_whole_check(void **state) {
  struct program *program = *state;
  struct talk talk;
  char uri[1400];
  char *words = job_text(program, "tight.lay");
  char *other = changed(words, "job ", "# one more line\njob ");
  job_uri(program, "tight.lay", uri);
  talk_begin(&talk, program);
  json_decref(talk_hello(&talk, "{}"));
  talk_open(&talk, uri, words);
  talk_settle(&talk);
  talk_notify(&talk, "textDocument/didSave", named(uri));
  while (!strstr(talk_told(&talk, uri), "E0706"))
    talk_take(&talk, talk_read(&talk, TALK_WAIT_MS));
  talk_change(&talk, uri, other);
  talk_settle(&talk);
  assert_null(strstr(talk_told(&talk, uri), "E0706")); /* not judged any more */
  while (!strstr(talk_told(&talk, uri), "E0706"))
    talk_take(&talk, talk_read(&talk, TALK_WAIT_MS));
  talk_end(&talk);
  free(words);
  free(other);
}

#define RUNS(test) cmocka_unit_test_setup_teardown(test, program_setup, program_teardown)

int main(void) {
  const struct CMUnitTest tests[] = {
      RUNS(test_session),     RUNS(test_ends_without_shutdown), RUNS(test_wrong_use),
      RUNS(test_places),      RUNS(test_related_places),        RUNS(test_used_file),
      RUNS(test_incremental), RUNS(test_file_without_a_job),    RUNS(test_whole_check),
      RUNS(test_long_job),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
