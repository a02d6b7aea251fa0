/* The tables of the page: the same rows as the text. */
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "compare/page_parts.h"

void page_text(FILE *to, const char *text) {
  for (; *text; text++)
    switch (*text) {
    case '&':
      fputs("&amp;", to);
      break;
    case '<':
      fputs("&lt;", to);
      break;
    case '>':
      fputs("&gt;", to);
      break;
    case '"':
      fputs("&quot;", to);
      break;
    default:
      /* Control characters have no place in a page. */
      fputc((unsigned char)*text < ' ' ? ' ' : *text, to);
    }
}

static void cell(FILE *to, const char *class_name, const char *text) {
  fprintf(to, *class_name ? "<td class=\"%s\">" : "<td>", class_name);
  page_text(to, text);
  fputs("</td>", to);
}

/* -- what is declared -------------------------------------------------------------------------- */

static void difference_row(FILE *to, const struct difference *difference) {
  fputs("<tr>", to);
  cell(to, "path", difference->path);
  if (difference->kind == DIFFERENCE_CHANGED || difference->kind == DIFFERENCE_RENAMED) {
    cell(to, "", difference->before);
    cell(to, "", difference->after);
    cell(to, "",
         difference->change                       ? difference->change
         : difference->kind == DIFFERENCE_RENAMED ? "renamed"
                                                  : "");
  } else {
    cell(to, "", difference->before ? difference->before : "-");
    cell(to, "", difference->after ? difference->after : "-");
    cell(to, "", difference_kind_name(difference->kind));
  }
  fputs("</tr>\n", to);
}

static void differences_table(FILE *to, const struct differences *differences, bool is_used) {
  fputs("<table><tr><th>Path</th><th>Before</th><th>After</th><th>Change</th></tr>\n", to);
  for (size_t i = 0; i < differences->count; i++)
    if (differences->items[i].is_used == is_used)
      difference_row(to, &differences->items[i]);
  fputs("</table>\n", to);
}

void page_declared(FILE *to, const struct comparison *comparison) {
  const struct differences *differences = &comparison->differences;
  if (differences->used > 0) {
    fputs("<h2>Declared differently</h2>\n", to);
    differences_table(to, differences, true);
  }
  if (differences->count > differences->used) {
    fputs("<h2>Declared differently, but used by neither job</h2>\n", to);
    differences_table(to, differences, false);
  }
}

/* -- figures ----------------------------------------------------------------------------------- */

static bool is_same_place(const struct effect *a, const struct effect *b) {
  bool same =
      a->overlay && b->overlay ? strcmp(a->overlay, b->overlay) == 0 : a->overlay == b->overlay;
  return same && a->layer == b->layer;
}

static void place_row(FILE *to, const struct effect *effect) {
  fputs("<tr class=\"part\"><th colspan=\"5\">", to);
  if (!effect->overlay) {
    fputs("Whole job", to);
  } else {
    fputs("Overlay ", to);
    page_text(to, effect->overlay);
    if (effect->layer > 0)
      fprintf(to, ", layer %" PRId64, effect->layer);
  }
  fputs("</th></tr>\n", to);
}

static void effect_row(FILE *to, const struct effect *effect) {
  char text[FIGURE_ROOM];
  int decimals = effect_decimals(effect);
  double step = effect->after - effect->before;
  fputs("<tr>", to);
  cell(to, "", effect->name);
  cell(to, "figure", effect_figure(effect->before, decimals, text));
  cell(to, "figure", effect_figure(effect->after, decimals, text));
  cell(to, "", effect->unit);
  fputs("<td class=\"figure\">", to);
  if (isnan(step))
    fputs(isnan(effect->before) ? "new" : "gone", to);
  else
    fprintf(to, "%s%s", step > 0 ? "+" : "", effect_figure(step, decimals, text));
  fputs("</td></tr>\n", to);
}

void page_effects(FILE *to, const struct comparison *comparison) {
  const struct effects *effects = &comparison->effects;
  const struct effect *last = NULL;
  for (size_t i = 0; i < effects->count; i++) {
    const struct effect *effect = &effects->items[i];
    if (!effect_is_change(effect))
      continue;
    if (!last)
      fputs("<h2>What that does</h2>\n<table><tr><th>Figure</th><th class=\"figure\">Before</th>"
            "<th class=\"figure\">After</th><th>Unit</th><th class=\"figure\">Step</th></tr>\n",
            to);
    if (!last || !is_same_place(last, effect))
      place_row(to, effect);
    last = effect;
    effect_row(to, effect);
  }
  if (last)
    fputs("</table>\n", to);
}

static void check_row(FILE *to, const struct check_pair *pair) {
  const struct check_result *one = pair->after ? pair->after : pair->before;
  bool fails = pair->after && pair->after->judged && !pair->after->passed;
  char text[FIGURE_ROOM];
  fputs("<tr>", to);
  cell(to, "", one->name);
  cell(to, "figure", check_margin_text(pair->before, pair->margin_before, text));
  cell(to, "figure", check_margin_text(pair->after, pair->margin_after, text));
  cell(to, "", one->unit);
  cell(to, fails || pair->worsening > 0 ? "worse" : "better", check_word(pair));
  cell(to, "quiet", pair->after && pair->after->detail ? pair->after->detail : "");
  fputs("</tr>\n", to);
}

void page_checks(FILE *to, const struct comparison *comparison) {
  char text[OTHERS_ROOM];
  size_t changed = 0;
  for (size_t i = 0; i < comparison->check_count; i++) {
    if (!check_is_change(&comparison->checks[i]))
      continue;
    if (changed++ == 0)
      fputs("<h2>Margins, what got worse first</h2>\n<table><tr><th>Check</th>"
            "<th class=\"figure\">Before</th><th class=\"figure\">After</th><th>Unit</th><th></th>"
            "<th>Where it is worst after</th></tr>\n",
            to);
    check_row(to, &comparison->checks[i]);
  }
  if (changed > 0)
    fputs("</table>\n", to);
  if (changed > 0 && comparison->check_count > changed)
    fprintf(to, "<p class=\"quiet\">%s.</p>\n",
            other_checks_text("The", comparison->check_count - changed, text));
}

/* -- where ------------------------------------------------------------------------------------- */

enum { PARTS_SHOWN = 8 };

static void zone_rows(FILE *to, const struct comparison *comparison) {
  if (comparison->zone_count == 0)
    return;
  fputs("<h2>Zones that moved, with their margin</h2>\n<table><tr><th>Zone</th><th>Before</th>"
        "<th>After</th></tr>\n",
        to);
  for (size_t i = 0; i < comparison->zone_count; i++) {
    const struct zone_change *change = &comparison->zones[i];
    fputs("<tr><td>overlay ", to);
    page_text(to, change->overlay);
    fputs(", zone ", to);
    page_text(to, change->zone);
    fputs("</td>", to);
    cell(to, "", change->before ? change->before : "-");
    cell(to, "", change->after ? change->after : "-");
    fputs("</tr>\n", to);
  }
  fputs("</table>\n", to);
}

static void part_rows(FILE *to, struct arena *arena, const struct cover_change *change,
                      const struct cover_parts *parts, const char *what) {
  for (size_t i = 0; i < parts->count && i < PARTS_SHOWN; i++) {
    const struct cover_part *part = &parts->items[i];
    fputs("<tr><td>", to);
    page_text(to, change->overlay);
    fprintf(to, ", layer %" PRId64 "</td>", change->layer);
    cell(to, "", what);
    fprintf(to, "<td class=\"figure\">%.1f mm&#178;</td><td>%.2f .. %.2f mm</td>", part->area,
            part->depth.lo, part->depth.hi);
    cell(to, "", cover_part_round(arena, change, part));
    fputs("</tr>\n", to);
  }
  if (parts->count > PARTS_SHOWN)
    fprintf(to,
            "<tr><td></td><td colspan=\"4\" class=\"quiet\">and %zu smaller; %.1f mm&#178; in all"
            "</td></tr>\n",
            parts->count - PARTS_SHOWN, parts->area);
}

static void cover_rows(FILE *to, struct arena *arena, const struct comparison *comparison) {
  if (comparison->cover_count == 0)
    return;
  fputs("<h2>Wall covered</h2>\n<table><tr><th>Overlay</th><th></th><th class=\"figure\">Area</th>"
        "<th>Depths</th><th>Round the wall</th></tr>\n",
        to);
  for (size_t i = 0; i < comparison->cover_count; i++) {
    part_rows(to, arena, &comparison->covers[i], &comparison->covers[i].newly, "newly covered");
    part_rows(to, arena, &comparison->covers[i], &comparison->covers[i].no_longer,
              "no longer covered");
  }
  fputs("</table>\n", to);
}

static void tip_row(FILE *to, const char *what, const struct tip_apart *tip) {
  if (!tip->apart.is_there)
    return;
  fprintf(to, "<tr><td>%s</td>", what);
  if (tip->apart.distance < APART_SURE) {
    fprintf(to, "<td colspan=\"2\">the same to %.2f mm</td></tr>\n", APART_SURE);
    return;
  }
  fprintf(to, "<td class=\"figure\">%.2f mm</td><td>%s, ", tip->apart.distance,
          tip->apart.side == 0 ? "before" : "after");
  page_text(to, tip->where);
  fputs("</td></tr>\n", to);
}

void page_places(FILE *to, struct arena *arena, const struct comparison *comparison) {
  zone_rows(to, comparison);
  cover_rows(to, arena, comparison);
  if (!comparison->tip_on.apart.is_there && !comparison->tip_off.apart.is_there)
    return;
  fputs("<h2>Largest distance between the two ways of the tip, on the part</h2>\n<table>\n", to);
  tip_row(to, "arc on", &comparison->tip_on);
  tip_row(to, "arc off", &comparison->tip_off);
  fputs("</table>\n", to);
}
