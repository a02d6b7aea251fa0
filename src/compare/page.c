/* The comparison as one page: no scripts, no network, opens from a disk, prints on A4. */
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/draw.h"
#include "compare/page_parts.h"

static const char *answer(const struct comparison *comparison, struct arena *arena) {
  const struct differences *differences = &comparison->differences;
  switch (comparison_result(comparison)) {
  case COMPARISON_SAME:
    return "The same";
  case COMPARISON_OPEN:
    return "Not known: nothing differs in what could be read, but faults hide the rest";
  case COMPARISON_DIFFERENT:
    break;
  }
  return arena_format(arena, "Different: %zu in what is declared, %zu that a job uses",
                      differences->count, differences->used);
}

static void put_side(FILE *to, const struct comparison *comparison, int side) {
  const struct job *job = comparison->sides[side].outcome.job;
  const char *verdict = comparison_verdict(comparison, side);
  fprintf(to, "<tr><td><span class=\"key %s\"></span>%s</td><td>", side == 0 ? "before" : "after",
          side == 0 ? "before" : "after");
  page_text(to, comparison->sides[side].path);
  fputs("</td><td>", to);
  page_text(to, job ? job->title_text : "");
  fputs("</td><td>", to);
  page_text(to, job ? job->part_text : "");
  fputs("</td><td>", to);
  page_text(to, job ? job->revision_text : "");
  fprintf(to, "</td><td class=\"%s\">",
          strcmp(verdict, "refused") == 0  ? "worse"
          : strcmp(verdict, "passed") == 0 ? "better"
                                           : "");
  page_text(to, verdict);
  fputs("</td></tr>\n", to);
}

static void put_head(FILE *to, struct arena *arena, const struct comparison *comparison) {
  fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
        "style-src 'unsafe-inline'; img-src data:\">\n<link rel=\"icon\" href=\"data:,\">\n<title>",
        to);
  page_text(to, answer(comparison, arena));
  fputs("</title>\n<style>\n", to);
  fputs(draw_style(arena), to);
  fputc('\n', to);
  page_style(to);
  fputs("</style>\n</head>\n<body>\n<main>\n<h1>", to);
  page_text(to, answer(comparison, arena));
  fputs("</h1>\n<table class=\"sides\"><tr><td></td><th>File</th><th>Job</th><th>Part</th>"
        "<th>Revision</th><th>Verdict</th></tr>\n",
        to);
  put_side(to, comparison, 0);
  put_side(to, comparison, 1);
  fputs("</table>\n", to);
}

static void put_missing(FILE *to, struct arena *arena, const struct comparison *comparison) {
  const char *missing = effects_missing(comparison, arena);
  if (!missing)
    return;
  fputs("<h2>Not compared</h2>\n<p>", to);
  page_text(to, missing);
  fputs("</p>\n", to);
}

static const char FOOT[] =
    "<h2>Cautions</h2>\n<p class=\"quiet\">These figures are estimates from the geometry and the "
    "procedures as stated; nothing has been run on any machine. Dry-run with the arc off before "
    "welding. The qualified procedure, local codes and licensed practice decide.</p>\n"
    "</main>\n</body>\n</html>\n";

char *comparison_page(const struct comparison *comparison, size_t *length) {
  char *text = NULL;
  FILE *to = open_memstream(&text, length);
  if (!to)
    return NULL;
  struct arena *arena = arena_new();
  put_head(to, arena, comparison);
  page_declared(to, comparison);
  page_checks(to, comparison);
  page_places(to, arena, comparison);
  page_drawings(to, arena, comparison);
  page_effects(to, comparison);
  put_missing(to, arena, comparison);
  fputs(FOOT, to);
  arena_free(arena);
  if (fclose(to) == 0)
    return text;
  free(text);
  return NULL;
}
