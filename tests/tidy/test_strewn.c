/* Sources with blanks, line breaks, semicolons and comments strewn in where the language allows
 * them.  The layout says the same as the source: the same words, comments and tree; it has the
 * form that docs/tidy.md tells; and it is its own layout.  Run at the top of the project. */
#include <glob.h>

#include "borelay/token.h"
#include "job_parse.h"
#include "support/golden.h"
#include "support/random.h"
#include "tidy/laid.h"

enum { SEED = 41, ROUNDS = 60, MOST_SOURCES = 120 };

/* -- the sources --------------------------------------------------------------------- */

struct sources {
  char *texts[MOST_SOURCES];
  size_t count;
  size_t files; /* of them from files, the first ones */
};

static void take(struct sources *sources, const char *text) {
  struct laid laid = laid_make(text, strlen(text));
  assert_true(sources->count < MOST_SOURCES);
  if (laid.is_sound)
    sources->texts[sources->count++] = strdup(text);
  laid_end(&laid);
}

static void take_files(struct sources *sources, const char *pattern) {
  glob_t found;
  assert_int_equal(glob(pattern, 0, NULL, &found), 0);
  for (size_t i = 0; i < found.gl_pathc; i++) {
    char *text = golden_file_text(found.gl_pathv[i]);
    take(sources, text);
    free(text);
  }
  globfree(&found);
}

static void take_cases(struct sources *sources, const char *path) {
  struct goldens cases = goldens_read(path);
  for (size_t i = 0; i < cases.count; i++)
    take(sources, cases.cases[i].source);
  free(cases.text);
}

/* What stands between ``` and ```, where it is a source. */
static void take_page(struct sources *sources, const char *path) {
  char *page = golden_file_text(path);
  for (char *next = golden_cut(page, "```"); next;) {
    char *block = golden_after_line(next);
    next = golden_cut(block, "```");
    if (strchr(block, '{'))
      take(sources, block);
    next = next ? golden_cut(golden_after_line(next), "```") : NULL;
  }
  free(page);
}

static int sources_setup(void **state) {
  struct sources *sources = calloc(1, sizeof *sources);
  take_files(sources, "programs/*.lay");
  take_files(sources, "tests/cli/jobs/*.lay");
  take_files(sources, "tests/resolve/cases/common/*.lay");
  sources->files = sources->count;
  take_cases(sources, "tests/parse/cases/tree.txt");
  take_cases(sources, "tests/tidy/cases/layout.txt");
  take_page(sources, "docs/tidy.md");
  take_page(sources, "README.md");
  *state = sources;
  return sources->files > 20 && sources->count > sources->files + 20 ? 0 : -1;
}

static int sources_teardown(void **state) {
  struct sources *sources = *state;
  for (size_t i = 0; i < sources->count; i++)
    free(sources->texts[i]);
  free(sources);
  return 0;
}

/* -- what a text says ---------------------------------------------------------------- */

static struct token_list tokens_of(struct told *told, const char *text, size_t length) {
  uint32_t file = source_add_text(told->sources, "a.lay", text, length);
  return tokens_read(told->arena, told->sources, file, told->diags);
}

static bool separates(int kind) {
  return kind == TOKEN_NEWLINE || kind == TOKEN_SEMICOLON;
}

/* From the `#` before a token, without blanks at its end. */
static const char *comment_at(const char *text, const struct token *token, uint32_t from,
                              size_t *length) {
  const char *begin = memchr(text + from, '#', token->at.begin - from);
  const char *end = text + token->at.begin;
  while (begin && memchr(" \t\r", end[-1], 3))
    end--;
  *length = begin ? (size_t)(end - begin) : 0;
  return begin;
}

/* Words, comments and the tree, a line each. */
static char *meaning_of(const char *text, size_t length) {
  struct told told = told_begin();
  struct token_list list = tokens_of(&told, text, length);
  char *said = NULL;
  size_t size = 0;
  FILE *to = open_memstream(&said, &size);
  for (size_t i = 0; i < list.count; i++) {
    const struct token *token = &list.items[i];
    size_t comment = 0;
    const char *begin = comment_at(text, token, i > 0 ? token[-1].at.end : 0, &comment);
    if (begin)
      fprintf(to, "%.*s\n", (int)comment, begin);
    if (!separates(token->kind))
      fprintf(to, "%d %.*s\n", token->kind, (int)(token->at.end - token->at.begin),
              text + token->at.begin);
  }
  syntax_dump(syntax_parse(told.arena, told.sources, 1, told.diags), to);
  fclose(to);
  assert_int_equal(diag_error_count(told.diags), 0);
  told_end(&told);
  return said;
}

/* -- strewing ------------------------------------------------------------------------ */

struct strewing {
  struct random *random;
  const char *text;
  const struct token *tokens;
  FILE *to;
  int brackets;
  bool keeps_lines; /* only blanks */
};

static bool one_in(struct strewing *strewing, int chances) {
  return random_whole(strewing->random, 1, chances) == 1;
}

static void put_blanks(struct strewing *strewing, int least, int most) {
  for (int count = random_whole(strewing->random, least, most); count > 0; count--)
    fputc(one_in(strewing, 4) ? '\t' : ' ', strewing->to);
}

static void put_line_end(struct strewing *strewing) {
  static const char *const comments[] = {"#", "# a \"remark\" {;}", "## \xC3\xA9(", "#c\t "};
  if (one_in(strewing, 6) && !strewing->keeps_lines)
    fprintf(strewing->to, " %s", comments[random_whole(strewing->random, 0, 3)]);
  put_blanks(strewing, 0, 2);
  fputs(one_in(strewing, 5) ? "\r\n" : "\n", strewing->to);
  if (!strewing->keeps_lines)
    put_blanks(strewing, 0, 12);
}

static void put_line_ends(struct strewing *strewing) {
  for (int count = one_in(strewing, 4) ? 3 : 1; count > 0; count--)
    put_line_end(strewing);
}

static bool is_mark(int kind) {
  return kind == TOKEN_COMMA || kind == TOKEN_OPEN_ROUND || kind == TOKEN_CLOSE_ROUND ||
         kind == TOKEN_OPEN_SQUARE || kind == TOKEN_CLOSE_SQUARE || kind == TOKEN_EQUALS ||
         kind == TOKEN_OPEN_BRACE || kind == TOKEN_CLOSE_BRACE || separates(kind) ||
         kind == TOKEN_DOTS || kind == TOKEN_MINUS || kind == TOKEN_STAR || kind == TOKEN_PLUS;
}

/* `mm/s` is one unit, `mm / s` a unit, a sign and a name: slashes keep their blanks. */
static void put_gap(struct strewing *strewing, const struct token *left,
                    const struct token *right) {
  bool may_touch = is_mark(left->kind) || is_mark(right->kind) || right->kind == TOKEN_UNIT;
  put_blanks(strewing, may_touch ? 0 : 1, 3);
}

/* Inside brackets a line may end where the next cannot be taken for a statement, and where no
 * unit is parted from its number. */
static bool may_break(const struct strewing *strewing, const struct token *left,
                      const struct token *right) {
  return strewing->brackets > 0 && !strewing->keeps_lines &&
         (left->kind == TOKEN_COMMA || right->kind == TOKEN_COMMA ||
          left->kind == TOKEN_OPEN_ROUND || right->kind == TOKEN_CLOSE_ROUND ||
          right->kind == TOKEN_PLUS || right->kind == TOKEN_STAR);
}

static void put_separator(struct strewing *strewing, const struct token *token) {
  size_t length = 0;
  bool is_newline = token->kind == TOKEN_NEWLINE;
  uint32_t from = token > strewing->tokens ? token[-1].at.end : 0;
  const char *comment = comment_at(strewing->text, token, from, &length);
  if (comment) {
    bool is_alone = token == strewing->tokens || token[-1].kind == TOKEN_NEWLINE;
    put_blanks(strewing, is_alone ? 0 : 1, is_alone && strewing->keeps_lines ? 0 : 3);
    fprintf(strewing->to, "%.*s\n", (int)length, comment);
    return;
  }
  if (strewing->keeps_lines)
    is_newline ? put_line_end(strewing) : (void)fputs(";", strewing->to);
  else if (strewing->brackets > 0 || one_in(strewing, 2))
    put_line_ends(strewing);
  else
    fputs(one_in(strewing, 4) ? "; ;" : ";", strewing->to);
}

static void put_token(struct strewing *strewing, const struct token *token) {
  int kind = token->kind;
  strewing->brackets += kind == TOKEN_OPEN_ROUND || kind == TOKEN_OPEN_SQUARE;
  strewing->brackets -= kind == TOKEN_CLOSE_ROUND || kind == TOKEN_CLOSE_SQUARE;
  if (separates(kind) || kind == TOKEN_YYEOF)
    put_separator(strewing, token);
  else
    fwrite(strewing->text + token->at.begin, 1, token->at.end - token->at.begin, strewing->to);
  const struct token *next = token + 1;
  if (kind == TOKEN_YYEOF || separates(next->kind) || next->kind == TOKEN_YYEOF)
    return;
  bool around_brace =
      kind == TOKEN_OPEN_BRACE || kind == TOKEN_CLOSE_BRACE || next->kind == TOKEN_CLOSE_BRACE;
  if ((around_brace && !strewing->keeps_lines && one_in(strewing, 3)) ||
      (may_break(strewing, token, next) && one_in(strewing, 6)))
    put_line_ends(strewing);
  else if (!(separates(kind) && kind == TOKEN_NEWLINE && strewing->keeps_lines))
    put_gap(strewing, token, next);
}

/* The caller frees.  keeps_lines: each line keeps its words. */
static char *strewn(struct random *random, const char *text, bool keeps_lines) {
  struct told told = told_begin();
  struct token_list list = tokens_of(&told, text, strlen(text));
  char *made = NULL;
  size_t length = 0;
  struct strewing strewing = {.random = random,
                              .text = text,
                              .tokens = list.items,
                              .to = open_memstream(&made, &length),
                              .keeps_lines = keeps_lines};
  for (size_t i = 0; i < list.count; i++)
    put_token(&strewing, &list.items[i]);
  fclose(strewing.to);
  told_end(&told);
  return made;
}

/* -- the properties ------------------------------------------------------------------ */

/* Of a line's code, without the comment: `#` in strings does not occur in sources with one. */
static void look_at_form(const char *text) {
  bool after_blank = true; /* none at the start */
  for (const char *line = text; *line;) {
    const char *end = strchr(line, '\n');
    assert_non_null(end);
    bool is_blank = end == line;
    assert_false(is_blank && after_blank);
    assert_false(end > line && memchr(" \t\r", end[-1], 3));
    assert_int_equal(strspn(line, " ") % 2 == 0 || line[strspn(line, " ")] == '#', true);
    assert_int_not_equal(*line, '\t');
    assert_false(after_blank && line > text && line[strspn(line, " ")] == '}');
    after_blank = is_blank;
    line = end + 1;
  }
  assert_false(after_blank && *text);
}

static void says_the_same(const char *source) {
  struct laid laid = laid_soundly(source, strlen(source));
  char *want = meaning_of(source, strlen(source));
  char *got = meaning_of(laid.text.bytes, laid.text.length);
  assert_string_equal(got, want);
  look_at_form(laid.text.bytes);
  laid_stays(&laid.text);
  free(want);
  free(got);
  laid_end(&laid);
}

static void sources_as_they_are(void **state) {
  const struct sources *sources = *state;
  for (size_t i = 0; i < sources->count; i++)
    says_the_same(sources->texts[i]);
}

static void sources_strewn(void **state) {
  const struct sources *sources = *state;
  struct random random = {.state = SEED};
  print_message("seed %d\n", SEED);
  for (int round = 0; round < ROUNDS; round++)
    for (size_t i = 0; i < sources->count; i++) {
      char *text = strewn(&random, sources->texts[i], false);
      says_the_same(text);
      free(text);
    }
}

/* The blanks between the words of a line do not matter at all. */
static void only_blanks_strewn(void **state) {
  const struct sources *sources = *state;
  struct random random = {.state = SEED + 1};
  for (int round = 0; round < ROUNDS; round++)
    for (size_t i = 0; i < sources->files; i++) {
      const char *source = sources->texts[i];
      char *text = strewn(&random, source, true);
      struct laid plain = laid_soundly(source, strlen(source));
      struct laid blanks = laid_soundly(text, strlen(text));
      assert_string_equal(blanks.text.bytes, plain.text.bytes);
      laid_end(&blanks);
      laid_end(&plain);
      free(text);
    }
}

/* Bytes at random: what is still a source is laid out, the rest is refused. */
static void random_bytes(void **state) {
  const struct sources *sources = *state;
  static const char marks[] = "{}()[],;;=+-*/.\"#\n\n\r\t  az09";
  struct random random = {.state = SEED + 2};
  size_t laid_out = 0, tried = 0;
  for (int round = 0; round < ROUNDS; round++)
    for (size_t i = 0; i < sources->count; i++) {
      char *text = strdup(sources->texts[i]);
      int length = (int)strlen(text);
      for (int k = length > 0 ? 1 + round % 3 : 0; k > 0; k--)
        text[random_whole(&random, 0, length - 1)] =
            marks[random_whole(&random, 0, (int)sizeof marks - 2)];
      struct laid laid = laid_make(text, strlen(text));
      tried++;
      laid_out += laid.is_sound;
      if (laid.is_sound)
        says_the_same(text);
      laid_end(&laid);
      free(text);
    }
  assert_true(laid_out > tried / 5);
  assert_true(laid_out < tried);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(sources_as_they_are), cmocka_unit_test(sources_strewn),
      cmocka_unit_test(only_blanks_strewn), cmocka_unit_test(random_bytes)};
  return cmocka_run_group_tests_name("tidy strewn", tests, sources_setup, sources_teardown);
}
