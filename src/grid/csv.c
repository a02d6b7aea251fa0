/* csv.c - the grid as CSV (RFC 4180): a header, a line a point, LF line ends as in streams. */
#include <math.h>
#include <string.h>

#include "grid/figures.h"

static void put_text(const char *text, FILE *to) {
  if (!text[strcspn(text, ",\"\n\r")]) {
    fputs(text, to);
    return;
  }
  fputc('"', to);
  for (; *text; text++) {
    if (*text == '"')
      fputc('"', to);
    fputc(*text, to);
  }
  fputc('"', to);
}

static void put_figure(const struct figure *figure, FILE *to) {
  if (!isnan(figure->value))
    fprintf(to, "%.*g", figure->is_count ? 17 : 12, figure->value);
  fputc(',', to);
}

void grid_csv(const struct grid *grid, const struct grid_point *points, FILE *to) {
  struct figure figures[FIGURE_COUNT];
  for (size_t i = 0; i < grid->vary_count; i++) {
    put_text(grid->varies[i].name, to);
    fputc(',', to);
  }
  fputs("verdict,failed,", to);
  figures_of(&points[0], figures);
  for (size_t k = 0; k < FIGURE_COUNT; k++)
    fprintf(to, "%s,", figures[k].name);
  fputs("why\n", to);
  for (size_t point = 0; point < grid_points(grid); point++) {
    for (size_t i = 0; i < grid->vary_count; i++) {
      put_text(grid_value(grid, point, i), to);
      fputc(',', to);
    }
    fprintf(to, "%s,%s,", points[point].passed ? "passed" : "failed", points[point].failed);
    figures_of(&points[point], figures);
    for (size_t k = 0; k < FIGURE_COUNT; k++)
      put_figure(&figures[k], to);
    put_text(points[point].why, to);
    fputc('\n', to);
  }
}
