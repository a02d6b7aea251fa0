/* Sources and their layouts, whole; what is refused; bytes that do not show in a text of cases.
 * Run at the top of the project. */
#include "support/golden.h"
#include "tidy/laid.h"

static void the_layout_is(void **state) {
  struct golden *one = *state;
  struct laid laid = laid_soundly(one->source, strlen(one->source));
  golden_compare(one, strdup(laid.text.bytes));
  laid_stays(&laid.text);
  laid_end(&laid);
}

static const struct row {
  const char *name, *source, *want;
} rows[] = {
    {"line ends of both kinds", "let a = 1\r\nlet b = 2\n# c\r\n", "let a = 1\nlet b = 2\n# c\n"},
    {"no line end at the end", "let a = 1", "let a = 1\n"},
    {"a comment at the end without a line end", "let a = 1 # c", "let a = 1  # c\n"},
    {"a comment alone at the end", "let a = 1\n\n# c", "let a = 1\n\n# c\n"},
    {"a semicolon and a comment at the end", "let a = 1;# c", "let a = 1  # c\n"},
    {"nothing", "", ""},
    {"blank lines only", "\n \n\t\n", ""},
    {"semicolons only", ";;\n;", ""},
    {"a comment only", "# c", "# c\n"},
    {"blanks at the end of a comment", "# c \t \r\n#\t\n", "# c\n#\n"},
    {"tabs inside a comment and a string stay", "let\ta\t=\t\"x\ty\"\t#\tc\td\n",
     "let a = \"x\ty\"  #\tc\td\n"},
    {"a byte order mark is left out", "\xEF\xBB\xBFlet a=1\n", "let a = 1\n"},
    {"a byte order mark before a comment", "\xEF\xBB\xBF# c\n", "# c\n"},
    {"letters beyond ASCII are counted once",
     "let a = \"\xC3\xA9\xC3\xA9\xC3\xA9\" # x\nlet b = \"eeee\" # y\n",
     "let a = \"\xC3\xA9\xC3\xA9\xC3\xA9\"   # x\nlet b = \"eeee\"  # y\n"},
    {"a comment goes on below, under tabs", "let a = 1\t# x\n\t\t# y\n",
     "let a = 1  # x\n           # y\n"},
    {"a comment farther in does not go on", "let a = 1 # x\n           # y\n",
     "let a = 1  # x\n# y\n"},
};

static void the_bytes_are(void **state) {
  const struct row *row = *state;
  struct laid laid = laid_soundly(row->source, strlen(row->source));
  assert_string_equal(laid.text.bytes, row->want);
  laid_stays(&laid.text);
  laid_end(&laid);
}

/* A comment runs over any byte. */
static void a_nul_in_a_comment(void **state) {
  (void)state;
  static const char source[] = "let a=1#b\0c\nlet d=2\n";
  static const char want[] = "let a = 1  #b\0c\nlet d = 2\n";
  struct laid laid = laid_soundly(source, sizeof source - 1);
  assert_int_equal(laid.text.length, sizeof want - 1);
  assert_memory_equal(laid.text.bytes, want, sizeof want - 1);
  laid_end(&laid);
}

/* With faults of form there is no layout, and the messages are the parser's own. */
static void faults_are_refused(void **state) {
  (void)state;
  struct goldens faults = goldens_read("tests/parse/cases/faults.txt");
  size_t refused = 0;
  for (size_t i = 0; i < faults.count; i++) {
    const char *source = faults.cases[i].source;
    struct laid laid = laid_make(source, strlen(source));
    struct told plain = told_begin();
    uint32_t file = told_add(&plain, "a.lay", source);
    syntax_parse(plain.arena, plain.sources, file, plain.diags);
    char *told = told_text(&plain);
    told_assert(&laid.told, told);
    assert_int_equal(laid.is_sound, diag_error_count(plain.diags) == 0);
    refused += !laid.is_sound;
    free(told);
    told_end(&plain);
    laid_end(&laid);
  }
  free(faults.text);
  assert_true(refused > faults.count / 2);
}

/* 100 characters fit, 101 do not; a comment is not counted. */
static void the_widest_line(void **state) {
  (void)state;
  for (int pad = 0; pad < 2; pad++) {
    char name[80], together[200], apart[200], inside[200];
    memset(name, 'n', sizeof name);
    snprintf(together, sizeof together, "let a = 1; let b = \"\xC3\xA9%.*s\"  # c\n", 78 + pad,
             name);
    snprintf(apart, sizeof apart, "let a = 1\nlet b = \"\xC3\xA9%.*s\"  # c\n", 78 + pad, name);
    struct laid laid = laid_soundly(together, strlen(together));
    assert_string_equal(laid.text.bytes, pad ? apart : together);
    laid_end(&laid);
    snprintf(together, sizeof together, "job \"\" {\n  datum { at \"%.*s\"; z 1 mm }\n}\n",
             75 + pad, name);
    snprintf(inside, sizeof inside, "job \"\" {\n  datum {\n    at \"%.*s\"; z 1 mm\n  }\n}\n",
             75 + pad, name);
    laid = laid_soundly(together, strlen(together));
    assert_string_equal(laid.text.bytes, pad ? inside : together);
    laid_stays(&laid.text);
    laid_end(&laid);
  }
}

/* Where a file first differs from its layout. */
static void the_first_difference(void **state) {
  (void)state;
  static const struct {
    const char *source;
    uint32_t line;
  } places[] = {{"let a = 1\n", 0},       {"let a=1\n", 1},           {"let a = 1", 1},
                {"let a = 1\n\n\n", 2},   {"let a = 1\nlet b =2", 2}, {"", 0},
                {"let a = 1\n# c \n", 2}, {"let a = 1\r\n", 1}};
  for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
    struct laid laid = laid_soundly(places[i].source, strlen(places[i].source));
    uint32_t line = tidy_difference(laid.told.sources, laid.file, &laid.text);
    assert_int_equal(line, places[i].line);
    laid_end(&laid);
  }
}

int main(void) {
  enum { ROWS = sizeof rows / sizeof *rows, OTHERS = 4 };
  struct CMUnitTest tests[ROWS + OTHERS] = {
      cmocka_unit_test(a_nul_in_a_comment), cmocka_unit_test(faults_are_refused),
      cmocka_unit_test(the_first_difference), cmocka_unit_test(the_widest_line)};
  struct row state[ROWS];
  memcpy(state, rows, sizeof rows);
  for (size_t i = 0; i < ROWS; i++)
    tests[OTHERS + i] = (struct CMUnitTest){state[i].name, the_bytes_are, NULL, NULL, &state[i]};
  int failed = cmocka_run_group_tests_name("tidy bytes", tests, NULL, NULL);
  struct goldens goldens = goldens_read("tests/tidy/cases/layout.txt");
  return failed + goldens_run(&goldens, the_layout_is);
}
