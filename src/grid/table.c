/* table.c - the grid for people: a row a point, and why a point was refused below its row. */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/grid.h"
#include "borelay/wrap.h"

enum { WIDTH = 100, INDENT = 4 };

static int value_width(const struct vary *vary) {
  size_t width = strlen(vary->name);
  for (size_t i = 0; i < vary->count; i++)
    width = strlen(vary->values[i]) > width ? strlen(vary->values[i]) : width;
  return (int)width;
}

static int failed_width(const struct grid_point *points, size_t count) {
  size_t width = strlen("failed first");
  for (size_t i = 0; i < count; i++)
    width = strlen(points[i].failed) > width ? strlen(points[i].failed) : width;
  return (int)width;
}

static void print_head(const struct grid *grid, int failed, FILE *to) {
  for (size_t i = 0; i < grid->vary_count; i++)
    fprintf(to, "  %*s", value_width(&grid->varies[i]), grid->varies[i].name);
  fprintf(to, "  %-7s  %-*s %6s %5s %9s %7s %8s %8s %8s\n", "", failed, "failed first", "layers",
          "laps", "thickness", "iron", "heat", "time", "wire");
  for (size_t i = 0; i < grid->vary_count; i++)
    fprintf(to, "  %*s", value_width(&grid->varies[i]), "");
  fprintf(to, "  %-7s  %-*s %6s %5s %9s %7s %8s %8s %8s\n", "", failed, "", "", "", "mm", "%",
          "kJ/mm", "min", "kg");
}

static void print_count(int width, int64_t count, FILE *to) {
  if (count < 0)
    fprintf(to, " %*s", width, "-");
  else
    fprintf(to, " %*" PRId64, width, count);
}

static void print_figure(int width, int digits, double value, FILE *to) {
  if (isnan(value))
    fprintf(to, " %*s", width, "-");
  else
    fprintf(to, " %*.*f", width, digits, value);
}

static void print_row(const struct grid *grid, const struct grid_point *points, size_t index,
                      int failed, FILE *to) {
  const struct grid_point *point = &points[index];
  for (size_t i = 0; i < grid->vary_count; i++)
    fprintf(to, "  %*s", value_width(&grid->varies[i]), grid_value(grid, index, i));
  fprintf(to, "  %-7s  %-*s", point->passed ? "passed" : "refused", failed, point->failed);
  print_count(6, point->layers, to);
  print_count(5, point->laps, to);
  print_figure(9, 3, point->flat, to);
  print_figure(7, 3, 100 * point->iron, to);
  print_figure(8, 4, point->heat_input, to);
  print_figure(8, 2, point->duration / 60, to);
  print_figure(8, 3, point->wire_mass_kg, to);
  fputc('\n', to);
}

/* What the row above was refused for as well is not told again. */
static bool is_told(const struct grid_point *points, size_t index) {
  return index > 0 && strcmp(points[index - 1].why, points[index].why) == 0;
}

static const char CAUTION[] =
    "\nThickness at the valley floors, iron of the last layer, heat input of the hottest; "
    "estimates "
    "from\nthe geometry and the procedures as stated.  Nothing has been run on any machine.  The "
    "qualified\nprocedure, local codes and licensed practice decide.\n";

void grid_print(const struct grid *grid, const struct grid_point *points, FILE *to) {
  size_t count = grid_points(grid), passed = 0;
  int failed = failed_width(points, count);
  for (size_t i = 0; i < count; i++)
    passed += points[i].passed;
  fprintf(to, "%s: %zu of %zu points %s\n\n", grid->job, passed, count,
          passed == 1 ? "passes" : "pass");
  print_head(grid, failed, to);
  for (size_t i = 0; i < count; i++) {
    print_row(grid, points, i, failed, to);
    if (*points[i].why && !is_told(points, i))
      wrap_print(points[i].why, INDENT, WIDTH, to);
  }
  fputs(CAUTION, to);
}
