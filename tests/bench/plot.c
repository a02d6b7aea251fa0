/* Two panels on logarithmic axes: time against rows, and against the lines and bends of a contour.
 *
 * Light and plain, for print: black on white, two marks that differ in shape, thin lines of slope 1
 * to compare with. */
#include "bench/bench.h"

#include <math.h>

enum { WIDTH = 760, HEIGHT = 360, TOP = 56, BOTTOM = 300 };

struct panel {
  double left, right;          /* of the picture */
  int x_lo, x_hi, y_lo, y_hi;  /* powers of ten at the edges */
  const char *title, *x_label; /* y is in s */
};

static double x_at(const struct panel *panel, double x) {
  return panel->left +
         (log10(x) - panel->x_lo) / (panel->x_hi - panel->x_lo) * (panel->right - panel->left);
}

static double y_at(const struct panel *panel, double y) {
  return BOTTOM - (log10(y) - panel->y_lo) / (panel->y_hi - panel->y_lo) * (BOTTOM - TOP);
}

/* Powers of ten that hold all of it. */
static void span_of(const double *values, size_t count, int *lo, int *hi) {
  double least = values[0], most = values[0];
  for (size_t i = 1; i < count; i++) {
    least = fmin(least, values[i]);
    most = fmax(most, values[i]);
  }
  *lo = (int)floor(log10(least) + 0.02); /* what is a power but for a few hundredths is one */
  *hi = (int)ceil(log10(most) - 0.02);
  if (*hi == *lo)
    ++*hi;
}

static void put_text(FILE *to, double x, double y, const char *anchor, const char *text) {
  fprintf(to, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">%s</text>\n", x, y, anchor, text);
}

static void put_power(FILE *to, double x, double y, const char *anchor, int power) {
  fprintf(to,
          "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">10<tspan dy=\"-4\" "
          "font-size=\"9\">%d</tspan></text>\n",
          x, y, anchor, power);
}

static void put_axes(FILE *to, const struct panel *panel) {
  for (int power = panel->x_lo; power <= panel->x_hi; power++) {
    double x = x_at(panel, pow(10, power));
    fprintf(to, "<path class=\"grid\" d=\"M%.1f %dV%d\"/>\n", x, TOP, BOTTOM);
    put_power(to, x, BOTTOM + 18, "middle", power);
  }
  for (int power = panel->y_lo; power <= panel->y_hi; power++) {
    double y = y_at(panel, pow(10, power));
    fprintf(to, "<path class=\"grid\" d=\"M%.1f %.1fH%.1f\"/>\n", panel->left, y, panel->right);
    put_power(to, panel->left - 8, y + 4, "end", power);
  }
  fprintf(to, "<path class=\"axis\" d=\"M%.1f %dV%dH%.1f\"/>\n", panel->left, TOP, BOTTOM,
          panel->right);
  fprintf(to, "<text class=\"title\" x=\"%.1f\" y=\"%d\">%s</text>\n", panel->left, TOP - 18,
          panel->title);
  put_text(to, (panel->left + panel->right) / 2, BOTTOM + 40, "middle", panel->x_label);
  fprintf(to,
          "<text transform=\"translate(%.1f %d) rotate(-90)\" text-anchor=\"middle\">"
          "processor time, s</text>\n",
          panel->left - 40, (TOP + BOTTOM) / 2);
}

/* A line of slope 1 through a point, as far as the panel reaches. */
static void put_slope(FILE *to, const struct panel *panel, double x, double y) {
  double factor = y / x, lo = pow(10, panel->x_lo), hi = pow(10, panel->x_hi);
  lo = fmax(lo, pow(10, panel->y_lo) / factor);
  hi = fmin(hi, pow(10, panel->y_hi) / factor);
  fprintf(to, "<path class=\"slope\" d=\"M%.1f %.1fL%.1f %.1f\"/>\n", x_at(panel, lo),
          y_at(panel, lo * factor), x_at(panel, hi), y_at(panel, hi * factor));
}

static void put_series(FILE *to, const struct panel *panel, const struct series *series) {
  fprintf(to, "<path class=\"line\" d=\"");
  for (size_t i = 0; i < series->count; i++)
    fprintf(to, "%c%.1f %.1f", i ? 'L' : 'M', x_at(panel, series->size[i]),
            y_at(panel, series->time[i]));
  fprintf(to, "\"/>\n");
  for (size_t i = 0; i < series->count; i++)
    fprintf(to, "<circle class=\"mark\" cx=\"%.1f\" cy=\"%.1f\" r=\"4\"/>\n",
            x_at(panel, series->size[i]), y_at(panel, series->time[i]));
}

static struct panel panel_of(const struct series *series, double most, double left) {
  struct panel panel = {.left = left, .right = left + 270};
  double times[POINTS_MOST + 1];
  for (size_t i = 0; i < series->count; i++)
    times[i] = series->time[i];
  times[series->count] = most;
  span_of(series->size, series->count, &panel.x_lo, &panel.x_hi);
  span_of(times, series->count + 1, &panel.y_lo, &panel.y_hi);
  return panel;
}

static void put_rows(FILE *to, const struct bench *bench) {
  const struct series *rows = &bench->rows;
  double last = rows->size[rows->count - 1];
  struct panel panel = panel_of(rows, last * bench->loop_row, 80);
  panel.title = "Writing the text stream";
  panel.x_label = "rows";
  put_axes(to, &panel);
  double middle = sqrt(rows->size[0] * last);
  put_slope(to, &panel, last, last * bench->loop_row);
  put_text(to, x_at(&panel, middle) - 6, y_at(&panel, middle * bench->loop_row) - 6, "end",
           "a loop of fprintf");
  put_slope(to, &panel, last, rows->time[rows->count - 1]);
  put_series(to, &panel, rows);
  put_text(to, x_at(&panel, middle) + 8,
           y_at(&panel, middle / last * rows->time[rows->count - 1]) + 18, "start", "borelay");
}

static void put_segments(FILE *to, const struct bench *bench) {
  const struct series *segments = &bench->segments;
  struct panel panel = panel_of(segments, segments->time[0], 460);
  size_t last = segments->count - 1;
  double last_in_proportion = segments->time[0] * segments->size[last] / segments->size[0];
  panel.title = "Checking a job with a drawn cavity";
  panel.x_label = "lines and bends of its contour";
  put_axes(to, &panel);
  put_slope(to, &panel, segments->size[0], segments->time[0]);
  put_text(to, panel.right - 6, y_at(&panel, last_in_proportion) + 40, "end", "in proportion");
  put_text(to, x_at(&panel, segments->size[last]) - 10, y_at(&panel, segments->time[last]) - 2,
           "end", "borelay");
  put_series(to, &panel, segments);
}

bool plot_write(const struct bench *bench, const char *path) {
  FILE *to = fopen(path, "w");
  if (!to)
    return false;
  fprintf(
      to,
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" width=\"%d\" "
      "height=\"%d\" font-family=\"sans-serif\" font-size=\"12\">\n"
      "<title>Time against rows and against segments</title>\n"
      "<desc>Two panels on logarithmic axes. Thin dashed lines have slope 1: time in proportion "
      "to size.</desc>\n"
      "<style>.grid{stroke:#ddd;fill:none}.axis{stroke:#000;fill:none}"
      ".line{stroke:#1f4e79;stroke-width:1.5;fill:none}.mark{fill:#1f4e79}"
      ".slope{stroke:#777;stroke-dasharray:4 3;fill:none}.title{font-size:13px;"
      "font-weight:bold}</style>\n"
      "<rect width=\"%d\" height=\"%d\" fill=\"#fff\"/>\n",
      WIDTH, HEIGHT, WIDTH, HEIGHT, WIDTH, HEIGHT);
  put_rows(to, bench);
  put_segments(to, bench);
  fprintf(to, "</svg>\n");
  return fclose(to) == 0;
}
