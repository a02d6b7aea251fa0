/* Values given outside of a file, and sources of a size or depth that nobody writes. */
#include "borelay/syntax.h"
#include "support/told.h"

/* want: the value as dumped; NULL: refused, with `told` in the message. */
static const struct value_row {
  const char *name, *text, *want, *told;
} rows[] = {
    {"a length", "178 mm", "178[mm]\n", NULL},
    {"a negative angle", "-30 deg", "(- 30[deg])\n", NULL},
    {"an expression", "(1 + 2) * 3 mm", "(* (round (+ 1 2)) 3[mm])\n", NULL},
    {"a range", "3 .. 4 mm", "(.. 3 4[mm])\n", NULL},
    {"a point", "(1, -2) mm", "(point 1 (- 2))[mm]\n", NULL},
    {"a string", "\"TB-204\"", "\"TB-204\"\n", NULL},
    {"a list", "a, b", "(list a b)\n", NULL},
    {"over two lines", "1 mm\n + 2 mm\n", "(+ 1[mm] 2[mm])\n", NULL},
    {"nothing", "", NULL, "a value is missing"},
    {"a unit alone is a name", "mm", "mm\n", NULL},
    {"two values", "1 mm 2 mm", NULL, "behind `1 mm` the value is over"},
    {"a semicolon", "1 mm;", NULL, "behind `1 mm` the value is over"},
    {"a block", "1 { }", NULL, "behind `1` the value is over"},
    {"a range of three", "1 .. 2 .. 3", NULL, "behind `2` the value is over"},
    {"a closing parenthesis", "1)", NULL, "this `)` closes nothing"},
    {"a brace", "}", NULL, "a value cannot begin with `}`"},
    {"an open parenthesis", "(1, 2", NULL, "a `)` is missing after `2`"},
    {"an open string", "\"abc", NULL, "the string is not closed"},
    {"no unit", "12 parsec", NULL, "`parsec` is no unit"},
    {"too large", "1e999", NULL, "too large"},
    {"half a sum", "1 +", NULL, "a value is missing after `+`"},
    {"a reserved word", "range", NULL, "`range` is a reserved word"},
};

static void value_is_read(void **state) {
  const struct value_row *row = *state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "--set size", row->text);
  const struct syn_expr *value = syntax_parse_value(told.arena, told.sources, file, told.diags);
  char *got = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&got, &length);
  if (value)
    syntax_dump_value(value, to);
  fclose(to);
  char *messages = told_text(&told);
  assert_string_equal(got, row->want ? row->want : "");
  if (row->told && !strstr(messages, row->told))
    fail_msg("told:\n%s", messages);
  assert_int_equal(diag_error_count(told.diags), row->told ? 1 : 0);
  free(messages);
  free(got);
  told_end(&told);
}

/* head, then `repeat` written count times, then tail. */
static char *repeated(const char *head, const char *repeat, size_t count, const char *tail) {
  char *text = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  fputs(head, to);
  for (size_t i = 0; i < count; i++)
    fputs(repeat, to);
  fputs(tail, to);
  fclose(to);
  return text;
}

static const struct size_row {
  const char *name, *head, *repeat, *tail;
  size_t count;
  const char *told; /* NULL: without fault */
} size_rows[] = {
    {"200 brackets", "let x = ", "(", "", 200, "is missing"},
    {"201 brackets", "let x = ", "(", "1", 201, "nested more than 200 deep"},
    {"very many brackets", "let x = ", "(", "1", 100000, "nested more than 200 deep"},
    {"very many square brackets", "let x = ", "[", "1", 100000, "a value is missing"},
    {"200 blocks", "", "zone a { ", "", 200, "`}` is missing"},
    {"very many blocks", "", "zone a { ", "", 100000, "nested more than 200 deep"},
    {"500 minus signs", "let x = ", "-", "1", 500, NULL},
    {"very many minus signs", "let x = ", "-", "1", 100000, "more than 500 operators"},
    {"a very long sum", "let x = 1", " + 1", "", 100000, "more than 500 operators"},
    {"a very long list", "let x = 1", ", 1", "", 100000, NULL},
    {"a very long list over lines", "let x = [1", ",\n 1", "]", 100000, NULL},
    {"very many statements", "overlay a {", "b 1;", "}", 100000, NULL},
    {"very many statements outside", "", "b 1;", "", 100000, "stands outside of any block"},
    {"very many faults in one line", "overlay a {", "b;", "}", 20000, "has no value"},
    {"very many faults", "overlay a {\n", "b\n", "}", 20000, "has no value"},
    {"very many closing braces", "", "}", "", 100000, "closes nothing"},
    {"very many opening braces", "", "{", "", 100000, "has no head"},
    {"very many strays", "", "@ ", "", 20000, "has no meaning here"},
    {"very many heads without braces", "", "overlay a\n", "", 20000, "is missing after"},
    {"a very long name", "overlay ", "a", " { }", 100000, NULL},
    {"a very long number", "let x = ", "1", "", 100000, "too large"},
    {"a very long fraction", "let x = 0.", "1", "", 100000, NULL},
    {"very many open brackets by line", "overlay a {\n", "b (1,\n", "}", 20000, "nested more than"},
};

static void size_is_borne(void **state) {
  const struct size_row *row = *state;
  struct told told = told_begin();
  char *text = repeated(row->head, row->repeat, row->count, row->tail);
  uint32_t file = told_add(&told, "a.lay", text);
  free(text);
  syntax_parse(told.arena, told.sources, file, told.diags);
  char *messages = told_text(&told);
  if (row->told && !strstr(messages, row->told))
    fail_msg("told:\n%.2000s", messages);
  assert_int_equal(diag_error_count(told.diags) > 0, row->told != NULL);
  assert_true(strlen(messages) < 20000);
  free(messages);
  told_end(&told);
}

enum { ROWS = sizeof rows / sizeof *rows, SIZE_ROWS = sizeof size_rows / sizeof *size_rows };

int main(void) {
  struct CMUnitTest tests[ROWS + SIZE_ROWS];
  for (size_t i = 0; i < ROWS; i++)
    tests[i] =
        (struct CMUnitTest){rows[i].name, value_is_read, NULL, NULL, (void *)(uintptr_t)&rows[i]};
  for (size_t i = 0; i < SIZE_ROWS; i++)
    tests[ROWS + i] = (struct CMUnitTest){size_rows[i].name, size_is_borne, NULL, NULL,
                                          (void *)(uintptr_t)&size_rows[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
