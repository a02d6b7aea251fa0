/* Words of the language: what they are by their place. */
#include <locale.h>

#include "borelay/token.h"
#include "job_parse.h"
#include "support/told.h"

/* The tokens as text: names and numbers as they are, units in [], strings in "". */
static char *tokens_text(struct told *told, const char *text) {
  char *out = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&out, &length);
  uint32_t file = told_add(told, "a.lay", text);
  struct token_list list = tokens_read(told->arena, told->sources, file, told->diags);
  for (size_t i = 0; i < list.count; i++) {
    const struct token *token = &list.items[i];
    const char *source = (const char *)source_get(told->sources, file)->text;
    fputs(i > 0 ? " " : "", to);
    if (token->kind == TOKEN_YYEOF)
      fputs("$", to);
    else if (token->kind == TOKEN_NEWLINE)
      fputs("|", to);
    else if (token->kind == TOKEN_BROKEN)
      fputs("?", to);
    else if (token->kind == TOKEN_UNIT)
      fprintf(to, "[%s]", token->text ? token->text : "?");
    else if (token->kind == TOKEN_STRING)
      fprintf(to, "\"%s\"", token->text);
    else if (token->kind == TOKEN_NUMBER)
      fprintf(to, "%.17g", token->number);
    else
      fprintf(to, "%.*s", (int)(token->at.end - token->at.begin), source + token->at.begin);
  }
  fclose(to);
  return out;
}

static const struct row {
  const char *name, *text, *want;
} rows[] = {
    {"empty", "", "$"},
    {"a range is no point of a number", "12..140", "12 .. 140 $"},
    {"a range of names", "a..b", "a .. b $"},
    {"a dotted name", "hw.first", "hw.first $"},
    {"a dot at the end is none of it", "hw. x", "hw ? x $"},
    {"numbers", "0 12 12.5 1.2e3 1.5e-1 1e+2", "0 12 12.5 1200 0.14999999999999999 100 $"},
    {"a unit with and without a blank", "12mm 12 mm 12\tmm", "12 [mm] 12 [mm] 12 [mm] $"},
    {"not over the line", "12\nmm", "12 | mm $"},
    {"the longest unit", "5 mm/s2 5 mm/s 5 mm/min", "5 [mm/s2] 5 [mm/s] 5 [mm/min] $"},
    {"that no digit follows", "5 mm/s20", "5 [mm] / s20 $"},
    {"that no letter follows", "5 mm/minute", "5 [mm] / minute $"},
    {"that no _ follows", "5 in_x y", "5 in_x y $"},
    {"one word without spaces", "5 mm / min", "5 [mm] / min $"},
    {"min is minutes after a number", "5 min min (5 min)", "5 [min] min ( 5 [min] ) $"},
    {"and a function before a parenthesis", "min(1, 2)", "min ( 1 , 2 ) $"},
    {"per cent", "45% 45 %", "45 [%] 45 [%] $"},
    {"not in front of a digit", "45 %5", "45 ? 5 $"},
    {"behind a point", "(1, 2) mm (1,2)in", "( 1 , 2 ) [mm] ( 1 , 2 ) [in] $"},
    {"behind a name it is a name", "x mm", "x mm $"},
    {"an exponent needs digits", "12e mm", "12 e mm $"},
    {"a unit cannot be E", "1em", "1 [?] $"},
    {"range behind a number", "12 range 3", "12 range 3 $"},
    {"comments", "a # b ; { \" }\nc#\n#", "a | c | $"},
    {"a comment at the end of a CRLF line", "a # b\r\nc", "a | c $"},
    {"CRLF", "a\r\nb\r\n", "a | b | $"},
    {"a lone CR is no line", "a\rb", "a ? b $"},
    {"escapes", "\"a\\\"b\\\\c\"", "\"a\"b\\c\" $"},
    {"an escaped new line", "\"a\\nb\"", "\"a\nb\" $"},
    {"a comment mark in a string", "\"a # b\" c", "\"a # b\" c $"},
    {"an open string ends with its line", "\"abc\nd", "\"abc\" | d $"},
    {"an open string leaves the brace", "job \"abc {\nd", "job \"abc\" { | d $"},
    {"an open string at the end of the file", "\"abc\\", "\"abc\\\" $"},
    {"a byte order mark", "\xEF\xBB\xBFjob", "job $"},
    {"stray characters in a row", "a \xE2\x80\x93\xE2\x80\x93 b", "a ? b $"},
    {"marks", "{}()[],;=+-*/..", "{ } ( ) [ ] , ; = + - * / .. $"},
    {"three dots", "1...2", "1 .. ? $"},
    {"capitals, told, are found as lower case", "Wall", "Wall $"},
};

static void row_is_read(void **state) {
  const struct row *row = *state;
  struct told told = told_begin();
  char *got = tokens_text(&told, row->text);
  assert_string_equal(got, row->want);
  free(got);
  told_end(&told);
}

/* Every unit of docs/language.md, section 2, alone and before each mark that may follow. */
static void every_unit_is_known(void **state) {
  (void)state;
  static const char units[] = "mm cm m um in deg rad turn s ms min h Hz mm/s mm/min m/s m/min "
                              "in/min deg/s rad/s turn/min mm/s2 m/s2 mm/s3 deg/s2 deg/s3 A V "
                              "kJ/mm kJ/in J/mm degC degF L/min ft3/h g/cm3 kg/m3 g kg lb %";
  char copy[sizeof units];
  memcpy(copy, units, sizeof units);
  int count = 0;
  for (char *unit = strtok(copy, " "); unit; unit = strtok(NULL, " "), count++) {
    const char *const marks[] = {"", ";", ")", ",", "\n", "\r\n", " ", "..", "*", "}", "#"};
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
      char text[32];
      snprintf(text, sizeof text, "%s%s", unit, marks[i]);
      const char *got = NULL;
      assert_int_equal(unit_fit(text, &got), strlen(unit));
      assert_string_equal(got, unit);
    }
  }
  assert_int_equal(count, 41);
}

/* Conversions that a sloppy one gets wrong.  IEEE 754-2019, section 5.12.2: correctly
 * rounded, ties to even.  The first four values stand between two doubles; the subnormal
 * ones are the border cases at 2^-1022 and half of 2^-1074; C17 Annex F lets strtod do it. */
static void numbers_are_correctly_rounded(void **state) {
  (void)state;
  static const struct {
    const char *text;
    double want;
  } numbers[] = {
      {"9007199254740993", 0x1p53},
      {"9007199254740995", 0x1.0000000000002p53},
      {"1.00000000000000011102230246251565404236316680908203125", 1.0},
      {"1.00000000000000011102230246251565404236316680908203126", 0x1.0000000000001p0},
      {"2.2250738585072011e-308", 0x0.fffffffffffffp-1022},
      {"2.2250738585072012e-308", 0x1p-1022},
      {"2.4703282292062327e-324", 0.0},
      {"2.4703282292062329e-324", 0x1p-1074},
      {"1.7976931348623157e308", 0x1.fffffffffffffp1023},
      {"0.1", 0x1.999999999999ap-4},
      {"25.4", 0x1.9666666666666p4},
  };
  /* Also where a comma stands before the decimals, if this machine has such a locale. */
  const char *locales[] = {"C", "de_DE.UTF-8", "fr_FR.UTF-8"};
  for (size_t k = 0; k < sizeof locales / sizeof *locales; k++) {
    if (!setlocale(LC_ALL, locales[k]))
      continue;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
      struct told told = told_begin();
      uint32_t file = told_add(&told, "a.lay", numbers[i].text);
      struct token_list list = tokens_read(told.arena, told.sources, file, told.diags);
      assert_int_equal(list.items[0].kind, TOKEN_NUMBER);
      assert_memory_equal(&list.items[0].number, &numbers[i].want, sizeof(double));
      told_end(&told);
    }
  }
  setlocale(LC_ALL, "C");
}

static void zeros_inside_are_strays(void **state) {
  (void)state;
  struct told told = told_begin();
  uint32_t file = source_add_text(told.sources, "a.lay", "a\0b\0", 4);
  struct token_list list = tokens_read(told.arena, told.sources, file, told.diags);
  const int want[] = {TOKEN_NAME, TOKEN_BROKEN, TOKEN_NAME, TOKEN_BROKEN, TOKEN_YYEOF};
  assert_int_equal(list.count, 5);
  for (size_t i = 0; i < list.count; i++)
    assert_int_equal(list.items[i].kind, want[i]);
  assert_int_equal(diag_error_count(told.diags), 2);
  told_end(&told);
}

/* No source is told wrong twice for its encoding: one message, the lines are read on. */
static void another_encoding_is_told_once(void **state) {
  (void)state;
  struct told told = told_begin();
  char *got = tokens_text(&told, "a # \xE4\nb \"\xFC\"\nc");
  assert_string_equal(got, "a | b \"\xFC\" | c $");
  free(got);
  told_assert(&told, "a.lay:1:5: error[E0101]: the file is not UTF-8: the byte 0xE4 begins no "
                     "character here\n"
                     "    1 | a # \xEF\xBF\xBD\n"
                     "      |     ^\n"
                     "help: save it as UTF-8\n");
  told_end(&told);
}

/* By its mark; of what stands in it nothing else is said. */
static void utf16_is_told_once(void **state) {
  (void)state;
  struct told told = told_begin();
  char *got = tokens_text(&told, "\xFE\xFF\x01 \x02\x03");
  assert_string_equal(got, "$");
  free(got);
  told_assert(&told, "a.lay:1:1: error[E0101]: the file is UTF-16, not UTF-8\n"
                     "    1 | \xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD \xEF\xBF\xBD\xEF\xBF\xBD\n"
                     "      | ^\n"
                     "help: save it as UTF-8\n");
  told_end(&told);
}

/* Without a mark by the zeros beside ASCII. */
static void utf16_without_a_mark_is_told_once(void **state) {
  (void)state;
  static const char little[] = "u\0s\0e\0 \0\"\0", big[] = "\0u\0s\0e\0 \0\"";
  for (int i = 0; i < 2; i++) {
    struct told told = told_begin();
    uint32_t file = source_add_text(told.sources, "a.lay", i == 0 ? little : big, 10);
    struct token_list list = tokens_read(told.arena, told.sources, file, told.diags);
    assert_int_equal(list.count, 1);
    assert_int_equal(list.items[0].kind, TOKEN_YYEOF);
    assert_int_equal(diag_error_count(told.diags), 1);
    told_end(&told);
  }
}

enum { ROWS = sizeof rows / sizeof *rows, OTHERS = 6 };

int main(void) {
  struct CMUnitTest tests[ROWS + OTHERS] = {
      [ROWS] = cmocka_unit_test(every_unit_is_known),
      [ROWS + 1] = cmocka_unit_test(numbers_are_correctly_rounded),
      [ROWS + 2] = cmocka_unit_test(zeros_inside_are_strays),
      [ROWS + 3] = cmocka_unit_test(another_encoding_is_told_once),
      [ROWS + 4] = cmocka_unit_test(utf16_is_told_once),
      [ROWS + 5] = cmocka_unit_test(utf16_without_a_mark_is_told_once),
  };
  for (size_t i = 0; i < ROWS; i++)
    tests[i] =
        (struct CMUnitTest){rows[i].name, row_is_read, NULL, NULL, (void *)(uintptr_t)&rows[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
