/* Values in words: messages name what was found and what is wanted. */
#include "resolve/value.h"

#include <stdio.h>
#include <string.h>

#include "resolve/units.h"

const char *value_kind_phrase(enum value_kind kind, int count) {
  switch (kind) {
  case VALUE_BROKEN:
    return "nothing";
  case VALUE_NUMBER:
    return "a single value";
  case VALUE_POINT:
    return count == 3 ? "a point with three coordinates" : "a point with two coordinates";
  case VALUE_RANGE:
    return "a range";
  case VALUE_STRING:
    return "a string";
  }
  return "";
}

/* "a length" -> "lengths", "a value in mm2" -> "values in mm2". */
static void write_plural(const char *phrase, char *text, size_t size) {
  const char *noun = strchr(phrase, ' ') + 1;
  size_t length = strlen(noun);
  if (strncmp(noun, "value ", 6) == 0)
    snprintf(text, size, "values %s", noun + 6);
  else if (noun[length - 1] == 'y')
    snprintf(text, size, "%.*sies", (int)length - 1, noun);
  else
    snprintf(text, size, "%ss", noun);
}

const char *value_phrase(const struct value *value, char text[VALUE_TEXT]) {
  char dimension[DIMENSION_TEXT], plural[DIMENSION_TEXT + 4];
  const char *of = dimension_phrase(value->dimension, dimension);
  write_plural(of, plural, sizeof plural);
  if (value->kind == VALUE_NUMBER)
    snprintf(text, VALUE_TEXT, "%s", of);
  else if (value->kind == VALUE_POINT || value->kind == VALUE_RANGE)
    snprintf(text, VALUE_TEXT, "a %s of %s", value->kind == VALUE_RANGE ? "range" : "point",
             plural);
  else
    snprintf(text, VALUE_TEXT, "%s", value_kind_phrase(value->kind, value->count));
  return text;
}

bool value_equal(const struct value *a, const struct value *b) {
  if (a->kind != b->kind || a->count != b->count || !dimension_equal(a->dimension, b->dimension))
    return false;
  for (int i = 0; i < a->count; i++)
    if (a->x[i] < b->x[i] || a->x[i] > b->x[i])
      return false;
  return a->kind != VALUE_STRING || strcmp(a->text, b->text) == 0;
}

const char *figure_text_in(const char *unit_name, double inside, char text[VALUE_TEXT]) {
  const struct unit *unit = unit_name ? unit_find(unit_name) : NULL;
  if (!unit)
    snprintf(text, VALUE_TEXT, "%.9g", inside);
  else
    snprintf(text, VALUE_TEXT, "%.9g %s", unit_from_inside(unit, inside), unit->name);
  return text;
}

const char *figure_text(struct dimension dimension, double inside, char text[VALUE_TEXT]) {
  for (int i = 0; i < QUANTITY_COUNT; i++)
    if (dimension_is(dimension, (enum quantity)i))
      return figure_text_in(quantity_get((enum quantity)i)->unit, inside, text);
  return figure_text_in(NULL, inside, text);
}
