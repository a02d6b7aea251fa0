/* Properties of the plainest forms, which nearly all are: a key, a number with or without its unit,
 * a range or a point of such, a name or a string, and the end.  They are read straight from the
 * text: no fault is possible in them, and the grammar would make the same of their tokens
 * (tests/parse/test_plain.c), one at a time.  What has any other form is left to it from the first
 * letter on. */
#include <string.h>

#include "parse/reader.h"

/* What is being read; the text ends in a NUL, which stops every step here. */
struct stretch {
  struct reader *reader;
  const uint8_t *text;    /* of the file */
  const uint8_t *limit;   /* the NUL behind it */
  const uint8_t *at;      /* the next byte */
  const uint8_t *read_to; /* behind the last whole statement */
  struct token last;      /* which ends it */
};

static const uint8_t *skip_blanks(const uint8_t *at) {
  while (*at == ' ' || *at == '\t')
    at++;
  return at;
}

static span span_of(const struct stretch *stretch, const uint8_t *begin, const uint8_t *end) {
  return (span){.file = stretch->last.at.file,
                .begin = (uint32_t)(begin - stretch->text),
                .end = (uint32_t)(end - stretch->text)};
}

/* -- words --------------------------------------------------------------------------------- */

static bool is_letter(uint8_t c) {
  return c >= 'a' && c <= 'z';
}

static struct token word(const struct stretch *stretch, const uint8_t *begin, const uint8_t *end) {
  span at = span_of(stretch, begin, end);
  return lexer_word(stretch->reader->lexer, at.begin, at.end);
}

/* Each of these takes what it names from stretch->at on; NULL: it is not that, or not plain. */

static struct syn_expr *name(struct stretch *stretch) {
  const uint8_t *begin = stretch->at, *end = name_scan(begin);
  struct token token = word(stretch, begin, end);
  stretch->at = end;
  return token.kind == TOKEN_NAME ? expr_text(stretch->reader, SYN_NAME, &token) : NULL;
}

static struct syn_expr *string(struct stretch *stretch) {
  const uint8_t *begin = stretch->at, *end = begin + 1;
  while (*end != '"' && *end != '\\' && *end != '\n' && *end != '\0')
    end++;
  if (*end != '"')
    return NULL;
  stretch->at = end + 1;
  struct token token = {.at = span_of(stretch, begin, end + 1)};
  token.text =
      arena_text(stretch->reader->arena, (const char *)begin + 1, (size_t)(end - begin - 1));
  return expr_text(stretch->reader, SYN_STRING, &token);
}

/* -- numbers ------------------------------------------------------------------------------- */

/* Takes a unit, and blanks before one; NULL: there is none. */
static const char *unit(struct stretch *stretch) {
  const uint8_t *at = skip_blanks(stretch->at);
  const char *found = NULL;
  size_t length = unit_fit((const char *)at, &found);
  if (length > 0)
    stretch->at = at + length;
  return found;
}

static struct syn_expr *number(struct stretch *stretch) {
  struct token read = {.kind = TOKEN_NUMBER}, behind = {.kind = TOKEN_UNIT};
  const uint8_t *begin = stretch->at, *end = number_scan(begin, &read.number);
  if (!end)
    return NULL;
  stretch->at = end;
  behind.text = unit(stretch);
  return expr_number(stretch->reader, &read, behind.text ? &behind : NULL,
                     span_of(stretch, begin, stretch->at));
}

static struct syn_expr *operand(struct stretch *stretch) {
  const uint8_t *begin = stretch->at;
  if (*begin != '-')
    return number(stretch);
  stretch->at = skip_blanks(begin + 1);
  struct syn_expr *of = number(stretch);
  return of ? expr_negate(stretch->reader, of, span_of(stretch, begin, stretch->at),
                          span_of(stretch, begin, begin + 1))
            : NULL;
}

static struct syn_expr *range(struct stretch *stretch) {
  struct syn_expr *low = operand(stretch);
  const uint8_t *dots = skip_blanks(stretch->at);
  if (!low || dots[0] != '.' || dots[1] != '.')
    return low;
  stretch->at = skip_blanks(dots + 2);
  struct syn_expr *high = operand(stretch);
  return high ? expr_binary(stretch->reader, SYN_RANGE, low, high, span_of(stretch, dots, dots + 2))
              : NULL;
}

enum { MOST_COORDINATES = 3 };

static struct syn_expr *point(struct stretch *stretch) {
  const uint8_t *begin = stretch->at;
  struct syn_expr *coordinates[MOST_COORDINATES];
  size_t count = 0;
  for (uint8_t mark = ','; mark == ','; mark = *stretch->at) {
    stretch->at = skip_blanks(stretch->at + 1);
    struct syn_expr *coordinate = count < MOST_COORDINATES ? operand(stretch) : NULL;
    if (!coordinate)
      return NULL;
    coordinates[count++] = coordinate;
    stretch->at = skip_blanks(stretch->at);
  }
  if (*stretch->at != ')' || count == 1)
    return NULL;
  stretch->at++;
  const char *of_all = unit(stretch);
  struct arena *arena = stretch->reader->arena;
  struct syn_expr *made =
      expr_of_items(stretch->reader, SYN_POINT, span_of(stretch, begin, stretch->at),
                    arena_grow(arena, coordinates, count, count, sizeof *coordinates), count);
  made->unit = of_all;
  return made;
}

static struct syn_expr *value(struct stretch *stretch) {
  uint8_t first = *stretch->at;
  if (is_letter(first))
    return name(stretch);
  if (first == '"')
    return string(stretch);
  return first == '(' ? point(stretch) : range(stretch);
}

/* -- statements ---------------------------------------------------------------------------- */

/* Behind blanks and a comment, if one follows: the line's end, or what else stands there. */
static const uint8_t *skip_to_end(const struct stretch *stretch, const uint8_t *at) {
  at = skip_blanks(at);
  if (*at == '#') {
    const uint8_t *newline = memchr(at, '\n', (size_t)(stretch->limit - at));
    at = newline ? newline : stretch->limit;
  }
  return *at == '\r' && at[1] == '\n' ? at + 1 : at;
}

static const uint8_t *skip_lines(const struct stretch *stretch, const uint8_t *at) {
  while (*(at = skip_to_end(stretch, at)) == '\n')
    at++;
  return at;
}

/* Takes the end of a statement that is over at stretch->at; false: something else follows, or the
 * block may be one whose brace stands below. */
static bool end(struct stretch *stretch) {
  const uint8_t *over = stretch->at, *at = skip_to_end(stretch, over);
  if (*at == '\n' && *skip_lines(stretch, at) == '{')
    return false;
  int kind = *at == '\n' ? TOKEN_NEWLINE : *at == ';' ? TOKEN_SEMICOLON : TOKEN_END;
  if (kind == TOKEN_END && *at != '}')
    return false;
  bool is_there = kind != TOKEN_END; /* the brace is not for here */
  stretch->last.at = is_there ? span_of(stretch, at, at + 1) : span_of(stretch, over, over);
  stretch->last.kind = (int16_t)kind;
  stretch->read_to = is_there ? at + 1 : at;
  return true;
}

static bool property(struct stretch *stretch) {
  const uint8_t *begin = stretch->at, *behind = name_scan(begin);
  stretch->at = skip_blanks(behind);
  if (behind == begin || stretch->at == behind || *stretch->at == '{')
    return false;
  struct token key = word(stretch, begin, behind);
  struct syn_expr *made = key.kind == TOKEN_NAME ? value(stretch) : NULL;
  if (!made || !end(stretch))
    return false;
  statements_add(stretch->reader, property_new(stretch->reader, &key, made, key.at));
  return true;
}

/* Goes to the first byte of the next statement; false: the braces have something to say of it. */
static bool next(struct stretch *stretch) {
  const uint8_t *at = stretch->read_to;
  const uint8_t *line = stretch->last.kind == TOKEN_NEWLINE ? at : NULL; /* it is the first there */
  while (*(at = skip_to_end(stretch, at)) == '\n' || *at == ';') {
    at++;
    line = at[-1] == '\n' ? at : NULL;
  }
  stretch->at = at;
  return !line || !brace_is_suspected(stretch->reader, at - line);
}

void plain_read(struct reader *reader) {
  bool is_inside = reader->block_count > 0 && !reader->blocks[reader->block_count - 1].is_use;
  if (!is_inside || reader->at < reader->token_count)
    return;
  const uint8_t *begin = lexer_place(reader->lexer);
  struct stretch stretch = {.reader = reader,
                            .text = reader->source->text,
                            .limit = reader->source->text + reader->source->length,
                            .read_to = begin,
                            .last = reader->tokens[reader->at - 1]};
  while (next(&stretch) && property(&stretch))
    ;
  if (stretch.read_to == begin)
    return;
  lexer_pass(reader->lexer, stretch.read_to);
  reader->tokens[reader->token_count++] = stretch.last;
  reader->now = reader->before = reader_token(reader, reader->at);
  reader->now_kind = TOKEN_END;
  reader->at++;
  reader->has_strays = false;
}
