/* choice.c - layers and overlap that the plan chose, what governed, and what less would have
 * missed; for people and for programs. */
#include "emit/choice.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

static bool is_missed(const struct plan_try *less, int demand) {
  return less->demands[demand].is_asked && !less->demands[demand].is_met;
}

/* -- for people ---------------------------------------------------------------------------------
 */

static void print_size(const struct plan_choice *choice, const struct plan_try *size, FILE *to) {
  fprintf(to, "%zu %s", size->layers, size->layers == 1 ? "layer" : "layers");
  if (choice->overlap_auto)
    fprintf(to, " at an overlap of %.2f %%", 100 * size->overlap);
  fprintf(to, ", %" PRId64 " %s in all", size->laps, size->laps == 1 ? "lap" : "laps");
}

static void print_missed(const struct plan_demand *demand, enum demand which, FILE *to) {
  double unit = which == DEMAND_IRON ? 100 : 1;
  const char *name = which == DEMAND_IRON ? "%" : "mm";
  fprintf(to, "%s %.6g %s, %.4g %s %s than %.6g %s", demand->key, unit * demand->value, name,
          unit * fabs(demand->limit - demand->value), name,
          which == DEMAND_THICKNESS ? "less" : "more", unit * demand->limit, name);
}

/* What a smaller one would have missed: that governed. */
static void print_less(const struct plan_choice *choice, const char *what,
                       const struct plan_try *less, FILE *to) {
  const char *before = " governed by ";
  fprintf(to, "    %s", what);
  for (int d = 0; d < DEMAND_COUNT; d++)
    if (is_missed(less, d)) {
      fprintf(to, "%s%s", before, less->demands[d].key);
      before = " and ";
    }
  fputs("\n      with ", to);
  print_size(choice, less, to);
  fputs(":\n", to);
  for (int d = 0; d < DEMAND_COUNT; d++)
    if (is_missed(less, d)) {
      fputs("        ", to);
      print_missed(&less->demands[d], (enum demand)d, to);
      fputs("\n", to);
    }
  if (less->why)
    fprintf(to, "        no closer, since %s\n", less->why);
}

void choice_print(const struct plan_choice *choice, FILE *to) {
  if (!choice)
    return;
  fputs("  chosen: ", to);
  print_size(choice, &choice->chosen, to);
  fputs("\n", to);
  if (choice->has_fewer)
    print_less(choice, "layers", &choice->fewer, to);
  if (choice->has_wider)
    print_less(choice, "overlap", &choice->wider, to);
  if (choice->layers_auto && !choice->has_fewer)
    fputs("    one layer is the least\n", to);
  if (choice->overlap_auto && !choice->has_wider)
    fputs("    fewer laps would not cover the band\n", to);
}

/* docs/plan.md, "Chosen layers and overlap". */
static bool has_a_part(const struct check_result *result) {
  static const char *const WEIGHED[] = {"thickness", "flatness", "iron", "qualified-range"};
  for (size_t i = 0; i < sizeof WEIGHED / sizeof WEIGHED[0]; i++)
    if (strcmp(result->name, WEIGHED[i]) == 0)
      return true;
  return false;
}

void choice_note(const struct plan *plan, const struct check_result *result, struct diag *diag) {
  for (size_t i = 0; i < plan->overlay_count && !has_a_part(result); i++) {
    const struct origin *origin = &plan->overlays[i].overlay->origin;
    const struct plan_choice *choice = plan->overlays[i].choice;
    if (!choice || origin->head.file != result->at.file || origin->head.begin != result->at.begin)
      continue;
    char overlap[48] = "";
    if (choice->overlap_auto)
      snprintf(overlap, sizeof overlap, " at an overlap of %.2f %%", 100 * choice->chosen.overlap);
    const char *both = choice->layers_auto && choice->overlap_auto ? " and `overlap`" : "";
    diag_note(diag, origin_of_key(origin, choice->layers_auto ? "layers" : "overlap"),
              "here %zu %s%s %s chosen, by what is required alone; this check had no part in that: "
              "set `%s`%s yourself, or require less",
              choice->chosen.layers, choice->chosen.layers == 1 ? "layer" : "layers", overlap,
              choice->chosen.layers == 1 ? "is" : "are", choice->layers_auto ? "layers" : "overlap",
              both);
  }
}

/* -- for programs -------------------------------------------------------------------------------
 */

static json_t *missed_array(const struct plan_try *size) {
  json_t *array = json_array();
  for (int d = 0; d < DEMAND_COUNT; d++) {
    const struct plan_demand *demand = &size->demands[d];
    if (!is_missed(size, d))
      continue;
    double unit = d == DEMAND_IRON ? 100 : 1;
    json_t *object = json_object();
    json_put(object, "name", json_text(demand->key));
    json_put(object, "value", json_number(unit * demand->value));
    json_put(object, "limit", json_number(unit * demand->limit));
    json_put(object, "unit", json_text(d == DEMAND_IRON ? "%" : "mm"));
    json_append(array, object);
  }
  return array;
}

/* The requirements that a smaller choice misses. */
static json_t *governed_array(const struct plan_try *less, bool exists) {
  json_t *array = json_array();
  for (int d = 0; exists && d < DEMAND_COUNT; d++)
    if (is_missed(less, d))
      json_append(array, json_text(less->demands[d].key));
  return array;
}

static json_t *size_object(const struct plan_choice *choice, const struct plan_try *size) {
  json_t *object = json_object();
  json_put(object, "layers", json_integer((json_int_t)size->layers));
  json_put(object, "laps", json_integer(size->laps));
  json_put(object, "overlap", choice->overlap_auto ? json_number(size->overlap) : json_null());
  return object;
}

static json_t *less_object(const struct plan_choice *choice, const struct plan_try *less,
                           bool exists) {
  if (!exists)
    return json_null();
  json_t *object = size_object(choice, less);
  json_put(object, "missed", missed_array(less));
  json_put(object, "bound", less->why ? json_text(less->why) : json_null());
  return object;
}

json_t *choice_object(const struct plan_choice *choice) {
  if (!choice)
    return json_null();
  json_t *object = size_object(choice, &choice->chosen);
  json_put(object, "layers_auto", json_boolean(choice->layers_auto));
  json_put(object, "overlap_auto", json_boolean(choice->overlap_auto));
  json_t *governed = json_object();
  json_put(governed, "layers", governed_array(&choice->fewer, choice->has_fewer));
  json_put(governed, "overlap", governed_array(&choice->wider, choice->has_wider));
  json_put(object, "governed_by", governed);
  json_put(object, "fewer_layers", less_object(choice, &choice->fewer, choice->has_fewer));
  json_put(object, "wider_pitch", less_object(choice, &choice->wider, choice->has_wider));
  return object;
}
