/* Values of the plainest forms, straight from the text.  Nodes that were made of a value which then
 * turns out to be none of these are left alone: such values are few. */
#include "parse/plain.h"

/* Each of these takes what it names from stretch->at on; NULL: it is not that, or not plain. */

static struct syn_expr *name(struct stretch *stretch) {
  struct token token = plain_word(stretch);
  return token.kind == TOKEN_NAME ? expr_text(stretch->reader, SYN_NAME, &token) : NULL;
}

struct token plain_string(struct stretch *stretch) {
  struct token token = {.kind = 0};
  const uint8_t *begin = stretch->at, *end = begin + 1;
  while (*end != '"' && *end != '\\' && *end != '\n' && *end != '\0')
    end++;
  if (*begin != '"' || *end != '"')
    return token;
  stretch->at = end + 1;
  token = (struct token){.kind = TOKEN_STRING, .at = span_of(stretch, begin, end + 1)};
  token.text =
      arena_text(stretch->reader->arena, (const char *)begin + 1, (size_t)(end - begin - 1));
  return token;
}

static struct syn_expr *string(struct stretch *stretch) {
  struct token token = plain_string(stretch);
  return token.kind == TOKEN_STRING ? expr_text(stretch->reader, SYN_STRING, &token) : NULL;
}

/* -- numbers ------------------------------------------------------------------------------- */

/* Takes a unit, and blanks before one; NULL: there is none. */
static const char *unit(struct stretch *stretch) {
  return unit_scan(skip_blanks(stretch->at), &stretch->at);
}

static struct syn_expr *number(struct stretch *stretch) {
  double read;
  const uint8_t *begin = stretch->at, *end = number_scan(begin, &read);
  if (!end)
    return NULL;
  stretch->at = end;
  const char *behind = unit(stretch);
  struct syn_expr *made = arena_alloc(stretch->reader->arena, 1, sizeof *made);
  *made = (struct syn_expr){.at = span_of(stretch, begin, stretch->at),
                            .kind = SYN_NUMBER,
                            .number = read,
                            .unit = behind};
  return made;
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
                    arena_copy(arena, coordinates, count, count, sizeof *coordinates), count);
  made->unit = of_all;
  return made;
}

struct syn_expr *plain_value(struct stretch *stretch) {
  uint8_t first = *stretch->at;
  if (first >= 'a' && first <= 'z')
    return name(stretch);
  if (first == '"')
    return string(stretch);
  return first == '(' ? point(stretch) : range(stretch);
}
