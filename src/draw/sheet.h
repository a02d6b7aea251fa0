/* sheet.h - the paper around a drawing: title, axes with their scale, the clipped field, a key. */
#ifndef DRAW_SHEET_H
#define DRAW_SHEET_H

#include "draw/pen.h"

/* Room around the field, em. */
struct sheet_room {
  double left, top, right, bottom;
};
struct sheet {
  const char *class_name; /* "plan" ... beside "drawing" */
  const char *attributes; /* further ones of the root, with a blank before each; "" */
  const char *title, *text;
  struct sheet_room room;
  double columns; /* how many em the whole is wide, or high, by 1.3, where that is more */
};
/* Opens root, title, desc and style; sets em from the field. */
void sheet_open(struct drawing *drawing, const struct sheet *sheet);
/* A title that does not end before x = `until` is set smaller; the paper's edge is drawing->right.
 */
void sheet_title(struct drawing *drawing, const char *title, double until);
/* A line in small letters, the first right under the title, from 0. */
void sheet_line(struct drawing *drawing, int line, const char *text);
void sheet_close(struct drawing *drawing);

/* Round steps: the least of 1, 2, 5 times a power of ten that is >= least. */
double scale_step(double least);
int scale_decimals(double step);

/* Ticks and figures below the field and left of it.  A figure is sign * unit * scale. */
struct tick_scale {
  double scale;  /* figure = user unit / scale */
  double sign;   /* -1 where figures rise against the axis */
  double origin; /* user unit of figure 0 */
  const char *label;
};
void ticks_below(struct drawing *drawing, struct tick_scale scale, bool grid);
void ticks_left(struct drawing *drawing, struct tick_scale scale, bool grid);

void field_open(struct drawing *drawing); /* clipped to the field */
void field_close(struct drawing *drawing);

/* A key below the axes: symbols with words, in rows that do not run out of the paper. */
struct legend {
  double x, y; /* where the next symbol goes */
};
struct legend legend_begin(struct drawing *drawing);
/* symbol: what lies in a box of 2 em by 1 em whose middle is at (0, 0), in em; shape of
 * `kind`. */
enum legend_kind { LEGEND_LINE, LEGEND_WIDE, LEGEND_BOX, LEGEND_START, LEGEND_STOP };
void legend_put(struct drawing *drawing, struct legend *legend, enum legend_kind kind,
                const char *class_name, const char *words);

/* size: about as high as that, user units. */
void start_mark(struct drawing *drawing, double x, double y, double turn_deg, double size);
void stop_mark(struct drawing *drawing, double x, double y, double size);

#endif
