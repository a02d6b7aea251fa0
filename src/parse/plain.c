/* Properties of the plainest forms, which nearly all are: a key, a number with or without its unit,
 * a range or a point of such, a name or a string, and the end.  No fault is possible in them, and
 * the grammar would make the same of them (tests/parse/test_plain.c), one token at a time. */
#include "parse/reader.h"

/* Where the operand that begins at index ends; 0: it is none. */
static size_t operand_end(struct reader *reader, size_t index) {
  const struct token *token = reader_token(reader, index);
  bool is_negative = token->kind == TOKEN_MINUS;
  token += is_negative;
  if (token->kind != TOKEN_NUMBER) /* and a unit that was told is for the grammar */
    return 0;
  index += is_negative + 1u;
  if (token[1].kind == TOKEN_UNIT)
    return token[1].text ? index + 1 : 0;
  return index;
}

static struct syn_expr *operand(struct reader *reader, const struct token *token,
                                const struct token *end) {
  span at = {.file = token->at.file, .begin = token->at.begin, .end = end[-1].at.end};
  if (token->kind == TOKEN_MINUS)
    return expr_negate(reader, operand(reader, token + 1, end), at, token->at);
  return expr_number(reader, token, end > token + 1 ? token + 1 : NULL, at);
}

static size_t range_end(struct reader *reader, size_t index) {
  size_t low = operand_end(reader, index);
  if (low == 0 || reader_token(reader, low)->kind != TOKEN_DOTS)
    return low;
  return operand_end(reader, low + 1);
}

static struct syn_expr *range(struct reader *reader, size_t begin, size_t end) {
  const struct token *tokens = reader->tokens;
  size_t low = operand_end(reader, begin);
  struct syn_expr *a = operand(reader, tokens + begin, tokens + low);
  if (low == end)
    return a;
  struct syn_expr *b = operand(reader, tokens + low + 1, tokens + end);
  return expr_binary(reader, SYN_RANGE, a, b, tokens[low].at);
}

enum { MOST_COORDINATES = 3 };

/* ends[k]: behind coordinate k; returns how many there are, 0: it is no plain point. */
static size_t point_ends(struct reader *reader, size_t index, size_t ends[MOST_COORDINATES]) {
  for (size_t count = 0; count < MOST_COORDINATES; count++) {
    index = ends[count] = operand_end(reader, index + 1);
    int kind = index == 0 ? TOKEN_YYEOF : reader_token(reader, index)->kind;
    if (kind == TOKEN_CLOSE_ROUND)
      return count > 0 ? count + 1 : 0;
    if (kind != TOKEN_COMMA)
      return 0;
  }
  return 0;
}

static size_t point_end(struct reader *reader, size_t index) {
  size_t ends[MOST_COORDINATES];
  size_t count = point_ends(reader, index, ends);
  if (count == 0)
    return 0;
  size_t close = ends[count - 1];
  const struct token *behind = reader_token(reader, close + 1);
  if (behind->kind == TOKEN_UNIT)
    return behind->text ? close + 2 : 0;
  return close + 1;
}

static struct syn_expr *point(struct reader *reader, size_t begin, size_t end) {
  const struct token *tokens = reader->tokens;
  size_t ends[MOST_COORDINATES];
  size_t count = point_ends(reader, begin, ends);
  struct syn_expr **items = arena_alloc(reader->arena, count, sizeof *items);
  for (size_t i = 0; i < count; i++)
    items[i] = operand(reader, tokens + (i > 0 ? ends[i - 1] : begin) + 1, tokens + ends[i]);
  span at = {.file = tokens[begin].at.file,
             .begin = tokens[begin].at.begin,
             .end = tokens[end - 1].at.end};
  struct syn_expr *made = expr_of_items(reader, SYN_POINT, at, items, count);
  if (tokens[end - 1].kind == TOKEN_UNIT)
    made->unit = tokens[end - 1].text;
  return made;
}

static size_t value_end(struct reader *reader, size_t index) {
  int kind = reader_token(reader, index)->kind;
  if (kind == TOKEN_NAME || kind == TOKEN_STRING)
    return index + 1;
  return kind == TOKEN_OPEN_ROUND ? point_end(reader, index) : range_end(reader, index);
}

static struct syn_expr *value(struct reader *reader, size_t begin, size_t end) {
  const struct token *first = &reader->tokens[begin];
  if (first->kind == TOKEN_NAME || first->kind == TOKEN_STRING)
    return expr_text(reader, first->kind == TOKEN_NAME ? SYN_NAME : SYN_STRING, first);
  return first->kind == TOKEN_OPEN_ROUND ? point(reader, begin, end) : range(reader, begin, end);
}

/* The statement ends there, and what stands below is no brace that belongs to it. */
static bool ends(struct reader *reader, size_t index) {
  int kind = reader_token(reader, index)->kind;
  if (kind != TOKEN_NEWLINE)
    return kind == TOKEN_SEMICOLON || kind == TOKEN_CLOSE_BRACE;
  while (kind == TOKEN_NEWLINE)
    kind = reader_token(reader, ++index)->kind;
  return kind != TOKEN_OPEN_BRACE;
}

bool plain_read(struct reader *reader) {
  const struct token *key = reader_peek(reader);
  if (key->kind != TOKEN_NAME || reader->block_count == 0 ||
      reader->blocks[reader->block_count - 1].is_use)
    return false;
  size_t begin = reader->at + 1, end = value_end(reader, begin);
  if (end == 0 || !ends(reader, end))
    return false;
  span at = key->at; /* up to the value's end */
  statements_add(reader, property_new(reader, key, value(reader, begin, end), at));
  reader->at = end + (reader->tokens[end].kind != TOKEN_CLOSE_BRACE);
  reader->before = &reader->tokens[end - 1];
  reader->now = &reader->tokens[end];
  reader->now_kind = TOKEN_END;
  reader->has_strays = false;
  return true;
}
