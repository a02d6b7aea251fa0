/* sheet.c - one layout for all drawings, measured in em. */
#include "draw/sheet.h"

#include <math.h>
#include <string.h>

static const double PAPER_WIDTH = 180;  /* mm: A4 between its margins */
static const double EM_MOST = 3.2;      /* mm, of a drawing by itself */
static const double LETTER = 0.56;      /* em, of a plain letter on the mean */
static const double BOLD_LETTER = 0.66; /* em */
static const double LEAST_COLUMNS = 36; /* em: words beside a narrow field find room too */

static struct draw_box paper_of(const struct drawing *drawing, const struct sheet_room *room) {
  struct draw_box f = drawing->field;
  double em = drawing->em, left = f.x0 - room->left * em;
  return (struct draw_box){left, f.y0 - room->top * em,
                           fmax(f.x1 + room->right * em, left + LEAST_COLUMNS * em),
                           f.y1 + room->bottom * em};
}

void sheet_open(struct drawing *drawing, const struct sheet *sheet) {
  struct draw_box f = drawing->field;
  const struct sheet_room *room = &sheet->room;
  double wide = (f.x1 - f.x0) / (sheet->columns - room->left - room->right);
  double high = (f.y1 - f.y0) / (1.3 * sheet->columns - room->top - room->bottom);
  drawing->em = fmax(wide, high);
  struct draw_box p = paper_of(drawing, room);
  double width = p.x1 - p.x0, height = p.y1 - p.y0;
  drawing->top = p.y0;
  drawing->right = p.x1;
  pen(drawing, "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing %s\" id=\"%s\"",
      sheet->class_name, drawing->id);
  pen_raw(drawing, sheet->attributes);
  pen(drawing, " viewBox=\"%f %f %f %f\" font-size=\"%f\"", p.x0, p.y0, width, height, drawing->em);
  if (!drawing->embedded) {
    double scale = fmin(PAPER_WIDTH / sheet->columns, EM_MOST) / drawing->em;
    pen(drawing, " width=\"%fmm\" height=\"%fmm\"", width * scale, height * scale);
  }
  pen(drawing, " role=\"img\">\n<title>%s</title>\n<desc>%s</desc>\n", sheet->title, sheet->text);
  if (!drawing->embedded) {
    pen_raw(drawing, "<style>");
    pen_raw(drawing, draw_style(drawing->arena));
    pen_raw(drawing, "</style>\n");
    pen(drawing, "<rect class=\"paper\" x=\"%f\" y=\"%f\" width=\"%f\" height=\"%f\"/>\n", p.x0,
        p.y0, width, height);
  }
}

void sheet_title(struct drawing *drawing, const char *title, double until) {
  double em = drawing->em, x = drawing->field.x0;
  double size = fmin(em, (until - x) / (BOLD_LETTER * (double)strlen(title)));
  pen(drawing, "<text class=\"head-line\" x=\"%f\" y=\"%f\"", x, drawing->top + 1.5 * em);
  if (size < em)
    pen(drawing, " font-size=\"%f\"", size);
  pen(drawing, ">%s</text>\n", title);
}

void sheet_line(struct drawing *drawing, int line, const char *text) {
  double small = 0.8 * drawing->em, room = drawing->right - drawing->field.x0;
  double size = room / (LETTER * (double)(strlen(text) + 1));
  pen(drawing, "<text class=\"small\" x=\"%f\" y=\"%f\"", drawing->field.x0,
      drawing->top + (2.7 + 1.2 * line) * drawing->em);
  if (size < small)
    pen(drawing, " style=\"font-size:%fpx\"", size);
  pen(drawing, ">%s</text>\n", text);
}

void sheet_close(struct drawing *drawing) {
  pen_raw(drawing, "</svg>\n");
}

void drawing_group(struct drawing *drawing, const char *class_name) {
  pen(drawing, "<g class=\"%s\">\n", class_name);
}

void drawing_group_end(struct drawing *drawing) {
  pen_raw(drawing, "</g>\n");
}

struct draw_box draw_box_join(struct draw_box a, struct draw_box b) {
  return (struct draw_box){fmin(a.x0, b.x0), fmin(a.y0, b.y0), fmax(a.x1, b.x1), fmax(a.y1, b.y1)};
}

/* -- scale ----------------------------------------------------------------------------------- */

double scale_step(double least) {
  double power = 1;
  while (power > least)
    power /= 10;
  while (power * 10 <= least)
    power *= 10;
  return power >= least       ? power
         : 2 * power >= least ? 2 * power
         : 5 * power >= least ? 5 * power
                              : 10 * power;
}

int scale_decimals(double step) {
  return step >= 1 ? 0 : step >= 0.1 ? 1 : step >= 0.01 ? 2 : 3;
}

static void tick_figure(struct drawing *drawing, double figure, double step) {
  pen_number(drawing, figure, scale_decimals(step));
}

void ticks_below(struct drawing *drawing, struct tick_scale scale, bool grid) {
  struct draw_box f = drawing->field;
  double em = drawing->em, step = scale_step(4.2 * em / scale.scale);
  double a = scale.sign * (f.x0 - scale.origin) / scale.scale;
  double b = scale.sign * (f.x1 - scale.origin) / scale.scale;
  double first = ceil(fmin(a, b) / step - 1e-9), last = floor(fmax(a, b) / step + 1e-9);
  pen(drawing, "<g class=\"ticks\"><path class=\"tick\" d=\"");
  for (double i = first; i <= last; i++)
    pen(drawing, "M%f %fv%f", scale.origin + scale.sign * i * step * scale.scale, f.y1, 0.4 * em);
  pen_raw(drawing, "\"/>\n");
  if (grid) {
    pen_raw(drawing, "<path class=\"grid\" d=\"");
    for (double i = first; i <= last; i++)
      pen(drawing, "M%f %fV%f", scale.origin + scale.sign * i * step * scale.scale, f.y0, f.y1);
    pen_raw(drawing, "\"/>\n");
  }
  for (double i = first; i <= last; i++) {
    pen(drawing, "<text class=\"small mid\" x=\"%f\" y=\"%f\">",
        scale.origin + scale.sign * i * step * scale.scale, f.y1 + 1.35 * em);
    tick_figure(drawing, i * step, step);
    pen_raw(drawing, "</text>");
  }
  /* At the right end, or from the left where it is longer than the field is wide. */
  bool fits = 0.8 * LETTER * (double)strlen(scale.label) * em <= f.x1 - f.x0;
  pen(drawing, "\n<text class=\"small%s\" x=\"%f\" y=\"%f\">%s</text></g>\n", fits ? " end" : "",
      fits ? f.x1 : f.x0, f.y1 + 2.4 * em, scale.label);
}

void ticks_left(struct drawing *drawing, struct tick_scale scale, bool grid) {
  struct draw_box f = drawing->field;
  double em = drawing->em, step = scale_step(1.8 * em / scale.scale);
  double a = scale.sign * (f.y0 - scale.origin) / scale.scale;
  double b = scale.sign * (f.y1 - scale.origin) / scale.scale;
  double first = ceil(fmin(a, b) / step - 1e-9), last = floor(fmax(a, b) / step + 1e-9);
  pen(drawing, "<g class=\"ticks\"><path class=\"tick\" d=\"");
  for (double i = first; i <= last; i++)
    pen(drawing, "M%f %fh%f", f.x0, scale.origin + scale.sign * i * step * scale.scale, -0.4 * em);
  pen_raw(drawing, "\"/>\n");
  if (grid) {
    pen_raw(drawing, "<path class=\"grid\" d=\"");
    for (double i = first; i <= last; i++)
      pen(drawing, "M%f %fH%f", f.x0, scale.origin + scale.sign * i * step * scale.scale, f.x1);
    pen_raw(drawing, "\"/>\n");
  }
  for (double i = first; i <= last; i++) {
    pen(drawing, "<text class=\"small end\" x=\"%f\" y=\"%f\">", f.x0 - 0.6 * em,
        scale.origin + scale.sign * i * step * scale.scale + 0.3 * em);
    tick_figure(drawing, i * step, step);
    pen_raw(drawing, "</text>");
  }
  double y = (f.y0 + f.y1) / 2, x = f.x0 - 4.2 * em;
  pen(drawing,
      "\n<text class=\"small mid\" transform=\"translate(%f %f)rotate(-90)\">%s</text></g>\n", x, y,
      scale.label);
}

void field_open(struct drawing *drawing) {
  struct draw_box f = drawing->field;
  pen(drawing,
      "<svg class=\"field\" x=\"%f\" y=\"%f\" width=\"%f\" height=\"%f\" viewBox=\"%f %f %f "
      "%f\">\n",
      f.x0, f.y0, f.x1 - f.x0, f.y1 - f.y0, f.x0, f.y0, f.x1 - f.x0, f.y1 - f.y0);
}

void field_close(struct drawing *drawing) {
  struct draw_box f = drawing->field;
  pen(drawing, "</svg>\n<rect class=\"frame\" x=\"%f\" y=\"%f\" width=\"%f\" height=\"%f\"/>\n",
      f.x0, f.y0, f.x1 - f.x0, f.y1 - f.y0);
}

/* -- key and marks --------------------------------------------------------------------------- */

struct legend legend_begin(struct drawing *drawing) {
  return (struct legend){drawing->field.x0, drawing->field.y1 + 4.1 * drawing->em};
}

void legend_put(struct drawing *drawing, struct legend *legend, enum legend_kind kind,
                const char *class_name, const char *words) {
  double em = drawing->em, width = (3.4 + 0.8 * LETTER * (double)strlen(words)) * em;
  if (legend->x > drawing->field.x0 && legend->x + width > drawing->right) {
    legend->x = drawing->field.x0;
    legend->y += 1.5 * em;
  }
  double x = legend->x, y = legend->y - 0.3 * em;
  switch (kind) {
  case LEGEND_LINE:
    pen(drawing, "<path class=\"%s\" d=\"M%f %fh%f\"/>", class_name, x, y, 1.8 * em);
    break;
  case LEGEND_WIDE:
    pen(drawing, "<path class=\"%s\" stroke-width=\"%f\" d=\"M%f %fh%f\"/>", class_name, 0.9 * em,
        x, y, 1.8 * em);
    break;
  case LEGEND_BOX:
    pen(drawing, "<path class=\"%s\" d=\"M%f %fh%fv%fh%fz\"/>", class_name, x, y - 0.45 * em,
        1.8 * em, 0.9 * em, -1.8 * em);
    break;
  case LEGEND_START:
    start_mark(drawing, x + 0.9 * em, y, 0, em);
    break;
  case LEGEND_STOP:
    stop_mark(drawing, x + 0.9 * em, y, em);
    break;
  }
  pen(drawing, "<text class=\"small\" x=\"%f\" y=\"%f\">%s</text>\n", x + 2.2 * em, legend->y,
      words);
  legend->x += width;
}

void start_mark(struct drawing *drawing, double x, double y, double turn_deg, double size) {
  pen(drawing,
      "<path class=\"start\" transform=\"translate(%f %f)rotate(%f)\" d=\"M%f %fL%f 0L%f %fz\"/>",
      x, y, turn_deg, -0.45 * size, -0.45 * size, 0.55 * size, -0.45 * size, 0.45 * size);
}

void stop_mark(struct drawing *drawing, double x, double y, double size) {
  pen(drawing, "<path class=\"stop\" d=\"M%f %fh%fv%fh%fz\"/>", x - 0.35 * size, y - 0.35 * size,
      0.7 * size, 0.7 * size, -0.7 * size);
}
