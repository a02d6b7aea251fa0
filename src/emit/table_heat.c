/* table_heat.c - heat, layer by layer. */
#include "emit/table_heat.h"

#include <inttypes.h>
#include <math.h>

static void print_energies(const struct plan_overlay *overlay, const struct layer_quantities *sums,
                           FILE *to) {
  fprintf(to, "  %5s  %12s %12s %12s %12s %12s %10s\n", "layer", "arc energy", "heat input",
          "wire energy", "path", "arc time", "bare");
  fprintf(to, "  %5s  %12s %12s %12s %12s %12s %10s\n", "", "kJ/mm", "kJ/mm", "kJ/mm", "m", "min",
          "mm");
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    fprintf(to, "  %5" PRId64 "  %12.4f %12.4f %12.4f %12.3f %12.2f %10.2f\n", layer->number,
            layer->arc_energy, layer->heat_input, layer->wire_energy, sums[k].path_length / 1000,
            sums[k].arc_time / 60, sums[k].bare);
  }
}

/* As programmed; s along the wall. */
static void print_along_lap(const struct plan_overlay *overlay, FILE *to) {
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    if (layer->lap_heat_count > 0)
      fprintf(to, "  arc energy along a lap of layer %" PRId64 ": %.4f .. %.4f kJ/mm\n",
              layer->number, layer->arc_energies.lo, layer->arc_energies.hi);
    for (size_t i = 0; i < layer->lap_heat_count; i++) {
      const struct lap_heat *heat = &layer->lap_heats[i];
      fprintf(to, "    s %9.2f .. %9.2f mm  %.4f", heat->from, heat->to, heat->before);
      if (heat->is_ramp)
        fprintf(to, " to %.4f, ramp", heat->after);
      fputc('\n', to);
    }
  }
}

/* -- where the pool is slower than its speed --------------------------------------------------- */

static struct heat_stretch part_of(const struct run_heat *heat, enum heat_part part) {
  for (size_t i = 0; i < heat->stretch_count; i++)
    if (heat->stretches[i].part == part)
      return heat->stretches[i];
  return (struct heat_stretch){.part = part};
}

static void print_ends(const struct run_heat *heat, int64_t layer, FILE *to) {
  struct heat_stretch stands = part_of(heat, HEAT_STANDING_START), up = part_of(heat, HEAT_RUN_UP),
                      down = part_of(heat, HEAT_RUN_DOWN), rests = part_of(heat, HEAT_STANDING_END);
  fprintf(to, "  %5" PRId64 "  %7.2f %8.3f %7.3f %7.3f %10.4f   %7.3f %7.3f %7.2f %8.3f %9.4f\n",
          layer, stands.time, stands.arc_kj, up.time, up.length, heat->first_bead, down.time,
          down.length, rests.time, rests.arc_kj, heat->last_bead);
}

static void print_starts(const struct outcome *outcome, size_t index, FILE *to) {
  const struct plan_overlay *overlay = &outcome->plan->overlays[index];
  const struct verdict *verdict = outcome->verdict;
  fputs("  arc energy where the pool stands or is slower; of each layer the start that gets most\n",
        to);
  fprintf(to, "  %5s  %16s %15s %10s   %15s %16s %9s\n", "layer", "standing start", "run-up",
          "first bead", "run-down", "standing end", "last bead");
  fprintf(to, "  %5s  %7s %8s %7s %7s %10s   %7s %7s %7s %8s %9s\n", "", "s", "kJ", "s", "mm",
          "kJ/mm", "s", "mm", "s", "kJ", "kJ/mm");
  for (size_t k = 0; k < overlay->layer_count; k++) {
    size_t run = verdict_hottest_run(verdict, index, k);
    if (run < verdict->run_count)
      print_ends(&verdict->heats[run], overlay->layers[k].number, to);
  }
}

/* -- cooling ------------------------------------------------------------------------------------
 */

static const char *start_words(enum cooling_start start) {
  switch (start) {
  case COOLING_FROM_PREHEAT:
    return "preheat";
  case COOLING_FROM_INTERPASS:
    return "interpass";
  case COOLING_FROM_ROOM:
    break;
  }
  return "none given";
}

static void print_cooling(const struct plan_overlay *overlay, FILE *to) {
  if (!overlay->layers[0].has_cooling)
    return;
  fprintf(to,
          "  cooling time t8/5, EN 1011-2 Annex D for ferritic steels, shape factors F2 = F3 = 1, "
          "wall %.6g mm\n",
          overlay->layers[0].cooling.wall);
  fprintf(to, "  %5s  %9s  %-17s %8s  %-10s %12s %12s %10s\n", "layer", "t8/5", "heat flow", "from",
          "", "three-dim.", "two-dim.", "transition");
  fprintf(to, "  %5s  %9s  %-17s %8s  %-10s %12s %12s %10s\n", "", "s", "", "degC", "", "s", "s",
          "mm");
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_cooling *c = &overlay->layers[k].cooling;
    fprintf(to, "  %5" PRId64 "  %9.3f  %-17s %8.1f  %-10s %12.3f %12.3f %10.2f\n",
            overlay->layers[k].number, c->time,
            c->is_two_dimensional ? "two-dimensional" : "three-dimensional", c->from,
            start_words(c->start), c->three_dimensional, c->two_dimensional, c->transition);
    if (c->times.lo < c->times.hi)
      fprintf(to, "  %5s  %.3f .. %.3f s along a lap\n", "", c->times.lo, c->times.hi);
  }
  fputs("  a wall thinner than the transition thickness cools in two dimensions; the longer time "
        "governs\n",
        to);
}

/* -- what is qualified --------------------------------------------------------------------------
 */

static void print_range(struct range range, FILE *to) {
  if (isinf(range.hi))
    fprintf(to, "%.4f kJ/mm and more", range.lo);
  else
    fprintf(to, "%.4f .. %.4f kJ/mm", range.lo, range.hi);
}

static bool was_printed(const struct plan_overlay *overlay, size_t layer) {
  for (size_t k = 0; k < layer; k++)
    if (overlay->layers[k].procedure == overlay->layers[layer].procedure)
      return true;
  return false;
}

static void print_qualified(const struct plan_overlay *overlay, FILE *to) {
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    if (!layer->has_qualified_heat || was_printed(overlay, k))
      continue;
    fprintf(to, "  the ranges of current, voltage and travel speed of %s span\n    arc energy ",
            layer->procedure->name);
    print_range(layer->arc_energy_qualified, to);
    fputs(", heat input ", to);
    print_range(layer->heat_input_qualified, to);
    fputc('\n', to);
  }
}

void heat_print(const struct outcome *outcome, size_t overlay, FILE *to) {
  const struct plan_overlay *planned = &outcome->plan->overlays[overlay];
  print_energies(planned, outcome->verdict->quantities.layers[overlay], to);
  print_along_lap(planned, to);
  if (outcome->motion->mode != MODE_REHEARSAL)
    print_starts(outcome, overlay, to);
  print_cooling(planned, to);
  print_qualified(planned, to);
}
