/* The table and the JSON say the same. */
#include "bench/figures.h"

void figure_add(struct figures *figures, struct figure figure) {
  if (figures->count < FIGURES_MOST)
    figures->items[figures->count++] = figure;
}

static double judged(const struct figure *figure) {
  return figure->against ? figure->value / figure->baseline : figure->value;
}

static bool is_met(const struct figure *figure) {
  return figure->at_least ? judged(figure) >= figure->goal : judged(figure) <= figure->goal;
}

static void print_line(const struct figure *figure, FILE *to) {
  fprintf(to, "%-54s ", figure->what);
  if (figure->skipped) {
    fprintf(to, "%s\n", figure->skipped);
    return;
  }
  bool stands_alone = !figure->against && !(figure->goal > 0);
  fprintf(to, "%10.4g  %-*s", figure->value, stands_alone ? 0 : 14, figure->unit);
  if (figure->against)
    fprintf(to, " %10.4g %8.3g", figure->baseline, judged(figure));
  else if (!stands_alone)
    fprintf(to, " %10s %8s", "", "");
  if (figure->goal > 0)
    fprintf(to, " %s %8.4g  %s", figure->at_least ? ">=" : "<=", figure->goal,
            is_met(figure) ? "met" : "NOT MET");
  fprintf(to, "\n");
}

void figures_print(const struct figures *figures, FILE *to) {
  fprintf(to, "%-54s %10s  %-14s %10s %8s %10s\n", "what", "figure", "unit", "baseline", "ratio",
          "goal");
  for (size_t i = 0; i < figures->count; i++)
    print_line(&figures->items[i], to);
}

static void print_series(const struct series *series, FILE *to) {
  for (int times = 0; times < 2; times++) {
    fprintf(to, ", \"%s\": [", times ? "seconds" : "sizes");
    for (size_t i = 0; i < series->count; i++)
      fprintf(to, "%s%.9g", i ? ", " : "", times ? series->time[i] : series->size[i]);
    fprintf(to, "]");
  }
}

static void print_object(const struct figure *figure, FILE *to) {
  fprintf(to, "{\"what\": \"%s\"", figure->what);
  if (figure->skipped) {
    fprintf(to, ", \"skipped\": \"%s\"}", figure->skipped);
    return;
  }
  fprintf(to, ", \"figure\": %.9g, \"unit\": \"%s\"", figure->value, figure->unit);
  if (figure->against)
    fprintf(to, ", \"against\": \"%s\", \"baseline\": %.9g, \"ratio\": %.9g", figure->against,
            figure->baseline, judged(figure));
  if (figure->grown.count > 0)
    print_series(&figure->grown, to);
  if (figure->goal > 0)
    fprintf(to, ", \"goal\": %.9g, \"at_least\": %s, \"met\": %s", figure->goal,
            figure->at_least ? "true" : "false", is_met(figure) ? "true" : "false");
  fprintf(to, "}");
}

void figures_print_json(const struct figures *figures, FILE *to) {
  fprintf(to, "[\n");
  for (size_t i = 0; i < figures->count; i++) {
    fprintf(to, "  ");
    print_object(&figures->items[i], to);
    fprintf(to, "%s\n", i + 1 < figures->count ? "," : "");
  }
  fprintf(to, "]\n");
}
