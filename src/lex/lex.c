/* From text to words, statement by statement, since a reader of a long file has no need of all of
 * them at once.  The generated scanner says what a stretch of text looks like; here its place gives
 * it a meaning: a word behind a number or a closing parenthesis is a unit if the table has it,
 * `min` anywhere else is a name. */
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/utf8.h"
#include "job_parse.h"
#include "lex/lex_state.h"

struct token *token_put(struct lexer *lexer, int kind, uint32_t begin, uint32_t end) {
  struct token *token = lexer->next++;
  *token = (struct token){.at = {.file = lexer->file, .begin = begin, .end = end},
                          .kind = (int16_t)kind};
  return token;
}

static void put_number(struct lexer *lexer, uint32_t begin, uint32_t end) {
  struct token *token = token_put(lexer, TOKEN_NUMBER, begin, end);
  token->number = number_read(lexer->arena, (const char *)lexer->source->text + begin, end - begin);
  if (isfinite(token->number))
    return;
  token->kind = TOKEN_BROKEN;
  token->number = 0;
  diag_error(lexer->diags, DIAG_NUMBER_TOO_LARGE, token->at,
             "this number is too large; the largest is about 1.8e308");
}

static void put_bad_number(struct lexer *lexer, uint32_t begin, uint32_t end) {
  const char *text = (const char *)lexer->source->text + begin;
  int length = (int)(end - begin);
  struct token *token = token_put(lexer, TOKEN_BROKEN, begin, end);
  struct diag *diag = diag_error(lexer->diags, DIAG_NUMBER_FORM, token->at,
                                 "a number has digits on both sides of its point");
  if (*text == '.')
    diag_help(diag, "write `0%.*s`", length, text);
  else
    diag_help(diag, "write `%.*s0` or `%.*s`", length, text, length - 1, text);
}

/* In a string without its end, a brace or semicolon that ends the line is taken for what
 * it is: otherwise the missing quote would be told as a missing brace, too. */
static uint32_t open_string_end(const uint8_t *text, uint32_t begin, uint32_t end) {
  uint32_t last = end;
  while (last > begin + 1 && memchr(" \t\r", text[last - 1], 3))
    last--;
  if (last > begin + 1 && memchr("{};", text[last - 1], 3)) {
    last--;
    while (last > begin + 1 && (text[last - 1] == ' ' || text[last - 1] == '\t'))
      last--;
  }
  return last;
}

static uint32_t put_string(struct lexer *lexer, uint32_t begin, uint32_t end, bool is_closed) {
  if (!is_closed)
    end = open_string_end(lexer->source->text, begin, end);
  struct token *token = token_put(lexer, TOKEN_STRING, begin, end);
  if (!is_closed) {
    struct diag *diag =
        diag_error(lexer->diags, DIAG_STRING_OPEN, token->at,
                   "the string is not closed; a `\"` is missing before the end of the line");
    if (begin > 0 && lexer->source->text[begin - 1] >= '0' && lexer->source->text[begin - 1] <= '9')
      diag_help(diag, "inches are written `in`");
  }
  token->text = string_text(lexer, token->at, is_closed);
  return end;
}

/* A run of characters outside ASCII is one word, told once. */
static uint32_t put_stray(struct lexer *lexer, uint32_t begin) {
  const uint8_t *text = lexer->source->text;
  uint32_t end = begin + 1;
  while (text[begin] >= 0x80 && text[end] >= 0x80)
    end++;
  struct token *token = token_put(lexer, TOKEN_BROKEN, begin, end);
  stray_tell(lexer, token->at);
  return end;
}

/* After a word that is no unit: does a value go on, so that the word is a name? */
static bool word_may_be_name(const uint8_t *after) {
  while (*after == ' ' || *after == '\t')
    after++;
  return is_letter_or_digit(*after) || *after == '"' || *after == '{';
}

static bool is_range_word(const uint8_t *word, size_t length) {
  return length == 5 && memcmp(word, "range", 5) == 0;
}

/* Behind a number or a closing parenthesis: takes a unit, or a word that can only be
 * meant as one.  Returns where the next word begins. */
static uint32_t take_unit(struct lexer *lexer, uint32_t begin, bool after_number) {
  const uint8_t *text = lexer->source->text;
  uint32_t at = begin;
  while (text[at] == ' ' || text[at] == '\t')
    at++;
  const char *unit = NULL;
  uint32_t length = (uint32_t)unit_fit((const char *)text + at, &unit);
  if (length > 0) {
    token_put(lexer, TOKEN_UNIT, at, at + length)->text = unit;
    return at + length;
  }
  while (is_letter_or_digit(text[at + length]))
    length++;
  bool is_word = length > 0 && (text[at] < '0' || text[at] > '9');
  if (is_word && text[at + length] == '/' && is_letter_or_digit(text[at + length + 1]))
    for (length++; is_letter_or_digit(text[at + length]);)
      length++; /* `l/min` */
  if (!after_number || !is_word || is_range_word(text + at, length) ||
      word_may_be_name(text + at + length))
    return begin;
  char *word = arena_text(lexer->arena, (const char *)text + at, length);
  struct token *token = token_put(lexer, TOKEN_UNIT, at, at + length);
  struct diag *diag =
      diag_error(lexer->diags, DIAG_UNIT_UNKNOWN, token->at, "`%s` is no unit", word);
  const char *meant = unit_suggest(word);
  if (meant)
    diag_help(diag, "did you mean `%s`?", meant);
  return at + length;
}

/* Puts the token for one stretch of text; returns where the next begins. */
static uint32_t put_scanned(struct lexer *lexer, struct scan scan, uint32_t begin, uint32_t end) {
  switch (scan.kind) {
  case SCAN_END:
    token_put(lexer, TOKEN_YYEOF, end, end);
    lexer->has_ended = true;
    return end;
  case SCAN_NEWLINE:
    token_put(lexer, TOKEN_NEWLINE, begin, end);
    return end;
  case SCAN_WORD:
    *lexer->next++ = lexer_word(lexer, begin, end);
    return end;
  case SCAN_NUMBER:
    put_number(lexer, begin, end);
    return take_unit(lexer, end, true);
  case SCAN_BAD_NUMBER:
    put_bad_number(lexer, begin, end);
    return take_unit(lexer, end, true);
  case SCAN_STRING:
    return put_string(lexer, begin, end, true);
  case SCAN_OPEN_STRING:
    return put_string(lexer, begin, end, false);
  case SCAN_MARK:
    token_put(lexer, scan.mark, begin, end);
    return scan.mark == TOKEN_CLOSE_ROUND ? take_unit(lexer, end, false) : end;
  case SCAN_STRAY:
    return put_stray(lexer, begin);
  }
  return end;
}

/* By its byte order mark, which is no UTF-8; without one where every other byte of the first four
 * characters is 0, as of ASCII. */
static bool is_utf16(const uint8_t *text, uint32_t length) {
  if (length >= 2 && ((text[0] == 0xFF && text[1] == 0xFE) || (text[0] == 0xFE && text[1] == 0xFF)))
    return true;
  bool even = length >= 8, odd = length >= 8; /* zeros there, and only there */
  for (uint32_t i = 0; i < 8 && (even || odd); i++) {
    even = even && (text[i] == 0) == (i % 2 == 0);
    odd = odd && (text[i] == 0) == (i % 2 == 1);
  }
  return even || odd;
}

/* Told once a file: a file in another encoding is so in many places. */
static void check_utf8(struct lexer *lexer) {
  const uint8_t *text = lexer->source->text, *limit = text + lexer->source->length;
  bool is_wide = is_utf16(text, lexer->source->length);
  const uint8_t *bad = is_wide ? text : utf8_check(text, limit);
  if (bad == limit)
    return;
  uint32_t begin = (uint32_t)(bad - text);
  span at = {.file = lexer->file, .begin = begin, .end = begin + 1};
  struct diag *diag =
      diag_error(lexer->diags, DIAG_NOT_UTF8, at,
                 is_wide ? "the file is UTF-16, not UTF-8"
                         : "the file is not UTF-8: the byte 0x%02X begins no character here",
                 (unsigned)*bad);
  diag_help(diag, "save it as UTF-8");
  lexer->is_unread = is_wide; /* nothing else could be said of it */
  if (is_wide)
    lexer->scanner.cursor = limit;
}

struct lexer *lexer_new(struct arena *arena, struct arena *aside, const struct source_set *sources,
                        uint32_t file, struct diag_list *diags) {
  struct lexer *lexer = arena_alloc(aside, 1, sizeof *lexer);
  lexer->arena = arena;
  lexer->diags = diags;
  lexer->source = source_get(sources, file);
  lexer->file = file;
  const uint8_t *text = lexer->source->text;
  uint32_t length = lexer->source->length;
  bool has_mark = length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0; /* a byte order mark */
  lexer->scanner = (struct scanner){.cursor = text + (has_mark ? 3 : 0), .limit = text + length};
  lexer->kept_places = 1;
  while (lexer->kept_places < MOST_KEPT_PLACES && lexer->kept_places * 32 < length)
    lexer->kept_places *= 2;
  lexer->kept = arena_alloc(aside, lexer->kept_places, sizeof *lexer->kept);
  lexer->last = &lexer->before;
  check_utf8(lexer);
  return lexer;
}

bool lexer_is_unread(const struct lexer *lexer) {
  return lexer->is_unread;
}

size_t lexer_room(const struct lexer *lexer) {
  return (size_t)lexer->source->length + 1; /* each has a byte at least, but for YYEOF */
}

/* Behind it another statement may begin. */
static bool ends_statement(struct scan scan) {
  return scan.kind == SCAN_NEWLINE || scan.mark == TOKEN_SEMICOLON ||
         scan.mark == TOKEN_OPEN_BRACE || scan.mark == TOKEN_CLOSE_BRACE;
}

size_t lexer_read_on(struct lexer *lexer, struct token *tokens) {
  const uint8_t *text = lexer->source->text;
  struct scan scan = {.kind = SCAN_STRAY};
  lexer->next = tokens;
  while (!ends_statement(scan) && !lexer->has_ended) {
    scan = scan_next(&lexer->scanner);
    uint32_t begin = (uint32_t)(lexer->scanner.begin - text);
    uint32_t end = (uint32_t)(lexer->scanner.cursor - text);
    lexer->scanner.cursor = text + put_scanned(lexer, scan, begin, end);
  }
  return (size_t)(lexer->next - tokens);
}

const uint8_t *lexer_place(const struct lexer *lexer) {
  return lexer->scanner.cursor;
}
void lexer_pass(struct lexer *lexer, const uint8_t *to) {
  lexer->scanner.cursor = to;
}

struct token_list tokens_read(struct arena *arena, const struct source_set *sources, uint32_t file,
                              struct diag_list *diags) {
  struct lexer *lexer = lexer_new(arena, arena, sources, file, diags);
  struct token_list list = {.items = arena_room(arena, lexer_room(lexer), sizeof *list.items)};
  for (size_t count; (count = lexer_read_on(lexer, list.items + list.count)) > 0;)
    list.count += count;
  return list;
}
