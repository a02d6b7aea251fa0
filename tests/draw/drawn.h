/* drawn.h - a job taken to its outcome, and drawings read back by libxml2 (2.9, Debian), which
 * knows XML better than we do. */
#ifndef TESTS_DRAW_DRAWN_H
#define TESTS_DRAW_DRAWN_H

#include "support/close.h"

#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/draw.h"
#include "borelay/resolve.h"

static const struct draw_look plain_look = {.prefix = ""};

/* The stages in their order, from a file. */
static inline struct outcome outcome_of(struct arena *arena, const char *path) {
  const char *unreadable = NULL;
  struct source_set *sources = source_set_new(arena);
  struct outcome outcome = {.sources = sources, .diags = diag_list_new(arena, sources)};
  outcome.job = job_resolve(arena, sources, outcome.diags, path, NULL, 0, &unreadable);
  assert_null(unreadable);
  if (outcome.job)
    outcome.plan = plan_make(arena, outcome.job, outcome.diags);
  if (outcome.plan)
    outcome.motion = motion_make(arena, outcome.plan, outcome.diags);
  if (outcome.motion)
    outcome.verdict = check_motion(arena, outcome.motion);
  if (outcome.verdict)
    refusal_tell(outcome.verdict, outcome.plan, outcome.diags);
  return outcome;
}

/* As libxml2 wants texts. */
static inline const xmlChar *xml_text(const char *text) {
  return (const xmlChar *)text;
}

/* A drawing as a tree; elements are found whatever their namespace by local-name(). */
struct drawn {
  xmlDoc *tree;
  xmlXPathContext *context;
};

static inline struct drawn drawn_read(const char *text) {
  assert_non_null(text);
  struct drawn drawn = {xmlReadMemory(text, (int)strlen(text), "drawing", NULL, XML_PARSE_NONET),
                        NULL};
  assert_non_null(drawn.tree);
  drawn.context = xmlXPathNewContext(drawn.tree);
  assert_non_null(drawn.context);
  xmlXPathRegisterNs(drawn.context, xml_text("s"), xml_text("http://www.w3.org/2000/svg"));
  return drawn;
}

static inline void drawn_free(struct drawn *drawn) {
  xmlXPathFreeContext(drawn->context);
  xmlFreeDoc(drawn->tree);
}

/* What an XPath expression that gives a number comes to. */
static inline double drawn_number(const struct drawn *drawn, const char *expression) {
  xmlXPathObject *found = xmlXPathEvalExpression(xml_text(expression), drawn->context);
  if (!found)
    fail_msg("no value: %s", expression);
  double number = xmlXPathCastToNumber(found);
  xmlXPathFreeObject(found);
  return number;
}
static inline size_t drawn_count(const struct drawn *drawn, const char *path) {
  char expression[400];
  snprintf(expression, sizeof expression, "count(%s)", path);
  return (size_t)drawn_number(drawn, expression);
}
/* The text of a node; the caller frees by xmlFree. */
static inline char *drawn_text(const struct drawn *drawn, const char *expression) {
  xmlXPathObject *found = xmlXPathEvalExpression(xml_text(expression), drawn->context);
  assert_non_null(found);
  char *text = (char *)xmlXPathCastToString(found);
  xmlXPathFreeObject(found);
  return text;
}

#endif
