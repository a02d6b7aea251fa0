/* thickness.c - a raster of the build-up: cells of one level that lie side by side or below one
 * another with the same ends become one rectangle, so that an even wall is a handful of them. */
#include "draw/thickness.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

enum { COLUMNS = 180, ROWS = 64, SAMPLES = 3 /* of a cell, down the depth */ };

static const double LEAST = 0.02;    /* mm: what is thinner is not drawn */
static const double ROUNDING = 1e-6; /* mm: a wall of an even figure stays in one level */

double thickness_step(double most) {
  static const double rounds[] = {1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10};
  double least = fmax(most, 0.1) / THICKNESS_LEVELS, power = 1;
  while (power > least)
    power /= 10;
  while (power * 10 <= least)
    power *= 10;
  size_t i = 0;
  while (rounds[i] * power < least && rounds[i] < 10)
    i++;
  return rounds[i] * power;
}

struct raster {
  signed char level[ROWS][COLUMNS]; /* -1: none */
  double x0, y0, width, height;     /* of the field, mm; and of a cell */
};

static double thickness_in(const struct buildup *buildup, size_t layers, double s, double depth,
                           double height) {
  double sum = 0;
  for (int i = 0; i < SAMPLES; i++)
    sum += buildup_thickness(buildup, layers, s, depth + height * (2 * i + 1) / (2 * SAMPLES));
  return sum / SAMPLES;
}

static void raster_fill(struct raster *raster, const struct buildup *buildup, size_t layers,
                        double step) {
  for (int row = 0; row < ROWS; row++)
    for (int column = 0; column < COLUMNS; column++) {
      double s = raster->x0 + raster->width * (column + 0.5);
      double depth = raster->y0 + raster->height * row;
      double t = thickness_in(buildup, layers, s, depth, raster->height);
      double level = fmin(floor((t + ROUNDING) / step), THICKNESS_LEVELS - 1);
      raster->level[row][column] = (signed char)(t < LEAST ? -1 : level);
    }
}

/* Whether the row holds the same stretch of one level, ending where it ends there. */
static bool goes_on(const struct raster *raster, int row, int from, int to, int level) {
  if (row < 0 || row >= ROWS)
    return false;
  const signed char *cells = raster->level[row];
  if ((from > 0 && cells[from - 1] == level) || (to < COLUMNS && cells[to] == level))
    return false;
  for (int i = from; i < to; i++)
    if (cells[i] != level)
      return false;
  return true;
}

static void stretch_put(struct drawing *drawing, const struct raster *raster, int row, int from,
                        int to, int level) {
  if (goes_on(raster, row - 1, from, to, level))
    return; /* it was drawn from above */
  int rows = 1;
  while (goes_on(raster, row + rows, from, to, level))
    rows++;
  pen(drawing, "M%f %fH%fV%fH%fz", raster->x0 + from * raster->width,
      raster->y0 + row * raster->height, raster->x0 + to * raster->width,
      raster->y0 + (row + rows) * raster->height, raster->x0 + from * raster->width);
}

static void level_put(struct drawing *drawing, const struct raster *raster, int level) {
  pen(drawing, "<path class=\"t%d\" d=\"", level);
  for (int row = 0; row < ROWS; row++)
    for (int from = 0, to; from < COLUMNS; from = to) {
      for (to = from + 1; to < COLUMNS && raster->level[row][to] == raster->level[row][from];)
        to++;
      if (raster->level[row][from] == level)
        stretch_put(drawing, raster, row, from, to, level);
    }
  pen_raw(drawing, "\"/>\n");
}

static bool has_level(const struct raster *raster, int level) {
  return memchr(raster->level, level, sizeof raster->level) != NULL;
}

void thickness_put(struct drawing *drawing, const struct buildup *buildup,
                   const struct plan_overlay *over, size_t layers, double step) {
  double k = drawing->depth_scale;
  struct raster *raster = arena_alloc(drawing->arena, 1, sizeof *raster);
  raster->y0 = drawing->field.y0 / k;
  raster->width = over->contour->perimeter / COLUMNS;
  raster->height = (drawing->field.y1 - drawing->field.y0) / k / ROWS;
  raster_fill(raster, buildup, layers, step);
  for (int level = 0; level < THICKNESS_LEVELS; level++)
    if (has_level(raster, level))
      level_put(drawing, raster, level);
}

static const double LEVEL_WIDE = 2.6; /* em */

double thickness_scale_wide(const struct drawing *drawing) {
  return (THICKNESS_LEVELS * LEVEL_WIDE + 8) * drawing->em;
}

void thickness_scale_put(struct drawing *drawing, double step, double most) {
  double em = drawing->em, wide = LEVEL_WIDE * em, y = drawing->field.y0 - 4.1 * em;
  int last = 0;
  while (last < THICKNESS_LEVELS && last * step < most)
    last++;
  double x = drawing->right - 7 * em - last * wide;
  for (int i = 0; i <= last; i++, x += wide) {
    if (i < last)
      pen(drawing, "<path class=\"t%d\" d=\"M%f %fh%fv%fh%fz\"/>", i, x, y, wide, 0.9 * em, -wide);
    pen(drawing, "<text class=\"small mid\" x=\"%f\" y=\"%f\">%f</text>", x, y + 1.85 * em,
        i * step);
  }
  pen(drawing, "<text class=\"small\" x=\"%f\" y=\"%f\">mm</text>\n", x - wide + 0.5 * em,
      y + 0.75 * em);
}
