/* vary.c - the values that a param takes. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/grid.h"

static const char FORMS[] = "NAME=lo..hi:n or NAME=a,b,c";

/* -- from lo to hi ------------------------------------------------------------------------------
 */

/* A number as written, and the unit behind it. */
struct written {
  double value;
  const char *number, *unit; /* texts */
};

/* Signs and digits as the language has them: no plus, digits on both sides of a point. */
static size_t number_length(const char *text) {
  size_t sign = *text == '-', whole = strspn(text + sign, "0123456789"), length = sign + whole;
  if (whole == 0)
    return 0;
  size_t part = text[length] == '.' ? strspn(text + length + 1, "0123456789") : 0;
  length += part > 0 ? 1 + part : 0;
  if (text[length] == 'e') {
    size_t exponent_sign = text[length + 1] == '-';
    size_t digits = strspn(text + length + 1 + exponent_sign, "0123456789");
    length += digits > 0 ? 1 + exponent_sign + digits : 0;
  }
  return length;
}

static bool written_read(struct arena *arena, const char *text, size_t length,
                         struct written *out) {
  const char *copy = arena_text(arena, text, length);
  copy += strspn(copy, " ");
  size_t digits = number_length(copy);
  const char *unit = copy + digits + strspn(copy + digits, " ");
  size_t unit_length = strlen(unit);
  while (unit_length > 0 && unit[unit_length - 1] == ' ')
    unit_length--;
  out->number = arena_text(arena, copy, digits);
  out->unit = arena_text(arena, unit, unit_length);
  out->value = strtod(out->number, NULL);
  return digits > 0 && isfinite(out->value) && !strpbrk(out->unit, "()[]\", ");
}

/* Twelve digits: what stands between two ends is not written down any finer. */
static const char *value_between(struct arena *arena, const struct written *lo,
                                 const struct written *hi, size_t i, size_t count) {
  if (i == 0 || i + 1 == count)
    return arena_format(arena, "%s%s", i == 0 ? lo->number : hi->number, hi->unit);
  double share = (double)i / (double)(count - 1);
  double value = lo->value + (hi->value - lo->value) * share;
  return arena_format(arena, "%.12g%s", value, hi->unit);
}

static bool count_read(const char *text, size_t *count) {
  size_t length = strlen(text);
  *count = (size_t)strtoull(text, NULL, 10);
  return length > 0 && length < 10 && strspn(text, "0123456789") == length && *count >= 1;
}

static bool steps_read(struct arena *arena, const char *text, const char *dots, const char *colon,
                       struct vary *vary, const char **why) {
  struct written lo = {.unit = "", .number = ""}, hi = lo;
  if (!count_read(colon + 1, &vary->count))
    *why = arena_format(arena, "`%s` is no count of values", colon + 1);
  else if (!written_read(arena, text, (size_t)(dots - text), &lo) ||
           !written_read(arena, dots + 2, (size_t)(colon - dots - 2), &hi))
    *why = arena_format(arena, "`%.*s` does not go from one number to another", (int)(colon - text),
                        text);
  else if (*lo.unit && strcmp(lo.unit, hi.unit) != 0)
    *why = arena_format(arena, "the ends have two units, %s and %s", lo.unit,
                        *hi.unit ? hi.unit : "none");
  else if (vary->count == 1 && lo.value != hi.value)
    *why = arena_format(arena, "one value is written %s=%s%s", vary->name, lo.number, hi.unit);
  else if (vary->count > GRID_POINTS_MOST)
    *why = arena_format(arena, "%zu values are more than %d points", vary->count, GRID_POINTS_MOST);
  if (*why)
    return false;
  vary->values = arena_alloc(arena, vary->count, sizeof *vary->values);
  for (size_t i = 0; i < vary->count; i++)
    vary->values[i] = value_between(arena, &lo, &hi, i, vary->count);
  return true;
}

/* -- one by one ---------------------------------------------------------------------------------
 */

/* Where a value of a list ends: at a comma that is in no bracket and no string. */
static size_t item_length(const char *text) {
  size_t length = 0;
  int depth = 0;
  for (bool quoted = false; text[length]; length++) {
    char c = text[length];
    if (quoted && c == '\\' && text[length + 1])
      length++;
    else if (c == '"')
      quoted = !quoted;
    else if (!quoted && (c == '(' || c == '['))
      depth++;
    else if (!quoted && (c == ')' || c == ']'))
      depth--;
    else if (!quoted && c == ',' && depth <= 0)
      break;
  }
  return length;
}

static bool list_read(struct arena *arena, const char *text, struct vary *vary, const char **why) {
  vary->count = 0;
  vary->values = arena_alloc(arena, strlen(text) + 1, sizeof *vary->values);
  for (const char *at = text;; at++) {
    size_t length = item_length(at), blanks = strspn(at, " ");
    if (blanks >= length) {
      *why = arena_format(arena, "a value is missing; write %s", FORMS);
      return false;
    }
    vary->values[vary->count++] = arena_text(arena, at + blanks, length - blanks);
    at += length;
    if (!*at)
      return true;
  }
}

/* -- either -------------------------------------------------------------------------------------
 */

bool vary_read(struct arena *arena, const char *text, struct vary *vary, const char **why) {
  const char *equals = strchr(text, '=');
  *why = NULL;
  *vary = (struct vary){0};
  if (!equals || equals == text) {
    *why = arena_format(arena, "write %s", FORMS);
    return false;
  }
  vary->name = arena_text(arena, text, (size_t)(equals - text));
  const char *values = equals + 1, *dots = *values == '"' ? NULL : strstr(values, "..");
  const char *colon = dots && values[item_length(values)] == '\0' ? strrchr(dots, ':') : NULL;
  if (colon)
    return steps_read(arena, values, dots, colon, vary, why);
  if (dots && values[item_length(values)] == '\0') {
    *why = arena_format(arena, "how many values? write %s=%s:n", vary->name, values);
    return false;
  }
  return list_read(arena, values, vary, why);
}

size_t grid_points(const struct grid *grid) {
  size_t points = 1;
  for (size_t i = 0; i < grid->vary_count; i++) {
    if (points > SIZE_MAX / grid->varies[i].count)
      return SIZE_MAX;
    points *= grid->varies[i].count;
  }
  return points;
}

const char *grid_value(const struct grid *grid, size_t point, size_t vary) {
  for (size_t i = grid->vary_count - 1; i > vary; i--)
    point /= grid->varies[i].count;
  const struct vary *of = &grid->varies[vary];
  return of->values[point % of->count];
}
