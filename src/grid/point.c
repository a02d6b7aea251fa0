/* point.c - what a job came to, in the few figures of a row. */
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/grid.h"

static struct grid_point nothing_known(void) {
  double none = (double)NAN;
  return (struct grid_point){.failed = "",
                             .why = "",
                             .layers = -1,
                             .laps = -1,
                             .starts = -1,
                             .thickness = none,
                             .flat = none,
                             .iron = none,
                             .arc_energy = none,
                             .heat_input = none,
                             .cooling_least = none,
                             .cooling_most = none,
                             .duration = none,
                             .arc_time = none,
                             .wire_length_m = none,
                             .wire_mass_kg = none,
                             .gas_l = none};
}

/* -- why it was refused --------------------------------------------------------------------------
 */

static const struct check_result *first_failed(const struct verdict *verdict) {
  for (size_t i = 0; verdict && i < verdict->result_count; i++)
    if (verdict->results[i].judged && !verdict->results[i].passed)
      return &verdict->results[i];
  return NULL;
}

/* The first error, or of the check that failed first. */
static bool find_error(struct arena *arena, const struct outcome *outcome,
                       const struct check_result *check, struct diag_view *found) {
  const char *begin = check ? arena_format(arena, "check %s does not hold", check->name) : "";
  for (size_t i = 0; i < diag_count(outcome->diags); i++) {
    *found = diag_view_get(outcome->diags, i);
    if (found->is_error && strncmp(found->message, begin, strlen(begin)) == 0)
      return true;
  }
  return false;
}

static void tell_why(struct arena *arena, const struct outcome *outcome, struct grid_point *point) {
  const struct check_result *check = first_failed(outcome->verdict);
  struct diag_view error;
  if (!find_error(arena, outcome, check, &error))
    return;
  point->failed = arena_format(arena, "%s", check ? check->name : error.code);
  struct source_place place = {.line = 0};
  const char *name = "";
  if (error.at.file) {
    place = source_place_get(outcome->sources, error.at.file, error.at.begin);
    name = source_get(outcome->sources, error.at.file)->base_name;
  }
  point->why = arena_format(arena, "%s:%lu:%lu: %s", name, (unsigned long)place.line,
                            (unsigned long)place.column, error.message);
}

/* -- figures -------------------------------------------------------------------------------------
 */

/* fmin and fmax pass over what is not known. */
static void meet_layer(struct grid_point *point, const struct plan_layer *layer) {
  point->layers++;
  point->laps += layer->laps;
  point->arc_energy = fmax(point->arc_energy, layer->arc_energies.hi);
  point->heat_input = fmax(point->heat_input, layer->heat_inputs.hi);
  if (layer->has_cooling) {
    point->cooling_least = fmin(point->cooling_least, layer->cooling.times.lo);
    point->cooling_most = fmax(point->cooling_most, layer->cooling.times.hi);
  }
}

static void take_plan(struct grid_point *point, const struct plan *plan) {
  point->layers = point->laps = 0;
  for (size_t i = 0; i < plan->overlay_count; i++) {
    const struct plan_overlay *overlay = &plan->overlays[i];
    const struct plan_layer *last = &overlay->layers[overlay->layer_count - 1];
    for (size_t k = 0; k < overlay->layer_count; k++)
      meet_layer(point, &overlay->layers[k]);
    point->thickness = fmin(point->thickness, overlay->thickness_true);
    point->flat = fmin(point->flat, overlay->thickness_flat);
    if (last->has_iron)
      point->iron = fmax(point->iron, last->iron);
  }
}

static void take_quantities(struct grid_point *point, const struct quantities *sums) {
  point->starts = sums->whole.starts;
  point->duration = sums->duration;
  point->arc_time = sums->arc_time;
  point->wire_length_m = sums->wire_length_m;
  point->wire_mass_kg = sums->wire_mass_kg;
  point->gas_l = sums->gas_l;
}

struct grid_point grid_point_of(struct arena *arena, const struct outcome *outcome) {
  struct grid_point point = nothing_known();
  point.passed = outcome_passed(outcome);
  if (!point.passed)
    tell_why(arena, outcome, &point);
  if (outcome->plan)
    take_plan(&point, outcome->plan);
  if (outcome->verdict)
    take_quantities(&point, &outcome->verdict->quantities);
  return point;
}

struct grid_point grid_point_unread(struct arena *arena, const char *path, int error) {
  struct grid_point point = nothing_known();
  char words[128];
  point.failed = "unreadable";
  point.why =
      arena_format(arena, "cannot read %s: %s", path, strerror_r(error, words, sizeof words));
  return point;
}
