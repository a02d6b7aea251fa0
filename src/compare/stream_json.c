/* Two streams compared, for programs (docs/compare.md, "Streams"). */
#include "borelay/arena.h"
#include "borelay/json.h"
#include "borelay/motion.h"
#include "compare/streams.h"

static json_t *text_or_null(const char *text) {
  return text ? json_text(text) : json_null();
}

static json_t *side_object(const struct stream_side *side) {
  json_t *object = json_object();
  json_put(object, "path", json_text(side->path));
  json_put(object, "mode", json_text(mode_name((enum stream_mode)side->header.mode)));
  json_put(object, "rows", json_integer((json_int_t)side->header.rows));
  json_put(object, "tick_s", json_number(side->header.tick_us * 1e-6));
  json_put(object, "duration_s", json_number((double)side->header.duration_us * 1e-6));
  return object;
}

static json_t *lines_array(const struct streams *streams) {
  json_t *array = json_array();
  for (size_t i = 0; i < streams->line_count; i++) {
    json_t *object = json_object();
    json_put(object, "key", json_text(streams->lines[i].key));
    json_put(object, "before", text_or_null(streams->lines[i].before));
    json_put(object, "after", text_or_null(streams->lines[i].after));
    json_append(array, object);
  }
  return array;
}

static json_t *columns_array(const struct streams *streams) {
  json_t *array = json_array();
  for (int i = 0; i < COLUMN_COUNT; i++) {
    const struct column_change *change = &streams->columns[i];
    if (change->rows == 0)
      continue;
    json_t *object = json_object();
    json_put(object, "column", json_text(COLUMNS[i].name));
    json_put(object, "rows", json_integer((json_int_t)change->rows));
    json_put(object, "first_row", json_integer((json_int_t)change->first));
    json_put(object, "largest", COLUMNS[i].unit ? json_number(change->largest) : json_null());
    json_put(object, "largest_row",
             COLUMNS[i].unit ? json_integer((json_int_t)change->largest_row) : json_null());
    json_append(array, object);
  }
  return array;
}

static json_t *stretch_side(const struct row_stretch *stretch) {
  if (!stretch)
    return json_null();
  json_t *object = json_object();
  json_put(object, "first_row", json_integer((json_int_t)stretch->first));
  json_put(object, "rows", json_integer((json_int_t)stretch->count));
  return object;
}

static json_t *stretches_array(const struct streams *streams) {
  json_t *array = json_array();
  for (size_t i = 0; i < streams->stretch_count; i++) {
    const struct stretch_change *change = &streams->stretches[i];
    const struct row_stretch *one = change->after ? change->after : change->before;
    json_t *object = json_object();
    json_put(object, "overlay", json_integer(one->overlay));
    json_put(object, "layer", json_integer(one->layer));
    json_put(object, "lap", json_integer(one->lap));
    json_put(object, "phase", json_text(phase_name((enum phase_kind)one->phase)));
    json_put(object, "before", stretch_side(change->before));
    json_put(object, "after", stretch_side(change->after));
    json_append(array, object);
  }
  return array;
}

static json_t *tip_object(const struct apart *apart) {
  if (!apart->is_there)
    return json_null();
  json_t *object = json_object(), *at = json_array();
  json_append(at, json_number(apart->at.x));
  json_append(at, json_number(apart->at.y));
  json_append(at, json_number(apart->at.z));
  json_put(object, "distance_mm", json_number(apart->distance));
  json_put(object, "sure_mm", json_number(APART_SURE));
  json_put(object, "of", json_text(apart->side == 0 ? "before" : "after"));
  json_put(object, "at_part_mm", at);
  json_put(object, "t_s", json_number(apart->t));
  return object;
}

char *streams_json(const struct streams *streams) {
  json_t *object = json_object(), *tip = json_object();
  json_put(object, "format", json_text("borelay-stream-comparison 1"));
  json_put(object, "result", json_text(streams_are_same(streams) ? "same" : "different"));
  json_put(object, "acts_the_same", json_boolean(streams_act_same(streams)));
  json_put(object, "before", side_object(&streams->sides[0]));
  json_put(object, "after", side_object(&streams->sides[1]));
  json_put(object, "header", lines_array(streams));
  json_put(object, "rows_compared", json_integer((json_int_t)streams->rows_compared));
  json_put(object, "rows_differ", json_integer((json_int_t)streams->rows_differ));
  json_put(object, "columns", columns_array(streams));
  json_put(object, "stretches", stretches_array(streams));
  json_put(tip, "arc_on", tip_object(&streams->tip_on));
  json_put(tip, "arc_off", tip_object(&streams->tip_off));
  json_put(object, "tip", tip);
  char *text = json_layout(object);
  json_decref(object);
  return text;
}
