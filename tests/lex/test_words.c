/* Words by the thousand, and units of every make, against slow and plain ways to do the same. */
#include "borelay/token.h"
#include "job_parse.h"
#include "support/random.h"
#include "support/told.h"

/* -- words ------------------------------------------------------------------------------------- */

enum { WORDS = 20000 };

static void write_name(struct random *random, FILE *to) {
  static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789_.";
  int length = random_whole(random, 1, random_whole(random, 0, 3) ? 3 : 40);
  fputc('a' + random_whole(random, 0, 3), to);
  char before = 'a';
  for (int i = 1; i < length; i++) {
    char letter = letters[random_whole(random, 0, before == '.' || i + 1 == length ? 25 : 37)];
    letter = before == '.' && letter == '_' ? 'x' : letter;
    fputc(letter, to);
    before = letter;
  }
  fputc(' ', to);
}

/* Each is what stands at its place, though many share the places where words are kept. */
static void every_word_is_what_was_written(void **state) {
  (void)state;
  struct random random = {.state = 5};
  char *text = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  for (int i = 0; i < WORDS; i++)
    write_name(&random, to);
  fclose(to);
  struct told told = told_begin();
  uint32_t file = told_add(&told, "a.lay", text);
  struct token_list list = tokens_read(told.arena, told.sources, file, told.diags);
  size_t at = 0;
  for (size_t i = 0; i + 1 < list.count; i++) {
    const struct token *token = &list.items[i];
    size_t word = strcspn(text + at, " ");
    assert_int_equal(token->at.begin, at);
    assert_int_equal(token->at.end, at + word);
    if (token->kind == TOKEN_NAME || token->kind == TOKEN_AS)
      assert_int_equal(strlen(token->text), word);
    assert_memory_equal(token->text, text + at, word);
    at += word + 1;
  }
  assert_int_equal(diag_error_count(told.diags), 0);
  assert_int_equal(list.count, WORDS + 1);
  free(text);
  told_end(&told);
}

/* Words that follow one another in a row that mostly comes again: where another stands instead, or
 * one that goes on or is cut short, that is read.  The file ends with a word. */
static void a_row_of_words_may_change(void **state) {
  (void)state;
  static const char *const row[] = {
      "current",  "voltage", "as",        "a",   "wire_feed_speed_of_it",
      "hw.first", "ab",      "tie_in_12", "like"};
  static const char *const behind[] = {" ", "  ", ";", "}", "-", "A", "\n", "(", ""};
  static const char *const more[] = {"x", "_2", ".s", "7", ".", ".."};
  enum { ROW = sizeof row / sizeof *row, BEHIND = sizeof behind / sizeof *behind };
  struct random random = {.state = 8};
  for (int round = 0; round < 2000; round++) {
    struct told told = told_begin();
    char text[1000] = "";
    size_t begins[20], ends[20], used = 0;
    int count = random_whole(&random, 1, 20);
    for (int i = 0; i < count; i++) {
      char word[64];
      int change = random_whole(&random, 0, 9);
      int which = change == 0 ? random_whole(&random, 0, ROW - 1) : i % ROW;
      const char *behind_it = behind[random_whole(&random, 0, BEHIND - (i + 1 < count ? 2 : 1))];
      snprintf(word, sizeof word, "%s%s", row[which], change == 1 ? more[round % 4] : "");
      if (change == 2 && strlen(row[which]) > 1)
        word[strlen(row[which]) - 1] = '\0';
      if (word[strlen(word) - 1] == '.')
        word[strlen(word) - 1] = '\0';
      begins[i] = used;
      ends[i] = used + strlen(word);
      used += (size_t)snprintf(text + used, sizeof text - used, "%s%s%s", word,
                               change == 3 ? more[4 + round % 2] : "", behind_it);
    }
    uint32_t file = told_add(&told, "a.lay", text);
    struct lexer *lexer = lexer_new(told.arena, told.arena, told.sources, file, told.diags);
    const uint8_t *all = source_get(told.sources, file)->text;
    for (int i = 0; i < count; i++)
      for (int again = random_whole(&random, 0, 1); again >= 0; again--) {
        struct token token = lexer_plain_word(lexer, all + begins[i]);
        struct token want = lexer_word(lexer, (uint32_t)begins[i], (uint32_t)ends[i]);
        assert_int_equal(token.at.begin, begins[i]);
        assert_int_equal(token.at.end, ends[i]);
        assert_int_equal(token.kind, want.kind);
        assert_string_equal(token.text, want.text);
        assert_int_equal(lexer_plain_word(lexer, all + ends[i]).kind == 0 || all[ends[i]] == 'a',
                         true);
      }
    told_end(&told);
  }
}

/* A word with capitals is told each time, and stands beside the one that has none. */
static void a_faulty_word_is_told_each_time(void **state) {
  (void)state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "a.lay", "wall Wall wall Wall JOB job _x _x");
  struct token_list list = tokens_read(told.arena, told.sources, file, told.diags);
  static const char *const want[] = {"wall", "wall", "wall", "wall", "job", "job", "_x", "_x"};
  for (size_t i = 0; i < sizeof want / sizeof *want; i++)
    assert_string_equal(list.items[i].text, want[i]);
  assert_int_equal(list.items[4].kind, TOKEN_JOB);
  assert_int_equal(diag_error_count(told.diags), 5);
  told_end(&told);
}

/* -- by and by --------------------------------------------------------------------------------- */

static void by_and_by_is_the_same(void **state) {
  (void)state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "a.lay", "a 1 mm # x\n\n\"b\nc { d; e } f\r\n(1,\n2) mm");
  struct token_list all = tokens_read(told.arena, told.sources, file, told.diags);
  struct lexer *lexer = lexer_new(told.arena, told.arena, told.sources, file, told.diags);
  assert_true(all.count <= lexer_room(lexer));
  struct token *tokens = arena_alloc(told.arena, lexer_room(lexer), sizeof *tokens);
  size_t count = 0, parts = 0;
  for (size_t more; (more = lexer_read_on(lexer, tokens)) > 0; parts++) {
    for (size_t i = 0; i < more; i++) {
      const struct token *token = &all.items[count + i];
      bool ends = token->kind == TOKEN_NEWLINE || token->kind == TOKEN_SEMICOLON ||
                  token->kind == TOKEN_OPEN_BRACE || token->kind == TOKEN_CLOSE_BRACE ||
                  token->kind == TOKEN_YYEOF;
      assert_int_equal(tokens[i].kind, token->kind);
      assert_int_equal(tokens[i].at.begin, token->at.begin);
      assert_int_equal(tokens[i].at.end, token->at.end);
      assert_true(ends == (i + 1 == more));
    }
    count += more;
  }
  assert_int_equal(count, all.count);
  assert_int_equal(parts, 9);
  assert_int_equal(lexer_read_on(lexer, tokens), 0);
  told_end(&told);
}

/* -- units ------------------------------------------------------------------------------------- */

static bool goes_on(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
}

/* The longest one of all that the text begins with, and no letter, digit or `_` behind it. */
static const char *unit_slowly(const char *text) {
  const char *longest = NULL, *unit;
  for (size_t i = 0; (unit = unit_word(i)) != NULL; i++) {
    size_t length = strlen(unit);
    bool fits = strncmp(text, unit, length) == 0 && !goes_on(text[length]);
    if (fits && (!longest || length > strlen(longest)))
      longest = unit;
  }
  return longest;
}

static void units_run_together(void **state) {
  (void)state;
  static const char *const pieces[] = {"mm", "m",  "s",  "/",    "min", "2",  "3",  "deg",
                                       "C",  "kJ", "in", "g",    "cm",  "h",  "ft", "L",
                                       "%",  "_",  " ",  "turn", "k",   "rad"};
  enum { PIECES = sizeof pieces / sizeof *pieces };
  struct random random = {.state = 11};
  for (int i = 0; i < 200000; i++) {
    char text[64] = "";
    for (int k = random_whole(&random, 1, 5); k > 0; k--)
      strcat(text, pieces[random_whole(&random, 0, PIECES - 1)]);
    const char *want = unit_slowly(text), *got = NULL;
    size_t length = unit_fit(text, &got);
    if (length != (want ? strlen(want) : 0) || (want && strcmp(want, got) != 0))
      fail_msg("`%s`: %s, not %s", text, got ? got : "none", want ? want : "none");
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_word_is_what_was_written),
      cmocka_unit_test(a_row_of_words_may_change),
      cmocka_unit_test(a_faulty_word_is_told_each_time),
      cmocka_unit_test(by_and_by_is_the_same),
      cmocka_unit_test(units_run_together),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
