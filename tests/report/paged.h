/* paged.h - a job taken to its outcome and its page, and the page's blocks of data read back: the
 * page by libxml2's reader of HTML, the data by jansson. */
#ifndef TESTS_REPORT_PAGED_H
#define TESTS_REPORT_PAGED_H

#include "support/close.h"

#include <jansson.h>
#include <libxml/HTMLparser.h>
#include <libxml/xpath.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/report.h"
#include "borelay/resolve.h"

struct paged {
  struct arena *arena;
  struct outcome outcome;
  char *page;
  size_t length;
  xmlDoc *tree;
};

static inline struct paged paged_make(const char *path) {
  struct paged made = {.arena = arena_new()};
  const char *unreadable = NULL;
  struct outcome *outcome = &made.outcome;
  struct source_set *sources = source_set_new(made.arena);
  *outcome = (struct outcome){.sources = sources, .diags = diag_list_new(made.arena, sources)};
  outcome->job = job_resolve(made.arena, sources, outcome->diags, path, NULL, 0, &unreadable);
  assert_non_null(outcome->job);
  outcome->plan = plan_make(made.arena, outcome->job, outcome->diags);
  assert_non_null(outcome->plan);
  outcome->motion = motion_make(made.arena, outcome->plan, outcome->diags);
  assert_non_null(outcome->motion);
  outcome->verdict = check_motion(made.arena, outcome->motion);
  refusal_tell(outcome->verdict, outcome->plan, outcome->diags);
  made.page = report_page(made.arena, outcome, &made.length);
  made.tree = htmlReadMemory(made.page, (int)made.length, "page", "utf-8",
                             HTML_PARSE_NOERROR | HTML_PARSE_NOWARNING | (int)XML_PARSE_HUGE |
                                 HTML_PARSE_NONET);
  assert_non_null(made.tree);
  return made;
}

static inline void paged_end(struct paged *made) {
  xmlFreeDoc(made->tree);
  free(made->page);
  arena_free(made->arena);
}

/* The text that an XPath expression leads to; the caller frees with xmlFree(). */
static inline char *paged_text(const struct paged *made, const char *expression) {
  xmlXPathContext *context = xmlXPathNewContext(made->tree);
  xmlXPathObject *found = xmlXPathEvalExpression((const xmlChar *)expression, context);
  assert_non_null(found);
  xmlChar *text = xmlXPathCastToString(found);
  xmlXPathFreeObject(found);
  xmlXPathFreeContext(context);
  return (char *)text;
}

/* The caller drops the reference. */
static inline json_t *paged_data(const struct paged *made, const char *id) {
  char expression[100];
  snprintf(expression, sizeof expression, "//script[@id='%s']", id);
  char *text = paged_text(made, expression);
  json_error_t error;
  json_t *data = json_loads(text, 0, &error);
  if (!data)
    fail_msg("%s: %s", id, error.text);
  xmlFree(text);
  return data;
}

#endif
