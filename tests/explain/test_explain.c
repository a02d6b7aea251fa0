/* What words mean: whole texts in words.txt; and nothing that the tables hold is left out. */
#include "borelay/emit.h"
#include "borelay/explain.h"
#include "borelay/resolve.h"
#include "support/golden.h"

static char *explained(const char *word) {
  char *text = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  assert_non_null(to);
  bool is_known = explain_word(word, to);
  assert_int_equal(fclose(to), 0);
  assert_int_equal(is_known, length > 0);
  return text;
}

/* The source of a case is a word on a line. */
static void the_text_is(void **state) {
  struct golden *one = *state;
  char word[64];
  snprintf(word, sizeof word, "%.*s", (int)strcspn(one->source, "\n"), one->source);
  golden_compare(one, explained(word));
}

/* It is told under its own word, begins with what it is, and fits a page of 100 columns. */
static void assert_told(const char *word, const char *wanted) {
  char *text = explained(word);
  if (!strstr(text, wanted))
    fail_msg("%s: no `%s` in\n%s", word, wanted, text);
  for (const char *line = text; *line; line = strchr(line, '\n') + 1)
    if (strcspn(line, "\n") > 100)
      fail_msg("%s: a line is longer than 100 columns:\n%s", word, text);
  free(text);
}

static void every_key_and_block(void **state) {
  (void)state;
  assert_true(key_info_count() > 150);
  for (size_t i = 0; i < key_info_count(); i++) {
    struct key_info info = key_info_get(i);
    char wanted[128];
    if (info.opens)
      snprintf(wanted, sizeof wanted, "`%s", info.key);
    else
      snprintf(wanted, sizeof wanted, "`%s`, a key of %s\n", info.key, info.block);
    assert_told(info.key, wanted);
    assert_true(*info.help != '\0');
  }
}

/* A block's text names every key and inner block of it. */
static void every_member_of_a_block(void **state) {
  (void)state;
  for (size_t i = 0; i < key_info_count(); i++) {
    struct key_info info = key_info_get(i);
    char *text = NULL, wanted[64];
    size_t length = 0;
    if (!*info.block)
      continue;
    FILE *to = open_memstream(&text, &length);
    assert_true(explain_block(info.block, to));
    fclose(to);
    snprintf(wanted, sizeof wanted, "\n  %s ", info.key);
    if (!strstr(text, wanted))
      fail_msg("%s: no %s in\n%s", info.block, info.key, text);
    free(text);
  }
}

static void every_unit_word_and_check(void **state) {
  (void)state;
  for (size_t i = 0; i < unit_info_count(); i++)
    assert_told(unit_info_get(i).name, unit_info_get(i).words);
  for (size_t i = 0; i < word_info_count(); i++)
    assert_told(word_info_get(i).word, word_info_get(i).is_function ? "a function" : "a reserved");
  for (size_t i = 0; i < check_info_count(); i++) {
    assert_told(check_info_get(i).name, "`, a check\n");
    assert_true(diag_code_info_get(check_info_get(i).code).number / 100 == 7);
  }
}

/* Their page knows the same checks. */
static void checks_of_the_page(void **state) {
  (void)state;
  char *page = golden_file_text("docs/semantics.md");
  char *table = strstr(page, "\n## Checks");
  assert_non_null(table);
  for (size_t i = 0; i < check_info_count(); i++) {
    char name[64];
    snprintf(name, sizeof name, "`%s`", check_info_get(i).name);
    if (!strstr(table, name))
      fail_msg("docs/semantics.md has no %s", name);
  }
  free(page);
}

static void every_code(void **state) {
  (void)state;
  for (int code = 0; code < DIAG_CODE_COUNT; code++) {
    struct diag_code_info info = diag_code_info_get((enum diag_code)code);
    char word[16], wanted[16];
    snprintf(word, sizeof word, "%c%04d", info.is_warning ? 'w' : 'e', info.number);
    snprintf(wanted, sizeof wanted, "%c%04d, a", info.is_warning ? 'W' : 'E', info.number);
    assert_told(word, wanted);
  }
}

/* One inch is exactly 25.4 mm, one cubic foot 28.316846592 L, one pound 0.45359237 kg (the
 * international yard and pound agreement of 1959); water freezes at 32 degF and boils at 212 degF
 * (from memory). */
static void figures_of_units(void **state) {
  (void)state;
  assert_told("in", "  is       1 in = 25.4 mm\n");
  assert_told("lb", "  is       2.204622622 lb = 1 kg\n");
  assert_told("degF", "  is       32 degF = 0 degC, 212 degF = 100 degC\n");
  assert_told("in/min", "  is       1 in/min = 25.4 mm/min\n");
  assert_told("%", "a unit of ratio");
}

static void what_is_not_known(void **state) {
  (void)state;
  static const char *const WORDS[][2] = {{"travle_speed", "travel_speed"},
                                         {"overlya", "overlay"},
                                         {"racetrak", "racetrack"},
                                         {"tip-pth", "tip-path"},
                                         {"atna2", "atan2"},
                                         {"stickout", "electrode_extension"},
                                         {"amps", "current"},
                                         {"zzzzzzz", NULL},
                                         {"E9999", NULL},
                                         {"", NULL},
                                         {"99999", NULL}};
  for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
    char *text = explained(WORDS[i][0]);
    const char *near = explain_suggest(WORDS[i][0]);
    assert_string_equal(text, "");
    free(text);
    if (WORDS[i][1])
      assert_string_equal(near, WORDS[i][1]);
    else
      assert_null(near);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_key_and_block),       cmocka_unit_test(every_member_of_a_block),
      cmocka_unit_test(every_unit_word_and_check), cmocka_unit_test(every_code),
      cmocka_unit_test(checks_of_the_page),        cmocka_unit_test(figures_of_units),
      cmocka_unit_test(what_is_not_known),
  };
  struct goldens goldens = goldens_read("tests/explain/words.txt");
  int failed = goldens_run(&goldens, the_text_is);
  return failed + cmocka_run_group_tests(tests, NULL, NULL);
}
