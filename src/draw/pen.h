/* pen.h - the text of a drawing under construction. */
#ifndef DRAW_PEN_H
#define DRAW_PEN_H

#include "borelay/draw.h"

struct drawing {
  struct arena *arena;
  char *text;
  size_t used, room;
  const char *id; /* with the look's prefix */
  bool embedded;
  struct draw_box field; /* user units */
  double em;             /* height of text, user units */
  double top, right;     /* edges of the paper, user units */
  double depth_scale;    /* wall: user units of y to a mm of depth; else 1 */
};

/* Appends a format of our own that the compiler checks as printf's: %s text with XML's own
 * characters escaped, %d an int, %zu, %f a number with two decimals at most, %%.  No widths. */
void pen(struct drawing *drawing, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Text as it is. */
void pen_raw(struct drawing *drawing, const char *text);
void pen_number(struct drawing *drawing, double value, int decimals);

/* A new text with no opening of its own. */
struct drawing *pen_new(struct arena *arena, const char *id, const struct draw_look *look);

#endif
