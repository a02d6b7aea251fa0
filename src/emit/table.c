/* table.c - the table for people: verdict first, then what lies on the wall, the checks, starts,
 * stops and bare lengths, what it takes.
 *
 * Figures are for reading; programs take the summary. */
#include "borelay/emit.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/deposit.h"
#include "borelay/digits.h"
#include "borelay/num.h"
#include "borelay/wrap.h"
#include "emit/choice.h"
#include "emit/table_buildup.h"
#include "emit/table_heat.h"
#include "emit/table_runs.h"
#include "emit/table_work.h"

/* Of what is told of a check. */
enum { INDENT = 20, WIDTH = 100 };

static size_t count_failed(const struct verdict *verdict, size_t *judged) {
  size_t failed = 0;
  *judged = 0;
  for (size_t i = 0; i < verdict->result_count; i++) {
    *judged += verdict->results[i].judged;
    failed += verdict->results[i].judged && !verdict->results[i].passed;
  }
  return failed;
}

static void print_title(const struct outcome *outcome, FILE *to) {
  const struct job *job = outcome->job;
  fputs(job->title_text, to);
  if (*job->part_text)
    fprintf(to, ", part %s", job->part_text);
  if (*job->revision_text)
    fprintf(to, ", revision %s", job->revision_text);
  fputs("\n", to);
}

static void print_verdict(const struct outcome *outcome, FILE *to) {
  size_t judged = 0;
  size_t failed = outcome->verdict ? count_failed(outcome->verdict, &judged) : 0;
  if (outcome_passed(outcome))
    fprintf(to, "PASSED: all %zu checks hold\n", judged);
  else if (failed > 0)
    fprintf(to, "REFUSED: %zu of %zu checks %s not hold\n", failed, judged,
            failed == 1 ? "does" : "do");
  else
    fputs("REFUSED: see the messages\n", to);
  if (diag_warning_count(outcome->diags) > 0)
    fprintf(to, "warnings: %zu\n", diag_warning_count(outcome->diags));
}

static void print_fit(const struct fit *fit, FILE *to) {
  fprintf(to, "  %-14s centre (%.3f, %.3f) mm", fit->name, digits_shown(fit->centre.x, 3),
          digits_shown(fit->centre.y, 3));
  if (fit->kind == SHAPE_ROUND)
    fprintf(to, ", diameter %.3f mm", fit->diameter);
  else
    fprintf(to, ", %.3f x %.3f mm, turned %.3f deg", fit->length, fit->width,
            digits_shown(fit->turned * (180.0 / NUM_PI), 3));
  fprintf(to, "\n  %-14s ", "");
  if (fit->is_exact) /* as many touches as unknowns */
    fprintf(to, "no residuals; centre to %.3f mm (one sigma) where a touch is to fit_tolerance\n",
            fit->centre_sigma);
  else
    fprintf(to, "residuals up to %.3f mm; centre good to %.3f mm (one sigma)\n", fit->residual_max,
            fit->centre_sigma);
}

static void print_fits(const struct plan *plan, FILE *to) {
  if (plan->fit_count > 0)
    fputs("\nFitted to touches\n", to);
  for (size_t i = 0; i < plan->fit_count; i++)
    print_fit(&plan->fits[i], to);
}

static void print_layer(const struct plan_layer *layer, const struct layer_quantities *sums,
                        FILE *to) {
  fprintf(to, "  %5" PRId64 "  %-16s %5" PRId64 " %6" PRId64 " %8.4f %8.2f %8.4f %9.4f",
          layer->number, layer->procedure->name, layer->laps, layer->turns, layer->pitch,
          100 * layer->overlap, layer->offset, layer->thickness);
  if (layer->has_iron)
    fprintf(to, " %7.3f", 100 * layer->iron);
  else
    fprintf(to, " %7s", "-");
  fprintf(to, " %6" PRId64 "\n", sums->starts);
}

static void print_layers(const struct plan_overlay *overlay, const struct layer_quantities *sums,
                         FILE *to) {
  fprintf(to, "  %5s  %-16s %5s %6s %8s %8s %8s %9s %7s %6s\n", "layer", "procedure", "laps",
          "turns", "pitch", "overlap", "offset", "thickness", "iron", "starts");
  fprintf(to, "  %5s  %-16s %5s %6s %8s %8s %8s %9s %7s\n", "", "", "", "", "mm", "%", "mm", "mm",
          "%");
  for (size_t k = 0; k < overlay->layer_count; k++)
    print_layer(&overlay->layers[k], &sums[k], to);
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    if (layer->is_over_valleys)
      fprintf(to,
              "  layer %" PRId64 " lies over the valleys of the one below; the laps at both edges "
              "%.4f mm from the next, overlap %.2f %%\n",
              layer->number, layer->pitch / 2,
              100 * (1 - layer->pitch / 2 / bead_width_laid(layer->procedure)));
  }
}

/* Once for each procedure of the overlay whose tip sways. */
static void print_sways(const struct plan_overlay *overlay, FILE *to) {
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct procedure *procedure = overlay->layers[k].procedure;
    const struct oscillation *sway = &procedure->oscillation;
    size_t first = 0;
    while (overlay->layers[first].procedure != procedure)
      first++;
    if (sway->width > 0 && first == k)
      fprintf(to, "  %s sways by %.6g mm at %.6g Hz, dwell %.6g s: beads are laid %.6g mm wide\n",
              procedure->name, sway->width, sway->frequency, sway->dwell,
              bead_width_laid(procedure));
  }
}

static void print_overlays(const struct outcome *outcome, FILE *to) {
  struct layer_quantities *const *sums = outcome->verdict->quantities.layers;
  for (size_t i = 0; i < outcome->plan->overlay_count; i++) {
    const struct plan_overlay *overlay = &outcome->plan->overlays[i];
    fprintf(to, "\nOverlay %zu: %s, %.3f mm thick at least, %.3f mm at the valley floors\n", i + 1,
            overlay->overlay->name, overlay->thickness_true, overlay->thickness_flat);
    choice_print(overlay->choice, to);
    print_layers(overlay, sums[i], to);
    print_sways(overlay, to);
    buildup_print(outcome, i, to);
    heat_print(outcome, i, to);
  }
}

/* Five figures; what is smaller than any tolerance is nothing. */
static void print_figure(double value, FILE *to) {
  if (!isfinite(value))
    fprintf(to, " %11s", "-");
  else
    fprintf(to, " %11.5g", fabs(value) < 1e-6 ? 0.0 : value);
}

/* Room that is left; what is missing is negative.  Whether a limit is a least or a most is the
 * check's affair: passed tells the sign. */
static double margin_of(const struct check_result *result) {
  double distance = fabs(result->limit - result->worst);
  return result->passed ? distance : -distance;
}

static void print_where(const struct source_set *sources, span at, FILE *to) {
  if (at.file)
    fprintf(to, "  %s:%" PRIu32, source_get(sources, at.file)->base_name,
            source_place_get(sources, at.file, at.begin).line);
  fputc('\n', to);
}

static void print_further(const struct source_set *sources, const struct check_violation *violation,
                          FILE *to) {
  fprintf(to, "  %-17s %-5s", "", "and");
  print_figure(violation->worst, to);
  print_figure(violation->limit, to);
  print_figure(-fabs(violation->limit - violation->worst), to);
  fprintf(to, "  %-6s %10s", violation->unit, "");
  print_where(sources, violation->at, to);
  wrap_print(violation->detail, INDENT, WIDTH, to);
}

static void print_check(const struct source_set *sources, const struct check_result *result,
                        FILE *to) {
  if (!result->judged) {
    fprintf(to, "  %-17s not asked\n", result->name);
    return;
  }
  fprintf(to, "  %-17s %-5s", result->name, result->passed ? "holds" : "FAILS");
  print_figure(result->worst, to);
  print_figure(result->limit, to);
  print_figure(margin_of(result), to);
  fprintf(to, "  %-6s", result->unit);
  if (result->t >= 0)
    fprintf(to, " %10.3f", result->t);
  else
    fprintf(to, " %10s", "");
  print_where(sources, result->at, to);
  if (result->detail && *result->detail)
    wrap_print(result->detail, INDENT, WIDTH, to);
  for (size_t i = 0; i < result->further_count; i++)
    print_further(sources, &result->further[i], to);
}

static void print_checks(const struct outcome *outcome, FILE *to) {
  fprintf(to, "\n%-25s %11s %11s %11s  %-6s %10s  %s\n", "Checks", "worst", "limit", "margin",
          "unit", "at s", "where");
  for (size_t i = 0; i < outcome->verdict->result_count; i++)
    print_check(outcome->sources, &outcome->verdict->results[i], to);
}

static void print_outputs(const char *const *outputs, size_t count, FILE *to) {
  if (count > 0)
    fputs("\nWritten\n", to);
  for (size_t i = 0; i < count; i++)
    fprintf(to, "  %s\n", outputs[i]);
}

/* Once more where a terminal ends: what stands above, and the messages before, has gone by. */
static void print_refusal(const struct outcome *outcome, FILE *to) {
  const char *between = "\nREFUSED: ";
  for (size_t i = 0; outcome->verdict && i < outcome->verdict->result_count; i++) {
    const struct check_result *result = &outcome->verdict->results[i];
    if (!result->judged || result->passed)
      continue;
    fprintf(to, "%s%s", between, result->name);
    between = ", ";
  }
  if (*between == ',')
    fputc('\n', to);
}

static const char CAUTION[] = "\nThese figures are estimates from the geometry and the procedure "
                              "as stated; nothing has been run\n"
                              "on any machine.  Dry-run with the arc off before welding.  The "
                              "qualified procedure, local codes\n"
                              "and licensed practice decide.\n";

/* What kind of stream it is, where it is not the whole weld. */
static void print_mode(const struct outcome *outcome, FILE *to) {
  const struct motion *motion = outcome->motion;
  if (motion && motion->mode == MODE_REHEARSAL)
    fputs(
        "REHEARSAL: arc, wire, gas and voltage control are off in this stream; the head moves as "
        "in\n"
        "the weld.  Keep out of its reach with a hand at the stop; local rules on moving machinery "
        "apply.\n",
        to);
  if (motion && motion->mode == MODE_RESUME)
    fprintf(to,
            "RESUME: overlay %s, layer %" PRId64
            ", from %.3f mm before the place.  Dress the crater, "
            "preheat and\n"
            "set the electrode as the qualified procedure asks before the arc starts again.\n",
            outcome->plan->overlays[motion->resume->overlay].overlay->name,
            (int64_t)motion->resume->layer + 1, motion->resume->overlap);
}

void table_print(const struct outcome *outcome, const char *const *outputs, size_t output_count,
                 FILE *to) {
  print_title(outcome, to);
  print_verdict(outcome, to);
  print_mode(outcome, to);
  if (outcome->plan)
    print_fits(outcome->plan, to);
  if (outcome->plan && outcome->verdict) {
    print_overlays(outcome, to);
    print_checks(outcome, to);
    runs_print(outcome, to);
    bare_print(outcome, to);
    work_print(outcome, to);
  }
  print_outputs(outputs, output_count, to);
  print_refusal(outcome, to);
  fputs(CAUTION, to);
}
