/* serve-editor: what is answered about a place of a document. */
#include "cli/editor_talk.h"

static const char URI[] = "file:///nowhere/job.lay";

/* The place of `|` in a text, which is taken out; lines and columns of plain ASCII. */
static char *unmarked(const char *marked, int *line, int *character) {
  const char *mark = strchr(marked, '|');
  char *text = malloc(strlen(marked) + 1);
  assert_non_null(mark);
  sprintf(text, "%.*s%s", (int)(mark - marked), marked, mark + 1);
  *line = *character = 0;
  for (const char *at = marked; at < mark; at++) {
    *character = *at == '\n' ? 0 : *character + 1;
    *line += *at == '\n';
  }
  return text;
}

/* Opens the text and asks about the mark. */
static json_t *ask(struct talk *talk, const char *method, const char *marked) {
  int line, character;
  char *text = unmarked(marked, &line, &character);
  talk_open(talk, URI, text);
  free(text);
  return talk_result(talk, method, named_at(URI, line, character));
}

/* Declarations that all texts begin with. */
#define SHOP                                                                                       \
  "param size = 6 in range 4 in .. 8 in\n"                                                         \
  "let edge = size / 4\n"                                                                          \
  "procedure steady { process gtaw }\n"                                                            \
  "shape bore round { diameter size }\n"

/* -- hover --------------------------------------------------------------------------------------
 */

static const struct {
  const char *marked, *begins; /* NULL: nothing */
} HOVERS[] = {
    {SHOP "let a = si|ze * 2", "param size = 6 in\n"},
    {SHOP "let a = |edge", "let edge = 1.5 in\n"},
    {SHOP "let a = edge|", "let edge = 1.5 in\n"},
    {SHOP "let |a = edge", "let a = 1.5 in\n"},
    {SHOP "overlay o { wall bo|re }", "shape bore\n"},
    {SHOP "overlay o { wa|ll bore }", "`wall`, a key of overlay\n"},
    {SHOP "overlay o { procedure ste|ady }", "procedure steady\n  in job.lay, line 3\n"},
    {SHOP "overlay o { procedur|e steady }", "`procedure`, a key of overlay\n"},
    {SHOP "overlay o { layer 2 { proc|edure steady } }", "`procedure`, a key of layer\n"},
    {SHOP "overlay o { pattern spi|ral }", "`pattern`, a key of overlay\n"},
    {SHOP "overlay o like |o { }", "overlay o\n"},
    {SHOP "overl|ay o { }", "`overlay NAME { }`, a block\n"},
    {SHOP "shape b ro|und { }", "`shape NAME round { }`, a block\n"},
    {SHOP "cell c { axis h|ead { } }", "`axis head { }`, a block\n"},
    {SHOP "cell c { axis x { acc|el 1 mm/s2 } }", "`accel`, a key of axis\n"},
    {SHOP "envelope e { free bo|re { depths 1 .. 2 mm } }", "shape bore\n"},
    {SHOP "envelope e { fr|ee bore { } }", "`free SHAPE { }`, a block\n"},
    {SHOP "let a = 3 i|n", "`in`, a unit of length\n"},
    {SHOP "let a = sq|rt(4)", "`sqrt`, a function\n"},
    {SHOP "par|am b = 2", "`param`, a reserved word\n"},
    {SHOP "j|ob \"x\" { }", "`job \"title\" { }`, a block\n"},
    {SHOP "overlay o { wall bore  # wa|ll\n}", NULL},
    {SHOP "overlay o {  |  wall bore }", NULL},
    {SHOP "overlay o { wal|l", "`wall`, a key of overlay\n"},
    {SHOP "overlay o { unknown| 3 mm }", NULL},
    {SHOP "gadget o { wa|ll 3 mm }", NULL},
    {SHOP "let a = |3 mm", NULL},
    {"|", NULL},
};

static void test_hover(void **state) {
  struct talk talk;
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  for (size_t i = 0; i < sizeof HOVERS / sizeof HOVERS[0]; i++) {
    json_t *result = ask(&talk, "textDocument/hover", HOVERS[i].marked);
    const char *value =
        json_string_value(json_object_get(json_object_get(result, "contents"), "value"));
    if (HOVERS[i].begins ? !value || strncmp(value, HOVERS[i].begins, strlen(HOVERS[i].begins))
                         : value != NULL)
      fail_msg("%s\nis told\n%s", HOVERS[i].marked, value ? value : "nothing");
    json_decref(result);
  }
  talk_end(&talk);
}

/* -- completion ---------------------------------------------------------------------------------
 */

static const struct {
  const char *marked, *has, *has_not; /* between blanks; has_not NULL: no matter */
} COMPLETIONS[] = {
    {SHOP "|", " overlay job cell use param let ", " wall "},
    {SHOP "ov|", " overlay ", " wall "},
    {SHOP "overlay o {\n  |\n}", " wall depths layer zone require ", " overlay thickness "},
    {SHOP "overlay o {\n  wall bore\n  |\n}", " depths pattern ", " wall "},
    {SHOP "overlay o {\n  |\n  depths 1 .. 2 mm\n}", " wall ", " depths "},
    {SHOP "overlay o {\n  zone a { arc off }\n  |\n}", " zone ", NULL},
    {SHOP "overlay o { wall bo|re }", " bore ", " steady wall "},
    {SHOP "overlay o { wall |", " bore ", " steady "},
    {SHOP "overlay o { procedure | }", " steady ", " bore "},
    {SHOP "overlay o { pattern |", " spiral stepped rings ", " size "},
    {SHOP "overlay o { layers | }", " auto size ", NULL},
    {SHOP "overlay o { depths 1 .. 2 | }", " mm in ", " s deg "},
    {SHOP "overlay o { stagger 2 | }", " mm deg ", " s "},
    {SHOP "overlay o { depths | }", " size edge sqrt ", " mm "},
    {SHOP "overlay o { require { | } }", " thickness iron ", " wall "},
    {SHOP "cell c { axis x { | } }", " travel speed ", " tick "},
    {SHOP "cell c { axis |", " x y z head ", " travel "},
    {SHOP "shape s |", " round racetrack rectangle outline ", " bore "},
    {SHOP "shape s racetrack { | }", " length width ", " diameter corner "},
    {SHOP "envelope e { free |", " bore ", " steady "},
    {SHOP "procedure other like |", " steady ", " bore "},
    {SHOP "let a = |", " size edge sqrt ", " wall "},
    {SHOP "overlay o { # |\n}", " ", " wall "},
    {SHOP "job \"|\" { }", " ", " wall "},
};

static bool is_offered(json_t *items, const char *label) {
  size_t i;
  json_t *item;
  json_array_foreach(items, i, item) if (strcmp(json_string_value(json_object_get(item, "label")),
                                                label) == 0) return true;
  return false;
}

/* Every word between blanks is offered, or none is. */
static void hold_words(json_t *items, const char *words, bool wanted, const char *marked) {
  char copy[256];
  snprintf(copy, sizeof copy, "%s", words ? words : "");
  for (char *word = strtok(copy, " "); word; word = strtok(NULL, " "))
    if (is_offered(items, word) != wanted)
      fail_msg("%s\n%s offered: %s", marked, wanted ? "not" : "wrongly", word);
}

static void test_completion(void **state) {
  struct talk talk;
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  for (size_t i = 0; i < sizeof COMPLETIONS / sizeof COMPLETIONS[0]; i++) {
    json_t *items = ask(&talk, "textDocument/completion", COMPLETIONS[i].marked);
    assert_true(json_is_array(items));
    hold_words(items, COMPLETIONS[i].has, true, COMPLETIONS[i].marked);
    hold_words(items, COMPLETIONS[i].has_not, false, COMPLETIONS[i].marked);
    json_decref(items);
  }
  talk_end(&talk);
}

/* -- definition ---------------------------------------------------------------------------------
 */

static const struct {
  const char *marked;
  int line, character; /* -1: nothing */
} DEFINITIONS[] = {
    {SHOP "let a = si|ze", 0, 6},
    {SHOP "overlay o { wall bo|re }", 3, 6},
    {SHOP "overlay o { procedure |steady }", 2, 10},
    {SHOP "procedure p like st|eady { }", 2, 10},
    {SHOP "overlay o { wa|ll bore }", -1, -1},
    {SHOP "overlay o { wall no|ne }", -1, -1},
    {SHOP "let a = |3", -1, -1},
    {SHOP "use \"no|ne.lay\"", -1, -1},
};

static void test_definition(void **state) {
  struct talk talk;
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  for (size_t i = 0; i < sizeof DEFINITIONS / sizeof DEFINITIONS[0]; i++) {
    json_int_t line = -1, character = -1;
    json_t *result = ask(&talk, "textDocument/definition", DEFINITIONS[i].marked);
    json_unpack(result, "{s:{s:{s:I,s:I}}}", "range", "start", "line", &line, "character",
                &character);
    if (line != DEFINITIONS[i].line || character != DEFINITIONS[i].character)
      fail_msg("%s\nleads to %d:%d", DEFINITIONS[i].marked, (int)line, (int)character);
    json_decref(result);
  }
  talk_end(&talk);
}

/* Over files: a name of a used file, the file itself, a param that is set. */
static void test_definition_in_used_file(void **state) {
  struct program *program = *state;
  struct talk talk;
  char uri[1400], shop[1400];
  snprintf(uri, sizeof uri, "file://%s/x.lay", program->jobs);
  snprintf(shop, sizeof shop, "file://%s/shop.lay", program->jobs);
  talk_begin(&talk, program);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, uri, "use \"shop.lay\" as w\nlet a = w\noverlay o { procedure w.steady }\n");
  static const int PLACES[][4] = {{0, 7, 0, 0}, {1, 8, 0, 0}, {2, 24, 11, 10}, {0, 18, 0, 0}};
  for (size_t i = 0; i < sizeof PLACES / sizeof PLACES[0]; i++) {
    const char *to;
    json_int_t line, character;
    json_t *result =
        talk_result(&talk, "textDocument/definition", named_at(uri, PLACES[i][0], PLACES[i][1]));
    assert_int_equal(json_unpack(result, "{s:s,s:{s:{s:I,s:I}}}", "uri", &to, "range", "start",
                                 "line", &line, "character", &character),
                     0);
    assert_string_equal(to, shop);
    assert_true(line == PLACES[i][2] && character == PLACES[i][3]);
    json_decref(result);
  }
  talk_end(&talk);
}

static void hold_hover(struct talk *talk, const char *uri, int line, int character,
                       const char *want) {
  json_t *hover = talk_result(talk, "textDocument/hover", named_at(uri, line, character));
  const char *value =
      json_string_value(json_object_get(json_object_get(hover, "contents"), "value"));
  assert_non_null(value);
  assert_string_equal(value, want);
  json_decref(hover);
}

/* In the braces of a `use` stand the params of its file, and no others. */
static void test_settings(void **state) {
  struct program *program = *state;
  struct talk talk;
  char uri[1400], shop[1400];
  snprintf(uri, sizeof uri, "file://%s/x.lay", program->jobs);
  snprintf(shop, sizeof shop, "file://%s/y.lay", program->jobs);
  talk_begin(&talk, program);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, uri, "use \"y.lay\" as w {\n  \n}\nparam depth = 2 mm\njob \"x\" { }\n");
  talk_open(&talk, shop, "param size = 1 in\nparam width = 2 mm\nlet half = size / 2\n");
  json_t *items = talk_result(&talk, "textDocument/completion", named_at(uri, 1, 2));
  hold_words(items, " size width ", true, "use { | }");
  hold_words(items, " half depth w.size ", false, "use { | }");
  json_decref(items);
  hold_hover(&talk, shop, 2, 12, "param w.size = 1 in\n  in y.lay, line 1\n");
  talk_change(&talk, uri, "use \"y.lay\" as w {\n  size = 2 in\n}\njob \"x\" { }\n");
  hold_hover(&talk, uri, 1, 4, "param w.size = 2 in\n  in y.lay, line 1\n");
  talk_end(&talk);
}

/* -- outline ------------------------------------------------------------------------------------
 */

static void test_symbols(void **state) {
  struct talk talk;
  const char *words[3];
  json_int_t kinds[3], line, character;
  static const char TEXT[] = "param size = (1,\n 2) mm  # x\n"
                             "cell c {\n  tick 4 ms\n  torch {\n    reach 3 mm\n  }\n}\n";
  talk_begin(&talk, *state);
  json_decref(talk_hello(&talk, TALK_ALL));
  talk_open(&talk, URI, TEXT);
  json_t *tree = talk_result(&talk, "textDocument/documentSymbol", named(URI));
  assert_int_equal(json_unpack(tree, "[{s:s,s:I},{s:s,s:I,s:[{s:s,s:I}]}]", "name", &words[0],
                               "kind", &kinds[0], "name", &words[1], "kind", &kinds[1], "children",
                               "name", &words[2], "kind", &kinds[2]),
                   0);
  assert_string_equal(words[0], "param size");
  assert_string_equal(words[1], "cell c");
  assert_string_equal(words[2], "torch");
  assert_true(kinds[0] == 13 && kinds[1] == 23 && kinds[2] == 23);
  assert_int_equal(json_unpack(json_array_get(tree, 0), "{s:{s:{s:I,s:I}}}", "range", "end", "line",
                               &line, "character", &character),
                   0);
  assert_true(line == 1 && character == 6);
  json_decref(tree);
  talk_end(&talk);
  talk_begin(&talk, *state); /* who knows no trees gets a list */
  json_decref(talk_hello(&talk, "{}"));
  talk_open(&talk, URI, TEXT);
  json_t *list = talk_result(&talk, "textDocument/documentSymbol", named(URI));
  assert_int_equal(json_array_size(list), 2);
  assert_int_equal(json_unpack(json_array_get(list, 1), "{s:s,s:{s:s,s:{s:{s:I}}}}", "name",
                               &words[0], "location", "uri", &words[1], "range", "start", "line",
                               &line),
                   0);
  assert_string_equal(words[1], URI);
  assert_int_equal(line, 2);
  json_decref(list);
  talk_end(&talk);
}

/* -- layout -------------------------------------------------------------------------------------
 */

/* The place of a line and column of plain ASCII. */
static size_t offset_of(const char *text, json_int_t line, json_int_t character) {
  const char *at = text;
  for (; line > 0; line--)
    at = strchr(at, '\n') + 1;
  return (size_t)(at - text) + (size_t)character;
}

/* The edit makes what `tidy` makes, and touches no line before or behind what differs. */
static void test_formatting(void **state) {
  struct program *program = *state;
  static const char *const TEXTS[] = {"let a = 1\nlet   b=2 ;\n\n\n\nlet c = 3\n",
                                      "let a=1",
                                      "let a = 1\n",
                                      "\n\n",
                                      "",
                                      "cell c {\ntick 4 ms;\n  park (1,2,3) mm }\n",
                                      "let a = 1\n\n\n\n",
                                      "let b = 2;;\nlet c = 3\n"};
  static const struct {
    json_int_t first, last; /* lines of the edit; -1: none */
  } LINES[] = {{1, 4}, {0, 0}, {-1, -1}, {0, 2}, {-1, -1}, {1, 3}, {1, 4}, {0, 1}};
  struct talk talk;
  talk_begin(&talk, program);
  json_decref(talk_hello(&talk, TALK_ALL));
  for (size_t i = 0; i < sizeof TEXTS / sizeof TEXTS[0]; i++) {
    char path[1400], made[256];
    path_in(path, program, "x.lay");
    FILE *file = fopen(path, "w");
    fputs(TEXTS[i], file);
    fclose(file);
    assert_int_equal(program_run(program, "tidy x.lay"), 0);
    char *want = file_read(path);
    talk_open(&talk, URI, TEXTS[i]);
    json_t *edits = talk_result(&talk, "textDocument/formatting", named(URI));
    json_int_t a = -1, b = 0, c = -1, d = 0;
    const char *put = "";
    snprintf(made, sizeof made, "%s", TEXTS[i]);
    if (json_array_size(edits) > 0) {
      assert_int_equal(json_unpack(json_array_get(edits, 0), "{s:{s:{s:I,s:I},s:{s:I,s:I}},s:s}",
                                   "range", "start", "line", &a, "character", &b, "end", "line", &c,
                                   "character", &d, "newText", &put),
                       0);
      snprintf(made, sizeof made, "%.*s%s%s", (int)offset_of(TEXTS[i], a, b), TEXTS[i], put,
               TEXTS[i] + offset_of(TEXTS[i], c, d));
    }
    assert_string_equal(made, want);
    if (a != LINES[i].first || c != LINES[i].last)
      fail_msg("%s\nedited from line %d to %d", TEXTS[i], (int)a, (int)c);
    json_decref(edits);
    free(want);
  }
  talk_open(&talk, URI, "let = {\n"); /* faults of form: no layout */
  json_t *none = talk_result(&talk, "textDocument/formatting", named(URI));
  assert_true(json_is_null(none));
  json_decref(none);
  talk_end(&talk);
}

#define RUNS(test) cmocka_unit_test_setup_teardown(test, program_setup, program_teardown)

int main(void) {
  const struct CMUnitTest tests[] = {
      RUNS(test_hover),
      RUNS(test_completion),
      RUNS(test_definition),
      RUNS(test_symbols),
      RUNS(test_formatting),
      RUNS(test_settings),
      RUNS(test_definition_in_used_file),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
