/* From text to words.  The generated scanner says what a stretch of text looks like;
 * here its place gives it a meaning: a word behind a number or a closing parenthesis is
 * a unit if the table has it, `min` anywhere else is a name. */
#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "borelay/arena.h"
#include "borelay/utf8.h"
#include "job_parse.h"
#include "lex/lex_state.h"
#include "lex/scanner.h"

static const struct keyword {
  const char *text;
  int kind;
} keywords[] = {
    {"use", TOKEN_USE}, {"param", TOKEN_PARAM}, {"let", TOKEN_LET}, {"like", TOKEN_LIKE},
    {"as", TOKEN_AS},   {"range", TOKEN_RANGE}, {"job", TOKEN_JOB},
};

static struct token *put(struct lexer *lexer, int kind, uint32_t begin, uint32_t end) {
  if (lexer->list.count == lexer->room) {
    size_t room = lexer->room * 2;
    lexer->list.items = arena_grow(lexer->arena, lexer->list.items, lexer->list.count, room,
                                   sizeof *lexer->list.items);
    lexer->room = room;
  }
  struct token *token = &lexer->list.items[lexer->list.count++];
  token->kind = kind;
  token->at = (span){.file = lexer->file, .begin = begin, .end = end};
  return token;
}

static bool is_letter_or_digit(uint8_t c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
}

/* A correctly rounded conversion in the "C" locale, whatever locale the process has. */
static double number_value(const char *text) {
  locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
  double value = plain ? strtod_l(text, NULL, plain) : strtod(text, NULL);
  if (plain)
    freelocale(plain);
  return value;
}

static void put_number(struct lexer *lexer, uint32_t begin, uint32_t end) {
  struct token *token = put(lexer, TOKEN_NUMBER, begin, end);
  token->text = arena_text(lexer->arena, (const char *)lexer->source->text + begin, end - begin);
  token->number = number_value(token->text);
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
  struct token *token = put(lexer, TOKEN_BROKEN, begin, end);
  struct diag *diag = diag_error(lexer->diags, DIAG_NUMBER_FORM, token->at,
                                 "a number has digits on both sides of its point");
  if (*text == '.')
    diag_help(diag, "write `0%.*s`", length, text);
  else
    diag_help(diag, "write `%.*s0` or `%.*s`", length, text, length - 1, text);
}

/* What is wrong with the name, or NULL: each of its parts begins with a letter, and
 * none has capitals. */
static const char *name_fault(const char *text) {
  for (const char *p = text; *p; p++) {
    if (*p == '_' && (p == text || p[-1] == '.'))
      return "begins with a letter";
    if (*p >= 'A' && *p <= 'Z')
      return "is written in lower case";
  }
  return NULL;
}

static void to_lower(char *text) {
  for (; *text; text++)
    if (*text >= 'A' && *text <= 'Z')
      *text = (char)(*text - 'A' + 'a');
}

static void put_word(struct lexer *lexer, uint32_t begin, uint32_t end) {
  struct token *token = put(lexer, TOKEN_NAME, begin, end);
  char *text = arena_text(lexer->arena, (const char *)lexer->source->text + begin, end - begin);
  token->text = text;
  const char *fault = name_fault(text);
  if (fault)
    diag_error(lexer->diags, DIAG_NAME_FORM, token->at, "a name %s; this is `%s`", fault, text);
  to_lower(text); /* so that the name, told once, is found */
  for (size_t i = 0; i < sizeof keywords / sizeof *keywords; i++)
    if (strcmp(keywords[i].text, text) == 0)
      token->kind = keywords[i].kind;
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
  struct token *token = put(lexer, TOKEN_STRING, begin, end);
  if (!is_closed)
    diag_error(lexer->diags, DIAG_STRING_OPEN, token->at,
               "the string is not closed; a `\"` is missing before the end of the line");
  token->text = string_text(lexer, token->at, is_closed);
  return end;
}

/* A run of characters outside ASCII is one word, told once. */
static uint32_t put_stray(struct lexer *lexer, uint32_t begin) {
  const uint8_t *text = lexer->source->text;
  uint32_t end = begin + 1;
  while (text[begin] >= 0x80 && text[end] >= 0x80)
    end++;
  struct token *token = put(lexer, TOKEN_BROKEN, begin, end);
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
    put(lexer, TOKEN_UNIT, at, at + length)->text = unit;
    return at + length;
  }
  while (is_letter_or_digit(text[at + length]))
    length++;
  bool is_word = length > 0 && (text[at] < '0' || text[at] > '9');
  if (!after_number || !is_word || is_range_word(text + at, length) ||
      word_may_be_name(text + at + length))
    return begin;
  char *word = arena_text(lexer->arena, (const char *)text + at, length);
  struct token *token = put(lexer, TOKEN_UNIT, at, at + length);
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
  case SCAN_BLANK:
    return end;
  case SCAN_NEWLINE:
    put(lexer, TOKEN_NEWLINE, begin, end);
    return end;
  case SCAN_WORD:
    put_word(lexer, begin, end);
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
    put(lexer, scan.mark, begin, end);
    return scan.mark == TOKEN_CLOSE_ROUND ? take_unit(lexer, end, false) : end;
  case SCAN_STRAY:
    return put_stray(lexer, begin);
  }
  return end;
}

/* Told once a file: a file in another encoding is so in many places. */
static void check_utf8(struct lexer *lexer) {
  const uint8_t *text = lexer->source->text, *limit = text + lexer->source->length;
  const uint8_t *bad = utf8_check(text, limit);
  if (bad == limit)
    return;
  uint32_t begin = (uint32_t)(bad - text);
  span at = {.file = lexer->file, .begin = begin, .end = begin + 1};
  diag_error(lexer->diags, DIAG_NOT_UTF8, at,
             "the file is not UTF-8: the byte 0x%02X begins no character here", (unsigned)*bad);
}

struct token_list tokens_read(struct arena *arena, const struct source_set *sources, uint32_t file,
                              struct diag_list *diags) {
  struct lexer lexer = {
      .arena = arena, .diags = diags, .source = source_get(sources, file), .file = file};
  const uint8_t *text = lexer.source->text;
  struct scanner scanner = {.cursor = text, .limit = text + lexer.source->length};
  /* About as many words as sources have: a long list is then not copied again and again. */
  lexer.room = lexer.source->length / 4 + 16;
  lexer.list.items = arena_alloc(arena, lexer.room, sizeof *lexer.list.items);
  check_utf8(&lexer);
  if (lexer.source->length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
    scanner.cursor += 3; /* a byte order mark */
  struct scan scan;
  do {
    uint32_t begin = (uint32_t)(scanner.cursor - text);
    scan = scan_next(&scanner);
    uint32_t end = (uint32_t)(scanner.cursor - text);
    scanner.cursor = text + put_scanned(&lexer, scan, begin, end);
  } while (scan.kind != SCAN_END);
  put(&lexer, TOKEN_YYEOF, lexer.source->length, lexer.source->length);
  return lexer.list;
}
