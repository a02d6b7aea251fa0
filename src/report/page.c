/* page.c - the page is src/report/page.html with its marks, @@NAME@@, filled in. */
#include <stdlib.h>
#include <string.h>

#include "borelay/report.h"
#include "report/assets.h"
#include "report/parts.h"

struct filling {
  const char *mark;
  void (*put)(FILE *to, const struct page *page);
};

static const struct asset *asset_get(const char *name) {
  for (size_t i = 0; i < REPORT_ASSET_COUNT; i++)
    if (strcmp(REPORT_ASSETS[i].name, name) == 0)
      return &REPORT_ASSETS[i];
  abort(); /* the Makefile's list lacks it */
}

static void put_asset(FILE *to, const char *name) {
  const struct asset *asset = asset_get(name);
  fwrite(asset->bytes, 1, asset->length, to);
}

static void put_title(FILE *to, const struct page *page) {
  const struct job *job = page->outcome->job;
  put_html(to, job->title_text);
  if (*job->revision_text) {
    fputs(", revision ", to);
    put_html(to, job->revision_text);
  }
}

static void put_verdict(FILE *to, const struct page *page) {
  fputs(outcome_passed(page->outcome) ? "passed" : "refused", to);
}

static void put_style(FILE *to, const struct page *page) {
  (void)page;
  put_asset(to, "page.css");
}

static void put_summary(FILE *to, const struct page *page) {
  put_summary_data(to, page->outcome);
}

static void put_motion(FILE *to, const struct page *page) {
  put_motion_data(to, page->outcome->motion);
}

static void put_strain(FILE *to, const struct page *page) {
  put_strain_data(to, page->outcome->motion);
}

static void put_script(FILE *to, const struct page *page) {
  static const char *const parts[] = {"words.js",  "motion.js",  "contour.js", "metal.js",
                                      "marks.js",  "section.js", "wall.js",    "plan.js",
                                      "charts.js", "space.js",   "tables.js",  "follow.js"};
  (void)page;
  for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
    put_asset(to, parts[i]);
}

static void put_charts_library(FILE *to, const struct page *page) {
  (void)page;
  put_asset(to, "chart.min.js");
}

static void put_space_library(FILE *to, const struct page *page) {
  (void)page;
  put_asset(to, "three.min.js");
}

static void put_licences(FILE *to, const struct page *page) {
  (void)page;
  put_asset(to, "licences.html");
}

static const struct filling FILLINGS[] = {{"TITLE", put_title},
                                          {"VERDICT", put_verdict},
                                          {"STYLE", put_style},
                                          {"DRAWING_STYLE", put_drawing_style},
                                          {"DRAWINGS", put_drawings},
                                          {"SECTION", put_section},
                                          {"CHARTS", put_charts},
                                          {"SUMMARY", put_summary},
                                          {"SCENE", put_scene_data},
                                          {"MOTION", put_motion},
                                          {"STRAIN", put_strain},
                                          {"SCRIPT", put_script},
                                          {"CHARTS_LIBRARY", put_charts_library},
                                          {"SPACE_LIBRARY", put_space_library},
                                          {"LICENCES", put_licences}};

/* The filling whose mark `text` begins with, or NULL; *rest: behind the mark. */
static const struct filling *filling_at(const char *text, const char *end, const char **rest) {
  for (size_t i = 0; i < sizeof FILLINGS / sizeof FILLINGS[0]; i++) {
    size_t length = strlen(FILLINGS[i].mark);
    if ((size_t)(end - text) < length + 4 || memcmp(text + 2, FILLINGS[i].mark, length) != 0 ||
        memcmp(text + 2 + length, "@@", 2) != 0)
      continue;
    *rest = text + length + 4;
    return &FILLINGS[i];
  }
  return NULL;
}

static void put_page(FILE *to, const struct page *page) {
  const struct asset *form = asset_get("page.html");
  const char *at = (const char *)form->bytes, *end = at + form->length;
  while (at < end) {
    const char *mark = memmem(at, (size_t)(end - at), "@@", 2), *rest = NULL;
    const struct filling *filling = mark ? filling_at(mark, end, &rest) : NULL;
    fwrite(at, 1, (size_t)((mark ? mark : end) - at), to);
    if (mark && !filling)
      abort(); /* a mark that nobody fills */
    if (filling)
      filling->put(to, page);
    at = filling ? rest : end;
  }
}

char *report_page(struct arena *arena, const struct outcome *outcome, size_t *length) {
  char *text = NULL;
  FILE *to = open_memstream(&text, length);
  if (!to)
    report_no_memory();
  put_page(to, &(struct page){arena, outcome});
  if (fclose(to) != 0)
    report_no_memory();
  return text;
}
