/* What stands between two words is blanks and at most one comment, so the comment is found from the
 * places of the words, and the lexer need not keep it. */
#include "tidy/words.h"

#include <string.h>

#include "job_parse.h"

int word_kind(const struct words *words, size_t index) {
  return words->tokens[index].kind;
}

bool word_separates(const struct words *words, size_t index) {
  int kind = word_kind(words, index);
  return kind == TOKEN_NEWLINE || kind == TOKEN_SEMICOLON;
}

span comment_before(const struct words *words, size_t index) {
  const uint8_t *text = words->source->text;
  span gap = words->tokens[index].at;
  gap.end = gap.begin;
  gap.begin = index > 0 ? words->tokens[index - 1].at.end : 0;
  while (gap.begin < gap.end && text[gap.begin] != '#')
    gap.begin++;
  while (gap.begin < gap.end && memchr(" \t\r", text[gap.end - 1], 3))
    gap.end--;
  return gap;
}

size_t comment_column(const struct words *words, span comment) {
  enum { TAB_STOP = 8 };
  const uint8_t *text = words->source->text;
  uint32_t at = comment.begin;
  while (at > 0 && text[at - 1] != '\n')
    at--;
  size_t column = 0;
  for (; at < comment.begin; at++)
    if (text[at] == '\t')
      column += TAB_STOP - column % TAB_STOP;
    else
      column += (text[at] & 0xC0) != 0x80;
  return column;
}

static bool opens_bracket(int kind) {
  return kind == TOKEN_OPEN_ROUND || kind == TOKEN_OPEN_SQUARE;
}

static bool closes_bracket(int kind) {
  return kind == TOKEN_CLOSE_ROUND || kind == TOKEN_CLOSE_SQUARE;
}

static size_t brace_meeting(const struct words *words, size_t open) {
  size_t depth = 1, index = open;
  while (depth > 0) {
    int kind = word_kind(words, ++index);
    depth += kind == TOKEN_OPEN_BRACE;
    depth -= kind == TOKEN_CLOSE_BRACE;
  }
  return index;
}

static bool ends_statement(const struct words *words, size_t index, size_t brackets) {
  int kind = word_kind(words, index);
  return (kind == TOKEN_NEWLINE && brackets == 0) || kind == TOKEN_SEMICOLON ||
         kind == TOKEN_CLOSE_BRACE || kind == TOKEN_YYEOF;
}

static bool has_content(const struct words *words, const struct statement *statement) {
  for (size_t i = statement->brace + 1; i < statement->last; i++) {
    span comment = comment_before(words, i);
    if (!word_separates(words, i) || comment.begin < comment.end)
      return true;
  }
  return false;
}

struct statement statement_at(const struct words *words, size_t first) {
  struct statement found = {.first = first, .last = first};
  size_t brackets = 0;
  for (;; found.last++) {
    int kind = word_kind(words, found.last);
    if (kind == TOKEN_OPEN_BRACE) {
      found.brace = found.last;
      found.last = brace_meeting(words, found.brace);
      found.is_empty = !has_content(words, &found);
      break;
    }
    brackets += opens_bracket(kind);
    brackets -= closes_bracket(kind);
    if (ends_statement(words, found.last + 1, brackets))
      break;
  }
  for (size_t i = first; i < found.last; i++)
    found.is_spread = found.is_spread || (word_kind(words, i) == TOKEN_NEWLINE && !found.is_empty);
  return found;
}

size_t statement_next(const struct words *words, size_t index) {
  while (word_separates(words, index))
    index++;
  return index;
}

/* The word before, on whatever line. */
static size_t before(const struct words *words, size_t index) {
  do
    index--;
  while (word_kind(words, index) == TOKEN_NEWLINE);
  return index;
}

static bool ends_operand(const struct words *words, size_t index) {
  int kind = word_kind(words, index);
  return kind == TOKEN_NAME || kind == TOKEN_NUMBER || kind == TOKEN_UNIT || kind == TOKEN_STRING ||
         closes_bracket(kind);
}

/* A minus takes what is before from what is behind, or is a sign. */
static bool is_sign(const struct words *words, const struct statement *statement, size_t index) {
  if (word_kind(words, index) != TOKEN_MINUS)
    return false;
  size_t left = before(words, index);
  return left == statement->first || !ends_operand(words, left);
}

bool word_has_blank(const struct words *words, const struct statement *statement, size_t index) {
  int kind = word_kind(words, index);
  size_t left = before(words, index);
  int left_kind = word_kind(words, left);
  if (kind == TOKEN_COMMA || closes_bracket(kind) || opens_bracket(left_kind))
    return false;
  bool is_call = kind == TOKEN_OPEN_ROUND && left_kind == TOKEN_NAME && left != statement->first;
  return !is_call && !is_sign(words, statement, left);
}
