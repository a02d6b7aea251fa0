/* The comparison for programs: one JSON object (docs/compare.md, "JSON"). */
#include "borelay/json.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/digest.h"
#include "compare/comparison.h"

static json_t *text_or_null(const char *text) {
  return text ? json_text(text) : json_null();
}

/* -- the two sides ----------------------------------------------------------------------------- */

static json_t *errors_array(const struct outcome *outcome) {
  json_t *array = json_array();
  for (size_t i = 0; i < diag_count(outcome->diags); i++) {
    struct diag_view view = diag_view_get(outcome->diags, i);
    if (!view.is_error)
      continue;
    json_t *object = json_object();
    json_put(object, "code", json_text(view.code));
    json_put(object, "message", json_text(view.message));
    json_append(array, object);
  }
  return array;
}

static json_t *side_object(const struct comparison *comparison, int side) {
  const struct compare_side *from = &comparison->sides[side];
  const struct job *job = from->outcome.job;
  json_t *object = json_object();
  json_put(object, "path", json_text(from->path));
  json_put(object, "verdict", json_text(comparison_verdict(comparison, side)));
  if (job) {
    char digest[SHA256_TEXT_SIZE];
    digest_source(from->outcome.sources, job, digest);
    json_put(object, "title", json_text(job->title_text));
    json_put(object, "part", json_text(job->part_text));
    json_put(object, "revision", json_text(job->revision_text));
    json_put(object, "source_sha256", json_text(digest));
  }
  json_put(object, "errors", errors_array(&from->outcome));
  return object;
}

/* -- what is declared -------------------------------------------------------------------------- */

static void put_place(json_t *object, const char *key, const struct outcome *outcome, span at) {
  if (at.file == 0) {
    json_put(object, key, json_null());
    return;
  }
  struct source_place place = source_place_get(outcome->sources, at.file, at.begin);
  json_t *where = json_object();
  json_put(where, "file", json_text(source_get(outcome->sources, at.file)->path));
  json_put(where, "line", json_integer(place.line));
  json_put(where, "column", json_integer(place.column));
  json_put(object, key, where);
}

/* Figures in the unit that was written. */
static json_t *value_object(const char *text, const struct declared_value *value) {
  if (!text)
    return json_null();
  json_t *object = json_object();
  json_put(object, "text", json_text(text));
  if (value && value->count > 0) {
    json_t *figures = json_array();
    for (int i = 0; i < value->count; i++)
      json_append(figures, json_number(declared_written(value->unit, value->x[i])));
    json_put(object, "figures", figures);
    json_put(object, "unit", text_or_null(value->unit));
  }
  return object;
}

static json_t *difference_object(const struct comparison *comparison,
                                 const struct difference *difference) {
  json_t *object = json_object();
  json_put(object, "kind", json_text(difference_kind_name(difference->kind)));
  json_put(object, "path", json_text(difference->path));
  json_put(object, "used", json_boolean(difference->is_used));
  json_put(object, "text", json_text(difference->text));
  json_put(object, "before", value_object(difference->before, difference->value_before));
  json_put(object, "after", value_object(difference->after, difference->value_after));
  json_put(object, "relative", json_number(difference->relative));
  put_place(object, "at_before", &comparison->sides[0].outcome, difference->at_before);
  put_place(object, "at_after", &comparison->sides[1].outcome, difference->at_after);
  return object;
}

/* -- what that does ---------------------------------------------------------------------------- */

static json_t *effect_object(const struct effect *effect) {
  json_t *object = json_object();
  json_put(object, "overlay", text_or_null(effect->overlay));
  json_put(object, "layer", effect->layer > 0 ? json_integer(effect->layer) : json_null());
  json_put(object, "name", json_text(effect->name));
  json_put(object, "unit", json_text(effect->unit));
  json_put(object, "before", json_number(effect->before));
  json_put(object, "after", json_number(effect->after));
  json_put(object, "changed", json_boolean(effect_is_change(effect)));
  return object;
}

static const char *verdict_of(const struct check_result *result) {
  return !result || !result->judged ? "not asked" : result->passed ? "passed" : "failed";
}

static json_t *check_object(const struct check_pair *pair) {
  json_t *object = json_object();
  const struct check_result *one = pair->after ? pair->after : pair->before;
  json_put(object, "name", json_text(one->name));
  json_put(object, "unit", json_text(one->unit));
  json_put(object, "verdict_before", json_text(verdict_of(pair->before)));
  json_put(object, "verdict_after", json_text(verdict_of(pair->after)));
  json_put(object, "margin_before", json_number(pair->margin_before));
  json_put(object, "margin_after", json_number(pair->margin_after));
  json_put(object, "worsening", json_number(pair->worsening));
  json_put(object, "detail_after", json_text(pair->after ? pair->after->detail : ""));
  return object;
}

static void put_effects(json_t *object, const struct comparison *comparison) {
  json_t *effects = json_array(), *checks = json_array();
  for (size_t i = 0; comparison->has_effects && i < comparison->effects.count; i++)
    json_append(effects, effect_object(&comparison->effects.items[i]));
  for (size_t i = 0; comparison->has_effects && i < comparison->check_count; i++)
    json_append(checks, check_object(&comparison->checks[i]));
  json_put(object, "effects", effects);
  json_put(object, "checks", checks);
}

/* -- where on the part ------------------------------------------------------------------------- */

static json_t *range_array(double lo, double hi) {
  json_t *array = json_array();
  json_append(array, json_number(lo));
  json_append(array, json_number(hi));
  return array;
}

static json_t *parts_array(const struct cover_change *change, const struct cover_parts *parts) {
  json_t *array = json_array();
  for (size_t i = 0; i < parts->count; i++) {
    const struct cover_part *part = &parts->items[i];
    struct range angles;
    bool has_angles = cover_part_angles(change, part, &angles);
    json_t *object = json_object();
    json_put(object, "area_mm2", json_number(part->area));
    json_put(object, "depths_mm", range_array(part->depth.lo, part->depth.hi));
    json_put(object, "along_mm", range_array(part->s.lo, part->s.hi));
    json_put(object, "angles_deg", has_angles ? range_array(angles.lo, angles.hi) : json_null());
    json_append(array, object);
  }
  return array;
}

static json_t *cover_object(const struct cover_change *change) {
  json_t *object = json_object();
  json_put(object, "overlay", json_text(change->overlay));
  json_put(object, "layer", json_integer(change->layer));
  json_put(object, "newly_mm2", json_number(change->newly.area));
  json_put(object, "no_longer_mm2", json_number(change->no_longer.area));
  json_put(object, "newly", parts_array(change, &change->newly));
  json_put(object, "no_longer", parts_array(change, &change->no_longer));
  return object;
}

static json_t *zone_object(const struct zone_change *change) {
  json_t *object = json_object();
  json_put(object, "overlay", json_text(change->overlay));
  json_put(object, "zone", json_text(change->zone));
  json_put(object, "before", text_or_null(change->before));
  json_put(object, "after", text_or_null(change->after));
  return object;
}

static json_t *tip_object(const struct tip_apart *tip) {
  if (!tip->apart.is_there)
    return json_null();
  json_t *object = json_object(), *at = json_array();
  json_append(at, json_number(tip->apart.at.x));
  json_append(at, json_number(tip->apart.at.y));
  json_append(at, json_number(tip->apart.at.z));
  json_put(object, "distance_mm", json_number(tip->apart.distance));
  json_put(object, "sure_mm", json_number(APART_SURE));
  json_put(object, "of", json_text(tip->apart.side == 0 ? "before" : "after"));
  json_put(object, "at_part_mm", at);
  json_put(object, "t_s", json_number(tip->apart.t));
  json_put(object, "where", json_text(tip->where));
  return object;
}

static void put_places(json_t *object, const struct comparison *comparison) {
  json_t *covers = json_array(), *zones = json_array(), *tip = json_object();
  for (size_t i = 0; i < comparison->cover_count; i++)
    json_append(covers, cover_object(&comparison->covers[i]));
  for (size_t i = 0; i < comparison->zone_count; i++)
    json_append(zones, zone_object(&comparison->zones[i]));
  json_put(tip, "arc_on", tip_object(&comparison->tip_on));
  json_put(tip, "arc_off", tip_object(&comparison->tip_off));
  json_put(object, "zones", zones);
  json_put(object, "covered", covers);
  json_put(object, "tip", tip);
}

/* -- all --------------------------------------------------------------------------------------- */

char *comparison_json(const struct comparison *comparison) {
  static const char *const RESULTS[] = {"same", "different", "not known"};
  struct arena *arena = arena_new();
  json_t *object = json_object(), *declared = json_array();
  json_put(object, "format", json_text("borelay-comparison 1"));
  json_put(object, "result", json_text(RESULTS[comparison_result(comparison)]));
  json_put(object, "before", side_object(comparison, 0));
  json_put(object, "after", side_object(comparison, 1));
  for (size_t i = 0; i < comparison->differences.count; i++)
    json_append(declared, difference_object(comparison, &comparison->differences.items[i]));
  json_put(object, "declared", declared);
  put_effects(object, comparison);
  put_places(object, comparison);
  json_put(object, "not_compared", text_or_null(effects_missing(comparison, arena)));
  char *text = json_layout(object);
  json_decref(object);
  arena_free(arena);
  return text;
}
