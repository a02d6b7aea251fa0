/* The comparison for people: figures and margins beside one another. */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/wrap.h"
#include "compare/page_parts.h"
#include "compare/print_parts.h"

/* Enough decimals to show the change. */
int effect_decimals(const struct effect *effect) {
  int decimals = effect->decimals;
  double step = fabs(effect->after - effect->before);
  if (isnan(step))
    return decimals;
  for (double least = pow(10, -decimals); least > 1.001 * step && decimals < 9; least /= 10)
    decimals++;
  return decimals;
}

const char *effect_figure(double value, int decimals, char text[FIGURE_ROOM]) {
  if (isnan(value))
    return "-";
  snprintf(text, FIGURE_ROOM, "%.*f", decimals, value);
  return text;
}

static void print_change(const struct effect *effect, FILE *to) {
  double step = effect->after - effect->before;
  bool has_share = fabs(effect->before) > 0 && strcmp(effect->unit, "%") != 0 &&
                   strcmp(effect->unit, "deg") != 0;
  char text[FIGURE_ROOM];
  if (isnan(effect->before) || isnan(effect->after)) {
    fputs(isnan(effect->before) ? "new" : "gone", to);
    return;
  }
  fprintf(to, "%s%s", step > 0 ? "+" : "", effect_figure(step, effect_decimals(effect), text));
  if (has_share) {
    double percent = 100 * step / fabs(effect->before);
    fprintf(to, fabs(percent) >= 0.05 ? " (%+.1f %%)" : " (%+.1g %%)", percent);
  }
}

static void print_effect(const struct effect *effect, FILE *to) {
  char before[FIGURE_ROOM], after[FIGURE_ROOM];
  int decimals = effect_decimals(effect);
  fprintf(to, "    %-28s %12s %12s  %-6s ", effect->name,
          effect_figure(effect->before, decimals, before),
          effect_figure(effect->after, decimals, after), effect->unit);
  print_change(effect, to);
  fputc('\n', to);
}

static bool is_same_place(const struct effect *a, const struct effect *b) {
  bool same_overlay =
      a->overlay && b->overlay ? strcmp(a->overlay, b->overlay) == 0 : a->overlay == b->overlay;
  return same_overlay && a->layer == b->layer;
}

static void print_place(const struct effect *effect, FILE *to) {
  if (!effect->overlay)
    fputs("  whole job\n", to);
  else if (effect->layer == 0)
    fprintf(to, "  overlay %s\n", effect->overlay);
  else
    fprintf(to, "  overlay %s, layer %" PRId64 "\n", effect->overlay, effect->layer);
}

void print_effects(const struct effects *effects, FILE *to) {
  const struct effect *last = NULL;
  fprintf(to, "\n%-32s %12s %12s\n", "What that does", "before", "after");
  for (size_t i = 0; i < effects->count; i++) {
    if (!effect_is_change(&effects->items[i]))
      continue;
    if (!last || !is_same_place(last, &effects->items[i]))
      print_place(&effects->items[i], to);
    last = &effects->items[i];
    print_effect(last, to);
  }
  if (!last)
    fputs("  no figure of laps, deposit, heat, time, wire or gas changes\n", to);
}

const char *check_margin_text(const struct check_result *result, double margin,
                              char text[FIGURE_ROOM]) {
  if (!result || !result->judged)
    return "not asked";
  snprintf(text, FIGURE_ROOM, "%.5g", fabs(margin) < 1e-6 ? 0.0 : margin);
  return text;
}

const char *check_word(const struct check_pair *pair) {
  bool judged = pair->after && pair->after->judged, was = pair->before && pair->before->judged;
  bool holds = !judged || pair->after->passed, held = !was || pair->before->passed;
  if (!holds)
    return held && was ? "NO LONGER HOLDS" : was ? "FAILS, as before" : "FAILS";
  if (!held)
    return judged ? "holds now" : "failed before, not asked now";
  return pair->worsening > 0 ? "worse" : pair->worsening < 0 ? "better" : "";
}

static void print_check(const struct check_pair *pair, FILE *to) {
  const struct check_result *result = pair->after ? pair->after : pair->before;
  char before[FIGURE_ROOM], after[FIGURE_ROOM];
  fprintf(to, "  %-30s %12s %12s  %-6s %s\n", result->name,
          check_margin_text(pair->before, pair->margin_before, before),
          check_margin_text(pair->after, pair->margin_after, after), result->unit,
          check_word(pair));
  bool tells = result == pair->after && result->judged && pair->worsening > 0 && result->detail &&
               *result->detail;
  if (tells) {
    fprintf(to, "%6s", "");
    wrap_go_on(result->detail, 6, 6, PRINT_WIDTH, to);
  }
}

const char *other_checks_text(const char *the, size_t count, char text[OTHERS_ROOM]) {
  snprintf(text, OTHERS_ROOM,
           count == 1 ? "%s other check keeps its margin" : "%s other %zu checks keep their margin",
           the, count);
  return text;
}

void print_checks(const struct comparison *comparison, FILE *to) {
  char text[OTHERS_ROOM];
  size_t changed = 0;
  for (size_t i = 0; i < comparison->check_count; i++) {
    if (!check_is_change(&comparison->checks[i]))
      continue;
    if (changed++ == 0)
      fprintf(to, "\n%-32s %12s %12s\n", "Margins, what got worse first", "before", "after");
    print_check(&comparison->checks[i], to);
  }
  if (comparison->check_count > 0 && changed == 0)
    fputs("\nNo check's margin changes\n", to);
  else if (comparison->check_count > changed)
    fprintf(to, "  %s\n", other_checks_text("the", comparison->check_count - changed, text));
}
