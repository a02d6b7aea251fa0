/* summary.c - the summary for programs: one JSON object (docs/stream-format.md, "Summary").
 *
 * A job that was refused has a summary too: as much as the stages found before they stopped. */
#include "borelay/emit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/deposit.h"
#include "borelay/digest.h"
#include "borelay/json.h"
#include "borelay/num.h"
#include "emit/choice.h"
#include "emit/summary_parts.h"
#include "emit/table_runs.h"

static json_t *job_object(const struct outcome *outcome) {
  const struct job *job = outcome->job;
  if (!job)
    return json_null();
  char digest[SHA256_TEXT_SIZE];
  digest_source(outcome->sources, job, digest);
  json_t *object = json_object();
  json_put(object, "title", json_text(job->title_text));
  json_put(object, "part", json_text(job->part_text));
  json_put(object, "revision", json_text(job->revision_text));
  json_put(object, "source_sha256", json_text(digest));
  return object;
}

static void put_quantities(json_t *object, const struct outcome *outcome) {
  if (!outcome->verdict)
    return;
  const struct quantities *sums = &outcome->verdict->quantities;
  json_put(object, "duration_s", json_number(sums->duration));
  json_put(object, "arc_time_s", json_number(sums->arc_time));
  json_put(object, "rows", json_integer(sums->rows));
  json_put(object, "tick_s", json_number(outcome->job->cell->tick));
  json_put(object, "wire_length_m", json_number(sums->wire_length_m));
  json_put(object, "wire_mass_kg", json_number(sums->wire_mass_kg));
  json_put(object, "gas_l", json_number(sums->gas_l));
  json_put(object, "starts", json_integer(sums->whole.starts));
  json_put(object, "arc_share", json_number(work_arc_share(&sums->whole)));
  json_put(object, "deposition_kg_h", json_number(work_deposition(&sums->whole)));
  json_put(object, "after_last_postflow_s", json_number(sums->afterwards));
  json_put(object, "procedures", procedures_array(outcome->verdict));
}

/* Only where the tip sways. */
static void put_oscillation(json_t *object, const struct procedure *procedure) {
  const struct oscillation *sway = &procedure->oscillation;
  if (sway->width == 0)
    return;
  json_t *made = json_object();
  json_put(made, "width_mm", json_number(sway->width));
  json_put(made, "frequency_hz", json_number(sway->frequency));
  json_put(made, "dwell_s", json_number(sway->dwell));
  json_put(made, "bead_width_laid_mm", json_number(bead_width_laid(procedure)));
  json_put(object, "oscillation", made);
}

static json_t *layer_object(const struct outcome *outcome, size_t overlay, size_t index) {
  const struct plan_layer *layer = &outcome->plan->overlays[overlay].layers[index];
  const struct verdict *verdict = outcome->verdict;
  const struct layer_quantities *sums =
      verdict ? &verdict->quantities.layers[overlay][index] : NULL;
  json_t *object = json_object();
  json_put(object, "layer", json_integer(layer->number));
  json_put(object, "procedure", json_text(layer->procedure->name));
  put_oscillation(object, layer->procedure);
  json_put(object, "laps", json_integer(layer->laps));
  json_put(object, "turns", json_integer(layer->turns));
  json_put(object, "pitch_mm", json_number(layer->pitch));
  json_put(object, "overlap", json_number(layer->overlap));
  if (layer->is_over_valleys)
    json_put(object, "edge_pitch_mm", json_number(layer->pitch / 2));
  json_put(object, "offset_mm", json_number(layer->offset));
  json_put(object, "thickness_mm", json_number(layer->thickness));
  layer_buildup_put(object, &outcome->plan->overlays[overlay], index);
  json_put(object, "iron", layer->has_iron ? json_number(layer->iron) : json_null());
  if (sums) {
    json_put(object, "path_length_mm", json_number(sums->path_length));
    json_put(object, "arc_time_s", json_number(sums->arc_time));
    json_put(object, "starts", json_integer(sums->starts));
    json_put(object, "bare_mm", json_number(sums->bare));
  }
  json_put(object, "arc_energy_kj_mm", json_number(layer->arc_energy));
  json_put(object, "heat_input_kj_mm", json_number(layer->heat_input));
  json_put(object, "wire_energy_kj_mm", json_number(layer->wire_energy));
  heat_put(object, outcome, overlay, index);
  return object;
}

static json_t *overlay_object(const struct outcome *outcome, size_t index) {
  const struct plan_overlay *overlay = &outcome->plan->overlays[index];
  json_t *layers = json_array();
  for (size_t k = 0; k < overlay->layer_count; k++)
    json_append(layers, layer_object(outcome, index, k));
  json_t *object = json_object();
  json_put(object, "name", json_text(overlay->overlay->name));
  json_put(object, "layers", layers);
  json_put(object, "thickness_mm", json_number(overlay->thickness_true));
  json_put(object, "flat_thickness_mm", json_number(overlay->thickness_flat));
  json_put(object, "ridge_mm", json_number(overlay->ridge));
  json_put(object, "choice", choice_object(overlay->choice));
  if (outcome->verdict) {
    struct buildup_figures figures = buildup_figures_of(outcome->motion, index);
    json_put(object, "build_up", buildup_object(&figures));
    work_put(object, &outcome->verdict->quantities.overlays[index]);
  }
  return object;
}

static json_t *overlays_array(const struct outcome *outcome) {
  json_t *array = json_array();
  for (size_t i = 0; outcome->plan && i < outcome->plan->overlay_count; i++)
    json_append(array, overlay_object(outcome, i));
  return array;
}

static void put_place(json_t *object, const struct source_set *sources, span at) {
  if (at.file == 0) {
    json_put(object, "file", json_null());
    json_put(object, "line", json_null());
    json_put(object, "column", json_null());
    return;
  }
  struct source_place place = source_place_get(sources, at.file, at.begin);
  json_put(object, "file", json_text(source_get(sources, at.file)->path));
  json_put(object, "line", json_integer(place.line));
  json_put(object, "column", json_integer(place.column));
}

/* What else a check of several limits found outside. */
static json_t *further_array(const struct source_set *sources, const struct check_result *result) {
  json_t *array = json_array();
  for (size_t i = 0; i < result->further_count; i++) {
    const struct check_violation *violation = &result->further[i];
    json_t *object = json_object();
    json_put(object, "worst", json_number(violation->worst));
    json_put(object, "limit", json_number(violation->limit));
    json_put(object, "unit", json_text(violation->unit));
    put_place(object, sources, violation->at);
    json_put(object, "detail", json_text(violation->detail));
    json_append(array, object);
  }
  return array;
}

static json_t *check_object(const struct source_set *sources, const struct check_result *result) {
  const char *verdict = !result->judged ? "not asked" : result->passed ? "passed" : "failed";
  json_t *object = json_object();
  json_put(object, "name", json_text(result->name));
  json_put(object, "verdict", json_text(verdict));
  json_put(object, "worst", result->judged ? json_number(result->worst) : json_null());
  json_put(object, "limit", result->judged ? json_number(result->limit) : json_null());
  json_put(object, "unit", json_text(result->unit));
  json_put(object, "t_s", result->t < 0 ? json_null() : json_number(result->t));
  put_place(object, sources, result->at);
  json_put(object, "detail", json_text(result->detail));
  if (result->further_count > 0)
    json_put(object, "further", further_array(sources, result));
  return object;
}

static json_t *checks_array(const struct outcome *outcome) {
  json_t *array = json_array();
  for (size_t i = 0; outcome->verdict && i < outcome->verdict->result_count; i++)
    json_append(array, check_object(outcome->sources, &outcome->verdict->results[i]));
  return array;
}

/* Named by overlay and layer as in rows, from 1. */
static json_t *bare_array(const struct verdict *verdict) {
  json_t *array = json_array();
  for (size_t i = 0; verdict && i < verdict->bare_count; i++) {
    const struct bare_length *bare = &verdict->bare[i];
    json_t *object = json_object();
    json_put(object, "overlay", json_integer((json_int_t)bare->overlay + 1));
    json_put(object, "layer", json_integer((json_int_t)bare->layer + 1));
    json_put(object, "lap", json_integer(bare->lap));
    json_put(object, "along_mm", json_number(bare->s));
    json_put(object, "length_mm", json_number(bare->length));
    json_put(object, "why", json_text(bare_why(bare->kind)));
    json_append(array, object);
  }
  return array;
}

static json_t *fit_object(const struct fit *fit) {
  json_t *object = json_object();
  json_t *centre = json_array();
  json_append(centre, json_number(fit->centre.x));
  json_append(centre, json_number(fit->centre.y));
  json_put(object, "name", json_text(fit->name));
  json_put(object, "centre_mm", centre);
  if (fit->kind == SHAPE_ROUND) {
    json_put(object, "diameter_mm", json_number(fit->diameter));
  } else {
    json_put(object, "length_mm", json_number(fit->length));
    json_put(object, "width_mm", json_number(fit->width));
    json_put(object, "turned_deg", json_number(fit->turned * (180.0 / NUM_PI)));
  }
  json_put(object, "residual_max_mm", json_number(fit->residual_max));
  json_put(object, "centre_sigma_mm", json_number(fit->centre_sigma));
  return object;
}

static json_t *fits_array(const struct outcome *outcome) {
  json_t *array = json_array();
  for (size_t i = 0; outcome->plan && i < outcome->plan->fit_count; i++)
    json_append(array, fit_object(&outcome->plan->fits[i]));
  return array;
}

static json_t *messages_array(const struct outcome *outcome, bool errors) {
  json_t *array = json_array();
  for (size_t i = 0; i < diag_count(outcome->diags); i++) {
    struct diag_view view = diag_view_get(outcome->diags, i);
    if (view.is_error != errors)
      continue;
    json_t *object = json_object();
    json_put(object, "code", json_text(view.code));
    put_place(object, outcome->sources, view.at);
    json_put(object, "message", json_text(view.message));
    if (view.help)
      json_put(object, "help", json_text(view.help));
    json_append(array, object);
  }
  return array;
}

static json_t *summary_object(const struct outcome *outcome) {
  bool passed = outcome_passed(outcome);
  json_t *object = json_object();
  json_put(object, "format", json_text("borelay-summary 1"));
  json_put(object, "job", job_object(outcome));
  if (outcome->motion && outcome->motion->mode != MODE_WELD)
    json_put(object, "mode", json_text(mode_name(outcome->motion->mode)));
  json_put(object, "verdict", json_text(passed ? "passed" : "failed"));
  put_quantities(object, outcome);
  json_put(object, "overlays", overlays_array(outcome));
  json_put(object, "checks", checks_array(outcome));
  json_put(object, "bare", bare_array(outcome->verdict));
  json_put(object, "fits", fits_array(outcome));
  json_put(object, "warnings", messages_array(outcome, false));
  if (!passed)
    json_put(object, "errors", messages_array(outcome, true));
  return object;
}

char *summary_text(const struct outcome *outcome) {
  json_t *object = summary_object(outcome);
  char *text = json_layout(object);
  json_decref(object);
  return text;
}
