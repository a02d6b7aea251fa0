/* json.c - the grid for programs. */
#include "borelay/json.h"

#include <math.h>

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
  return object;
}

char *grid_json(const struct grid *grid, const struct grid_point *points) {
  json_t *object = json_object(), *array = json_array();
  for (size_t i = 0; i < grid_points(grid); i++)
    json_append(array, point_object(grid, points, i));
  json_put(object, "format", json_text("borelay-what-if 1"));
  json_put(object, "job", json_text(grid->job));
  json_put(object, "vary", varies_array(grid));
  json_put(object, "points", array);
  char *text = json_layout(object);
  json_decref(object);
  return text;
}
