/* serve-editor and messages that are none: each is answered as the protocol says, none ends it. */
#include "cli/editor_talk.h"
#include "support/random.h"

static const char URI[] = "file:///nowhere/job.lay";

/* -- what is no message, or no request ------------------------------------------------------------
 */

static const struct {
  const char *name, *text;
  int code, id; /* code 0: no answer; id 0: null */
} ROWS[] = {
    {"no JSON", "{\"jsonrpc\":", -32700, 0},
    {"nothing", "", -32700, 0},
    {"no UTF-8", "\"\xFF\"", -32700, 0},
    {"half of a pair", "{\"jsonrpc\":\"2.0\",\"id\":7,\"method\":\"\\ud834\"}", -32700, 0},
    {"two values", "{} {}", -32700, 0},
    {"a list, as in a batch", "[]", -32600, 0},
    {"an empty object", "{}", -32600, 0},
    {"no version", "{\"id\":7,\"method\":\"shutdown\"}", -32600, 7},
    {"another version", "{\"jsonrpc\":\"1.0\",\"id\":7,\"method\":\"shutdown\"}", -32600, 7},
    {"no method", "{\"jsonrpc\":\"2.0\",\"id\":7}", -32600, 7},
    {"a method that is a number", "{\"jsonrpc\":\"2.0\",\"id\":7,\"method\":7}", -32600, 7},
    {"an id that is a list", "{\"jsonrpc\":\"2.0\",\"id\":[],\"method\":\"shutdown\"}", -32600, 0},
    {"params that are a number",
     "{\"jsonrpc\":\"2.0\",\"id\":7,\"method\":\"textDocument/hover\",\"params\":7}", -32600, 7},
    {"params that are a list",
     "{\"jsonrpc\":\"2.0\",\"id\":7,\"method\":\"textDocument/hover\",\"params\":[1,2]}", -32602,
     7},
    {"params that are null", /* none, to some clients: the request itself is taken */
     "{\"jsonrpc\":\"2.0\",\"id\":7,\"method\":\"textDocument/hover\",\"params\":null}", -32602, 7},
    {"an unknown method", "{\"jsonrpc\":\"2.0\",\"id\":7,\"method\":\"a\\u0000b\"}", -32601, 7},
    {"an unknown notification", "{\"jsonrpc\":\"2.0\",\"method\":\"a\"}", 0, 0},
    {"an unknown notification with a dollar sign", "{\"jsonrpc\":\"2.0\",\"method\":\"$/a\"}", 0,
     0},
    {"a cancellation", "{\"jsonrpc\":\"2.0\",\"method\":\"$/cancelRequest\",\"params\":{\"id\":3}}",
     0, 0},
    {"an answer to nothing that was asked", "{\"jsonrpc\":\"2.0\",\"id\":7,\"result\":null}", 0, 0},
};

static void test_no_messages(void **state) {
  struct talk talk;
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, URI, "let a = 1\n");
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    talk_text(&talk, ROWS[i].text, strlen(ROWS[i].text));
    if (ROWS[i].code != 0) {
      json_int_t code = 0;
      json_t *answer = talk_answer(&talk, ROWS[i].id);
      json_unpack(answer, "{s:{s:I}}", "error", "code", &code);
      if (code != ROWS[i].code)
        fail_msg("%s: %d", ROWS[i].name, (int)code);
      json_decref(answer);
    }
    talk_settle(&talk); /* and nothing else has been answered */
  }
  talk_end(&talk);
}

static void test_no_headers(void **state) {
  struct talk talk;
  static const char BYTES[] = "GET / HTTP/1.0\r\n\r\nContent-Length: x\r\n\r\n";
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, URI, "let a = 1\n");
  talk_bytes(&talk, BYTES, sizeof BYTES - 1);
  for (int i = 0; i < 2; i++) {
    json_int_t code = 0;
    json_t *answer = talk_answer(&talk, 0);
    json_unpack(answer, "{s:{s:I}}", "error", "code", &code);
    assert_int_equal(code, -32700);
    json_decref(answer);
  }
  talk_settle(&talk);
  talk_end(&talk);
}

static void test_nested_deep(void **state) {
  struct talk talk;
  enum { DEEP = 100000 };
  char *text = malloc(DEEP);
  memset(text, '[', DEEP);
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, URI, "let a = 1\n");
  talk_text(&talk, text, DEEP);
  json_decref(talk_answer(&talk, 0));
  talk_settle(&talk);
  talk_end(&talk);
  free(text);
}

/* -- sound messages with one value put out of shape -----------------------------------------------
 */

static const char *const SOUND[] = {
    "{\"method\":\"textDocument/didOpen\",\"params\":{\"textDocument\":{\"uri\":\"file:///a/"
    "b.lay\","
    "\"languageId\":\"lay\",\"version\":1,\"text\":\"use \\\"c.lay\\\"\\nlet a = 1 mm\\n\"}}}",
    "{\"method\":\"textDocument/didChange\",\"params\":{\"textDocument\":{\"uri\":\"file:///a/"
    "b.lay\","
    "\"version\":2},\"contentChanges\":[{\"range\":{\"start\":{\"line\":0,\"character\":1},\"end\":"
    "{"
    "\"line\":1,\"character\":2}},\"text\":\"job\"}]}}",
    "{\"method\":\"textDocument/didSave\",\"params\":{\"textDocument\":{\"uri\":\"file:///a/"
    "b.lay\"}}}",
    "{\"id\":1,\"method\":\"textDocument/hover\",\"params\":{\"textDocument\":{\"uri\":\"file:///a/"
    "b.lay\"},\"position\":{\"line\":1,\"character\":5}}}",
    "{\"id\":1,\"method\":\"textDocument/"
    "completion\",\"params\":{\"textDocument\":{\"uri\":\"file:///"
    "a/b.lay\"},\"position\":{\"line\":1,\"character\":0}}}",
    "{\"id\":1,\"method\":\"textDocument/"
    "definition\",\"params\":{\"textDocument\":{\"uri\":\"file:///"
    "a/b.lay\"},\"position\":{\"line\":0,\"character\":6}}}",
    "{\"id\":1,\"method\":\"textDocument/"
    "formatting\",\"params\":{\"textDocument\":{\"uri\":\"file:///"
    "a/b.lay\"},\"options\":{\"tabSize\":2,\"insertSpaces\":true}}}",
    "{\"id\":1,\"method\":\"textDocument/documentSymbol\",\"params\":{\"textDocument\":{\"uri\":"
    "\"file:///a/b.lay\"}}}",
    "{\"id\":1,\"method\":\"initialize\",\"params\":{\"capabilities\":{\"general\":{"
    "\"positionEncodings\":[\"utf-8\"]}}}}",
    "{\"method\":\"textDocument/didClose\",\"params\":{\"textDocument\":{\"uri\":\"file:///a/"
    "b.lay\"}}}",
};

static const char *const WRONG[] = {
    "null",
    "true",
    "0",
    "-1",
    "1e300",
    "2147483648",
    "9223372036854775807",
    "\"\"",
    "\"x\\u0000y\"",
    "[]",
    "{}",
    "[[[]]]",
    "{\"line\":0,\"character\":99}",
    "\"file:///%00%zz\"",
    "\"overlay o { wall \\ud834\\udd1e\"",
};

/* How many values there are in one, itself counted; the n-th is taken out of it and put back. */
static bool put_wrong(json_t *value, int *n, json_t *wrong) {
  const char *key;
  json_t *item;
  size_t i;
  void *next;
  json_object_foreach_safe(value, next, key, item) {
    if ((*n)-- == 0)
      return json_object_set(value, key, wrong) == 0;
    if (put_wrong(item, n, wrong))
      return true;
  }
  json_array_foreach(value, i, item) {
    if ((*n)-- == 0)
      return json_array_set(value, i, wrong) == 0;
    if (put_wrong(item, n, wrong))
      return true;
  }
  return false;
}

static void drain(struct talk *talk) {
  for (json_t *message; (message = talk_read(talk, 0)) != NULL;)
    json_decref(message);
}

/* Sends it as it is, version and all left as the wrong value has them. */
static void send_as_is(struct talk *talk, json_t *message) {
  char *text = json_dumps(message, JSON_COMPACT | JSON_ENCODE_ANY);
  talk_text(talk, text, strlen(text));
  free(text);
  drain(talk);
}

static void hold_alive(struct talk *talk) {
  json_t *message = json_pack("{s:s,s:i,s:s,s:o}", "jsonrpc", "2.0", "id", ++talk->last_id,
                              "method", "textDocument/hover", "params", named_at(talk->uri, 0, 4));
  send_as_is(talk, message);
  json_decref(message);
}

static void test_one_value_wrong(void **state) {
  struct talk talk;
  size_t count = sizeof SOUND / sizeof SOUND[0], wrong_count = sizeof WRONG / sizeof WRONG[0];
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, URI, "let a = 1\n");
  for (size_t i = 0; i < count; i++)
    for (size_t k = 0; k < wrong_count; k++) {
      bool is_more = true;
      for (int n = 0; is_more; n++) {
        int left = n;
        json_t *message = json_loads(SOUND[i], 0, NULL);
        json_t *wrong = json_loads(WRONG[k], JSON_DECODE_ANY | JSON_ALLOW_NUL, NULL);
        assert_true(message && wrong);
        json_object_set_new(message, "jsonrpc", json_string("2.0"));
        is_more = put_wrong(message, &left, wrong);
        send_as_is(&talk, message);
        json_decref(message);
        json_decref(wrong);
      }
      hold_alive(&talk);
    }
  for (json_t *message; (message = talk_read(&talk, 200)) != NULL;)
    json_decref(message);
  json_decref(talk_result(&talk, "textDocument/hover", named_at(URI, 0, 4)));
  talk_end(&talk);
}

/* -- documents of any bytes, questions anywhere
 * ---------------------------------------------------- */

static void test_random_documents(void **state) {
  static const char *const PIECES[] = {
      "overlay ", "o ",         "{ ",     "} ",   "\n",     "\r",     "wall ",
      "depths ",  "3 ",         "mm ",    "..",   "(",      ")",      "[",
      ",",        "\"",         "#",      "use ", "as ",    "like ",  "shape ",
      "job ",     "let ",       "param ", "= ",   "range ", "round ", ";",
      "\\",       "\xC3\xA9",   "axis ",  "x ",   "cell ",  "free ",  "\xF0\x9D\x84\x9E",
      "touch ",   "procedure ", "a.b ",   "-",    "e"};
  static const char *const METHODS[] = {"textDocument/hover", "textDocument/completion",
                                        "textDocument/definition", "textDocument/documentSymbol",
                                        "textDocument/formatting"};
  struct random random = {.state = 8};
  struct talk talk;
  char text[2048];
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  for (int round = 0; round < 300; round++) {
    text[0] = '\0';
    for (int i = random_whole(&random, 0, 60); i > 0; i--)
      strcat(text, PIECES[random_whole(&random, 0, 39)]);
    talk_open(&talk, URI, text);
    for (int i = 0; i < 5; i++)
      json_decref(
          talk_result(&talk, METHODS[i],
                      named_at(URI, random_whole(&random, 0, 8), random_whole(&random, 0, 30))));
  }
  talk_end(&talk);
}

#define RUNS(test) cmocka_unit_test_setup_teardown(test, program_setup, program_teardown)

int main(void) {
  const struct CMUnitTest tests[] = {
      RUNS(test_no_messages),     RUNS(test_no_headers),       RUNS(test_nested_deep),
      RUNS(test_one_value_wrong), RUNS(test_random_documents),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
