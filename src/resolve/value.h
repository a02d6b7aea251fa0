/* value.h - what an expression comes to. */
#ifndef RESOLVE_VALUE_H
#define RESOLVE_VALUE_H

#include "borelay/source.h"
#include "resolve/dimension.h"

enum value_kind {
  VALUE_BROKEN, /* its error was told; whoever meets it says nothing more */
  VALUE_NUMBER,
  VALUE_POINT,
  VALUE_RANGE,
  VALUE_STRING
};

/* x: a number, two or three coordinates, or both ends of a range, in base units. */
struct value {
  enum value_kind kind;
  struct dimension dimension;
  int count; /* of x */
  double x[3];
  const char *text; /* a string, escapes resolved */
  const char *raw;  /* the same as written between its quotes */
  span at;
};

/* "a length", "a point of lengths", "a range of speeds", "a string" */
enum { VALUE_TEXT = DIMENSION_TEXT + 32 };
const char *value_phrase(const struct value *value, char text[VALUE_TEXT]);
const char *value_kind_phrase(enum value_kind kind, int count);
bool value_equal(const struct value *a, const struct value *b);

/* A figure with the usual unit of its dimension, "12.5 mm", for messages. */
const char *figure_text(struct dimension dimension, double inside, char text[VALUE_TEXT]);
const char *figure_text_in(const char *unit, double inside, char text[VALUE_TEXT]);

#endif
