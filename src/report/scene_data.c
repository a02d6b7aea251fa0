/* scene_data.c - what the head moves in: walls, volumes, layers, zones, and the head itself. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/buildup.h"
#include "borelay/draw.h"
#include "borelay/json.h"
#include "borelay/num.h"
#include "report/parts.h"

static json_t *numbers(const double *values, size_t count) {
  json_t *array = json_array();
  for (size_t i = 0; i < count; i++)
    json_append(array, json_number(values[i]));
  return array;
}

static json_t *point(vec3 at) {
  return numbers((double[]){at.x, at.y, at.z}, 3);
}

static json_t *range_array(struct range range) {
  return numbers((double[]){range.lo, range.hi}, 2);
}

/* -- the head -------------------------------------------------------------------------------- */

static json_t *capsule_object(const struct capsule *capsule, const char *name) {
  json_t *object = json_object();
  json_put(object, "name", json_text(name));
  json_put(object, "radius", json_number(capsule->radius));
  json_put(object, "from", point(capsule->from));
  json_put(object, "to", point(capsule->to));
  return object;
}

static json_t *capsules_array(const struct cell *cell) {
  json_t *array = json_array();
  json_append(array, capsule_object(&cell->torch, "torch"));
  for (size_t i = 0; i < cell->guard_count; i++)
    json_append(array, capsule_object(&cell->guards[i], cell->guards[i].name));
  return array;
}

static json_t *bodies_array(const struct cell *cell) {
  json_t *array = json_array();
  for (size_t i = 0; i < cell->body_count; i++) {
    const struct body *body = &cell->bodies[i];
    json_t *object = json_object();
    json_put(object, "name", json_text(body->name));
    json_put(object, "radius", json_number(body->radius));
    json_put(object, "heights", range_array(body->heights));
    json_append(array, object);
  }
  return array;
}

static json_t *axes_array(const struct cell *cell) {
  static const char *const names[AXIS_COUNT] = {"x", "y", "z", "head"};
  json_t *array = json_array();
  for (int i = 0; i < AXIS_COUNT; i++) {
    const struct axis_limits *limits = &cell->axis[i];
    json_t *object = json_object();
    json_put(object, "name", json_text(names[i]));
    json_put(object, "speed", json_number(limits->speed));
    json_put(object, "accel", json_number(limits->accel));
    json_append(array, object);
  }
  return array;
}

static json_t *head_object(const struct cell *cell) {
  json_t *object = json_object();
  json_put(object, "reach", json_number(cell->reach));
  json_put(object, "drop", json_number(cell->drop));
  json_put(object, "bodies", bodies_array(cell));
  json_put(object, "capsules", capsules_array(cell));
  json_put(object, "electrode_from", point(cell->electrode_from));
  json_put(object, "electrode_to", point(cell->electrode_to));
  return object;
}

/* -- walls ----------------------------------------------------------------------------------- */

/* s0, length, start x y, normal's angle, turn, radius, centre x y, tangent x y */
static json_t *contour_object(const struct contour *contour) {
  json_t *segs = json_array();
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double values[] = {seg->s0,
                       seg->length,
                       seg->start.x,
                       seg->start.y,
                       seg->normal0,
                       seg->turn,
                       seg->radius,
                       seg->turn ? seg->centre.x : 0,
                       seg->turn ? seg->centre.y : 0,
                       seg->tangent.x,
                       seg->tangent.y};
    json_append(segs, numbers(values, sizeof values / sizeof values[0]));
  }
  json_t *object = json_object();
  json_put(object, "name", json_text(contour->shape->name));
  json_put(object, "perimeter", json_number(contour->perimeter));
  json_put(object, "centre", numbers((double[]){contour->centre.x, contour->centre.y}, 2));
  json_put(object, "segs", segs);
  return object;
}

static json_t *volumes_array(const struct plan *plan) {
  const struct envelope *envelope = plan->job->envelope;
  json_t *array = json_array();
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    json_t *object = json_object();
    json_put(object, "free", json_boolean(volume->is_free));
    json_put(object, "depths", range_array(volume->depths));
    json_put(object, "contour", contour_object(plan->volume_contours[i]));
    json_append(array, object);
  }
  return array;
}

/* -- overlays -------------------------------------------------------------------------------- */

/* Of the clad up to and with layer k, on each segment of the wall. */
static json_t *clad_array(const struct plan_overlay *overlay, size_t layers) {
  json_t *array = json_array();
  for (size_t i = 0; i < overlay->contour->count; i++)
    json_append(array, json_number(plan_clad_true(overlay, layers, &overlay->contour->segs[i])));
  return array;
}

static json_t *layer_object(const struct plan_overlay *overlay, size_t k) {
  const struct plan_layer *layer = &overlay->layers[k];
  json_t *object = json_object();
  json_put(object, "depths", range_array(layer->layer->depths));
  json_put(object, "clad", clad_array(overlay, k + 1));
  return object;
}

/* Depth, least and mean thickness round the wall after all layers, and at the valley floors as
 * checked, from edge to edge.  For a chart: looked at in places. */
enum { PROFILE_DEPTHS = 160, PROFILE_PLACES = 48 };

static json_t *profile_array(struct arena *arena, const struct outcome *outcome, size_t overlay) {
  const struct buildup *buildup = buildup_make(arena, outcome->motion, overlay);
  size_t layers = buildup_layer_count(buildup);
  const struct plan_overlay *plan = &outcome->plan->overlays[overlay];
  struct range band = plan->overlay->layers[0].depths;
  for (size_t k = 1; k < layers; k++) {
    band.lo = fmin(band.lo, plan->overlay->layers[k].depths.lo);
    band.hi = fmax(band.hi, plan->overlay->layers[k].depths.hi);
  }
  json_t *array = json_array();
  for (int i = 0; i < PROFILE_DEPTHS; i++) {
    double depth = band.lo + (band.hi - band.lo) * (i + 0.5) / PROFILE_DEPTHS;
    struct buildup_ring ring = buildup_ring(buildup, layers, depth, PROFILE_PLACES);
    double floor = draw_floor_at(plan, depth);
    json_append(array, numbers((double[]){depth, ring.least, ring.mean, floor}, 4));
  }
  return array;
}

static const char *base_name_of(const struct outcome *outcome, span at) {
  return at.file ? source_get(outcome->sources, at.file)->base_name : "";
}

static json_t *overlay_object(struct arena *arena, const struct outcome *outcome, size_t index) {
  const struct plan_overlay *overlay = &outcome->plan->overlays[index];
  const struct overlay *source = overlay->overlay;
  json_t *layers = json_array();
  for (size_t k = 0; k < overlay->layer_count; k++)
    json_append(layers, layer_object(overlay, k));
  json_t *object = json_object();
  json_put(object, "name", json_text(source->name));
  json_put(object, "file", json_text(base_name_of(outcome, source->origin.head)));
  json_put(object, "line", json_integer((json_int_t)source->line));
  json_put(object, "wall", json_text(source->wall->name));
  json_put(object, "depths", range_array(source->layers[0].depths));
  json_put(object, "required_thickness",
           source->has_required_thickness ? json_number(source->required_thickness) : json_null());
  json_put(object, "required_finish",
           source->has_required_finish ? json_number(source->required_finish) : json_null());
  json_put(object, "contour", contour_object(overlay->contour));
  json_put(object, "layers", layers);
  json_put(object, "profile", profile_array(arena, outcome, index));
  return object;
}

/* -- what the pages of words need beside the summary --------------------------------------------
 */

/* A string as it was written, with its escapes resolved (docs/language.md, Values). */
static json_t *written_text(const char *written) {
  char *text = report_alloc(strlen(written) + 1, 1), *to = text;
  for (const char *at = written; *at; at++) {
    if (*at == '\\' && at[1])
      *to++ = *++at == 'n' ? '\n' : *at;
    else
      *to++ = *at;
  }
  json_t *value = json_text(text);
  free(text);
  return value;
}

static json_t *procedure_object(const struct procedure *procedure) {
  json_t *object = json_object();
  json_put(object, "name", json_text(procedure->name));
  json_put(object, "wps", written_text(procedure->wps));
  json_put(object, "filler", written_text(procedure->filler));
  return object;
}

static bool is_named_before(const struct plan *plan, size_t overlay, size_t layer) {
  const struct procedure *procedure = plan->overlays[overlay].layers[layer].procedure;
  for (size_t i = 0; i <= overlay; i++)
    for (size_t k = 0; k < (i < overlay ? plan->overlays[i].layer_count : layer); k++)
      if (plan->overlays[i].layers[k].procedure == procedure)
        return true;
  return false;
}

static json_t *procedures_array(const struct plan *plan) {
  json_t *array = json_array();
  for (size_t i = 0; i < plan->overlay_count; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++)
      if (!is_named_before(plan, i, k))
        json_append(array, procedure_object(plan->overlays[i].layers[k].procedure));
  return array;
}

/* overlay and layer from 1, then lap, s and depth of the start and of the stop, and the length */
static json_t *runs_array(const struct verdict *verdict) {
  json_t *array = json_array();
  for (size_t i = 0; i < verdict->run_count; i++) {
    const struct arc_run *run = &verdict->runs[i];
    double values[] = {(double)run->overlay + 1,
                       (double)run->layer + 1,
                       (double)run->start.lap,
                       run->start.s,
                       run->start.depth,
                       (double)run->stop.lap,
                       run->stop.s,
                       run->stop.depth,
                       run->length};
    json_append(array, numbers(values, sizeof values / sizeof values[0]));
  }
  return array;
}

void put_scene_data(FILE *to, const struct page *page) {
  const struct outcome *outcome = page->outcome;
  const struct plan *plan = outcome->plan;
  json_t *overlays = json_array();
  for (size_t i = 0; i < plan->overlay_count; i++)
    json_append(overlays, overlay_object(page->arena, outcome, i));
  json_t *object = json_object();
  json_put(object, "datum", point(plan->placement.at));
  json_put(object, "cell", json_text(plan->job->cell->name));
  json_put(object, "safe_height", json_number(plan->job->safe_height));
  json_put(object, "head", head_object(plan->job->cell));
  json_put(object, "axes", axes_array(plan->job->cell));
  json_put(object, "volumes", volumes_array(plan));
  json_put(object, "overlays", overlays);
  json_put(object, "procedures", procedures_array(plan));
  json_put(object, "runs", runs_array(outcome->verdict));
  char *text = json_dumps(object, JSON_COMPACT | JSON_REAL_PRECISION(10));
  json_decref(object);
  if (text)
    put_json(to, text);
  else
    report_no_memory();
  free(text);
}
