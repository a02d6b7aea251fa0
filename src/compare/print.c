/* The comparison for people: the answer first, then what is declared differently, then what that
 * does to the part. */
#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "compare/comparison.h"
#include "compare/page_parts.h"

enum { WIDTH = 100, PATH_MOST = 46 };

/* Words of the text, as many lines as they need, the first one going on at `column`. */
static void print_wrapped(const char *text, int column, int indent, FILE *to) {
  bool is_first = true;
  while (*(text += strspn(text, " "))) {
    int length = (int)strcspn(text, " ");
    if (!is_first && column + 1 + length > WIDTH) {
      fprintf(to, "\n%*s", indent, "");
      column = indent;
    } else if (!is_first) {
      fputc(' ', to);
      column++;
    }
    fprintf(to, "%.*s", length, text);
    column += length;
    text += length;
    is_first = false;
  }
  fputc('\n', to);
}

/* -- the answer -------------------------------------------------------------------------------- */

static const char *loud(const char *verdict) {
  return strcmp(verdict, "passed") == 0    ? "PASSED"
         : strcmp(verdict, "refused") == 0 ? "REFUSED"
                                           : verdict;
}

static void print_answer(const struct comparison *comparison, FILE *to) {
  const struct differences *differences = &comparison->differences;
  const char *before = comparison_verdict(comparison, 0),
             *after = comparison_verdict(comparison, 1);
  switch (comparison_result(comparison)) {
  case COMPARISON_SAME:
    fputs("SAME", to);
    break;
  case COMPARISON_OPEN:
    fputs("NOT KNOWN: nothing differs in what could be read, but faults hide the rest", to);
    break;
  case COMPARISON_DIFFERENT:
    fprintf(to, "DIFFERENT: %zu difference%s in what is declared", differences->count,
            differences->count == 1 ? "" : "s");
    if (differences->used == 0)
      fputs(", none that a job uses", to);
    else if (differences->used < differences->count)
      fprintf(to, ", %zu that a job uses", differences->used);
    break;
  }
  if (strcmp(before, "no job") == 0 && strcmp(after, "no job") == 0)
    fputs("; no job in either\n", to);
  else if (strcmp(before, "not judged") == 0 && strcmp(after, "not judged") == 0)
    fputc('\n', to);
  else
    fprintf(to, "; before: %s, after: %s\n", loud(before), loud(after));
}

static void print_side(const char *name, const struct compare_side *side, FILE *to) {
  fprintf(to, "  %-7s %s", name, side->path);
  const struct job *job = side->outcome.job;
  if (job) {
    fprintf(to, "  \"%s\"", job->title_text);
    if (*job->part_text)
      fprintf(to, ", part %s", job->part_text);
    if (*job->revision_text)
      fprintf(to, ", revision %s", job->revision_text);
    for (size_t i = 0; i < job->setting_count; i++)
      fprintf(to, "%s %s", i == 0 ? ", set" : ",", job->settings[i]);
  }
  fputc('\n', to);
}

/* -- what is declared -------------------------------------------------------------------------- */

/* What the path column holds: the path, and whether it came or went. */
static const char *head_of(struct arena *arena, const struct difference *difference) {
  if (difference->kind == DIFFERENCE_CHANGED)
    return difference->path;
  return arena_format(arena, "%s  %s", difference->path, difference_kind_name(difference->kind));
}

static int path_width(struct arena *arena, const struct differences *differences) {
  int width = 0;
  for (size_t i = 0; i < differences->count; i++) {
    int length = (int)strlen(head_of(arena, &differences->items[i]));
    if (length > width)
      width = length;
  }
  return width > PATH_MOST ? PATH_MOST : width;
}

static void print_difference(struct arena *arena, const struct difference *difference, int width,
                             FILE *to) {
  const char *head = head_of(arena, difference);
  int length = fprintf(to, "  %-*s", width, head) - 2;
  if (length > width)
    fprintf(to, "\n  %*s", width, "");
  fputs("  ", to);
  print_wrapped(difference->text, width + 4, width + 4, to);
}

static void print_differences(struct arena *arena, const struct differences *differences,
                              bool is_used, FILE *to) {
  int width = path_width(arena, differences);
  bool is_first = true;
  for (size_t i = 0; i < differences->count; i++) {
    if (differences->items[i].is_used != is_used)
      continue;
    if (is_first)
      fputs(is_used ? "\nDeclared differently\n"
                    : "\nDeclared differently, but used by neither job\n",
            to);
    is_first = false;
    print_difference(arena, &differences->items[i], width, to);
  }
}

/* -- figures ----------------------------------------------------------------------------------- */

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

static void print_effects(const struct effects *effects, FILE *to) {
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

/* -- checks ------------------------------------------------------------------------------------ */

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
    print_wrapped(result->detail, 6, 6, to);
  }
}

const char *other_checks_text(const char *the, size_t count, char text[OTHERS_ROOM]) {
  snprintf(text, OTHERS_ROOM,
           count == 1 ? "%s other check keeps its margin" : "%s other %zu checks keep their margin",
           the, count);
  return text;
}

static void print_checks(const struct comparison *comparison, FILE *to) {
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

/* -- where on the part ------------------------------------------------------------------------- */

enum { PARTS_SHOWN = 6 };

static void print_parts(struct arena *arena, const struct cover_change *change,
                        const struct cover_parts *parts, const char *what, FILE *to) {
  if (parts->count == 0)
    return;
  fprintf(to, "  overlay %s, layer %" PRId64 ": %s %.1f mm2\n", change->overlay, change->layer,
          what, parts->area);
  for (size_t i = 0; i < parts->count && i < PARTS_SHOWN; i++) {
    const struct cover_part *part = &parts->items[i];
    fprintf(to, "    %9.1f mm2  depths %.2f .. %.2f mm, %s\n", part->area, part->depth.lo,
            part->depth.hi, cover_part_round(arena, change, part));
  }
  if (parts->count > PARTS_SHOWN)
    fprintf(to, "    and %zu smaller\n", parts->count - PARTS_SHOWN);
}

static void print_covers(struct arena *arena, const struct comparison *comparison, FILE *to) {
  bool is_other_wall = false;
  if (comparison->cover_count > 0)
    fputs("\nWall covered\n", to);
  for (size_t i = 0; i < comparison->cover_count; i++) {
    const struct cover_change *change = &comparison->covers[i];
    print_parts(arena, change, &change->newly, "newly covered", to);
    print_parts(arena, change, &change->no_longer, "no longer covered", to);
    is_other_wall = is_other_wall || change->is_other_wall;
  }
  if (is_other_wall)
    fputs(
        "  (where a wall has another length round, places at the same share of it are compared)\n",
        to);
}

static void print_zones(const struct comparison *comparison, FILE *to) {
  if (comparison->zone_count > 0)
    fputs("\nZones that moved, with their margin\n", to);
  for (size_t i = 0; i < comparison->zone_count; i++) {
    const struct zone_change *change = &comparison->zones[i];
    fprintf(to, "  overlay %s, zone %s\n", change->overlay, change->zone);
    fprintf(to, "    before  %s\n", change->before ? change->before : "not there");
    fprintf(to, "    after   %s\n", change->after ? change->after : "not there");
  }
}

static void print_tip(const char *what, const struct tip_apart *tip, FILE *to) {
  if (!tip->apart.is_there)
    return;
  if (tip->apart.distance < APART_SURE) {
    fprintf(to, "  arc %-3s  the same to %.2f mm\n", what, APART_SURE);
    return;
  }
  int length = fprintf(to, "  arc %-3s  %.2f mm  ", what, tip->apart.distance);
  fprintf(to, "%s", tip->apart.side == 0 ? "before, " : "after, ");
  length += tip->apart.side == 0 ? 8 : 7;
  print_wrapped(tip->where, length, 11, to);
}

static void print_tips(const struct comparison *comparison, FILE *to) {
  if (!comparison->tip_on.apart.is_there && !comparison->tip_off.apart.is_there)
    return;
  fputs("\nLargest distance between the two ways of the tip, on the part\n", to);
  print_tip("on", &comparison->tip_on, to);
  print_tip("off", &comparison->tip_off, to);
}

/* -- all --------------------------------------------------------------------------------------- */

static const char CAUTION[] =
    "\nThese figures are estimates from the geometry and the procedures as stated; nothing has "
    "been "
    "run\non any machine.  The qualified procedure, local codes and licensed practice decide.\n";

void comparison_print(const struct comparison *comparison, FILE *to) {
  struct arena *arena = arena_new();
  print_answer(comparison, to);
  print_side("before", &comparison->sides[0], to);
  print_side("after", &comparison->sides[1], to);
  print_differences(arena, &comparison->differences, true, to);
  print_differences(arena, &comparison->differences, false, to);
  const char *missing = effects_missing(comparison, arena);
  if (comparison->has_effects) {
    print_effects(&comparison->effects, to);
    print_checks(comparison, to);
    print_zones(comparison, to);
    print_covers(arena, comparison, to);
    print_tips(comparison, to);
  }
  if (missing && comparison->differences.used > 0 && !comparison->only_declared) {
    fputs("\nNot compared\n  ", to);
    print_wrapped(missing, 2, 2, to);
  }
  if (comparison->has_effects)
    fputs(CAUTION, to);
  arena_free(arena);
}
