/* json.c - the grid for programs: a line a point, so that no more than one of them is taken apart
 * at a time. */
#include "borelay/json.h"

#include <math.h>
#include <stdlib.h>

#include "grid/figures.h"

static json_t *varies_array(const struct grid *grid) {
  json_t *array = json_array();
  for (size_t i = 0; i < grid->vary_count; i++) {
    json_t *object = json_object(), *values = json_array();
    for (size_t k = 0; k < grid->varies[i].count; k++)
      json_append(values, json_text(grid->varies[i].values[k]));
    json_put(object, "name", json_text(grid->varies[i].name));
    json_put(object, "values", values);
    json_append(array, object);
  }
  return array;
}

static json_t *figure_value(const struct figure *figure) {
  if (isnan(figure->value))
    return json_null();
  return figure->is_count ? json_integer((json_int_t)figure->value) : json_number(figure->value);
}

static json_t *point_object(const struct grid *grid, const struct grid_point *points,
                            size_t index) {
  const struct grid_point *point = &points[index];
  struct figure figures[FIGURE_COUNT];
  json_t *object = json_object(), *params = json_object();
  for (size_t i = 0; i < grid->vary_count; i++)
    json_put(params, grid->varies[i].name, json_text(grid_value(grid, index, i)));
  json_put(object, "params", params);
  json_put(object, "verdict", json_text(point->passed ? "passed" : "failed"));
  json_put(object, "failed", point->passed ? json_null() : json_text(point->failed));
  json_put(object, "why", point->passed ? json_null() : json_text(point->why));
  figures_of(point, figures);
  for (size_t k = 0; k < FIGURE_COUNT; k++)
    json_put(object, figures[k].name, figure_value(&figures[k]));
  json_put(object, "summary", point->summary ? json_loads(point->summary, 0, NULL) : json_null());
  return object;
}

/* Takes the value over. */
static void put_value(json_t *value, FILE *to) {
  char *text =
      json_memory(json_dumps(value, JSON_COMPACT | JSON_ENCODE_ANY | JSON_REAL_PRECISION(12)));
  fputs(text, to);
  free(text);
  json_decref(value);
}

void grid_json(const struct grid *grid, const struct grid_point *points, FILE *to) {
  fputs("{\n\"format\":\"borelay-what-if 1\",\n\"job\":", to);
  put_value(json_text(grid->job), to);
  fputs(",\n\"vary\":", to);
  put_value(varies_array(grid), to);
  fputs(",\n\"points\":[", to);
  for (size_t i = 0; i < grid_points(grid); i++) {
    fputs(i > 0 ? ",\n" : "\n", to);
    put_value(point_object(grid, points, i), to);
  }
  fputs("\n]\n}\n", to);
}
