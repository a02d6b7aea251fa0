/* sarif.c - everything told to the author as SARIF 2.1.0, for programs that gather findings.
 *
 * One log with one run.  Its rules are the codes that occur, in the order of their numbers; columns
 * count code points, as the messages themselves do.  Without a limit on their number: who reads it
 * is no person at a terminal. */
#include "borelay/emit.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/json.h"

struct log {
  const struct outcome *outcome;
  bool occurs[DIAG_CODE_COUNT];
  int rule_index[DIAG_CODE_COUNT]; /* where the code occurs */
};

static json_t *text_object(const char *text) {
  json_t *object = json_object();
  json_put(object, "text", json_text(text));
  return object;
}

/* -- places ----------------------------------------------------------------------------------- */

static bool stands_as_it_is(unsigned char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         strchr("-._~/", c) != NULL;
}

/* RFC 3986: an absolute path as a file URI, another one as a relative reference; a colon, too, is
 * written as its code, so that no first part is taken for a scheme. */
static json_t *uri_text(const char *path) {
  static const char LEAD[] = "file://";
  char *uri = malloc(sizeof LEAD + 3 * strlen(path));
  if (!uri)
    return json_text("");
  size_t used = 0;
  if (*path == '/')
    used = (size_t)sprintf(uri, "%s", LEAD);
  for (const char *at = path; *at; at++) {
    unsigned char c = (unsigned char)*at;
    if (stands_as_it_is(c))
      uri[used++] = *at;
    else
      used += (size_t)sprintf(uri + used, "%%%02X", (unsigned)c);
  }
  uri[used] = '\0';
  json_t *text = json_text(uri);
  free(uri);
  return text;
}

static json_t *region_object(const struct source_set *sources, span at) {
  struct source_place begin = source_place_get(sources, at.file, at.begin);
  struct source_place end = source_place_get(sources, at.file, at.end);
  json_t *region = json_object();
  json_put(region, "startLine", json_integer(begin.line));
  json_put(region, "startColumn", json_integer(begin.column));
  json_put(region, "endLine", json_integer(end.line));
  json_put(region, "endColumn", json_integer(end.column)); /* behind the last one */
  return region;
}

/* Of a file its line and column; of a setting, which lies in no file, its text as a name. */
static json_t *location_object(const struct source_set *sources, span at) {
  json_t *location = json_object();
  if (at.file == 0)
    return location;
  const struct source *source = source_get(sources, at.file);
  if (!source->is_file) {
    json_t *logical = json_array(), *name = json_object();
    json_put(name, "fullyQualifiedName", json_text(source->path));
    json_append(logical, name);
    json_put(location, "logicalLocations", logical);
    return location;
  }
  json_t *physical = json_object(), *artifact = json_object();
  json_put(artifact, "uri", uri_text(source->path));
  json_put(physical, "artifactLocation", artifact);
  json_put(physical, "region", region_object(sources, at));
  json_put(location, "physicalLocation", physical);
  return location;
}

/* -- rules and results ------------------------------------------------------------------------ */

static const char *level_of(bool is_error) {
  return is_error ? "error" : "warning";
}

static int compare_codes(const void *a, const void *b) {
  int x = diag_code_info_get(*(const enum diag_code *)a).number;
  int y = diag_code_info_get(*(const enum diag_code *)b).number;
  return (x > y) - (x < y);
}

static json_t *rule_object(enum diag_code code) {
  struct diag_code_info info = diag_code_info_get(code);
  json_t *rule = json_object(), *usual = json_object();
  char id[16];
  snprintf(id, sizeof id, "%c%04d", info.is_warning ? 'W' : 'E', info.number);
  json_put(rule, "id", json_text(id));
  json_put(rule, "shortDescription", text_object(info.summary));
  json_put(usual, "level", json_text(level_of(!info.is_warning)));
  json_put(rule, "defaultConfiguration", usual);
  return rule;
}

static json_t *rules_array(struct log *log) {
  enum diag_code codes[DIAG_CODE_COUNT] = {(enum diag_code)0};
  size_t count = 0;
  json_t *array = json_array();
  for (size_t i = 0; i < diag_count(log->outcome->diags); i++)
    log->occurs[diag_view_get(log->outcome->diags, i).what] = true;
  for (int code = 0; code < DIAG_CODE_COUNT; code++)
    if (log->occurs[code])
      codes[count++] = (enum diag_code)code;
  qsort(codes, count, sizeof *codes, compare_codes);
  for (size_t i = 0; i < count; i++) {
    log->rule_index[codes[i]] = (int)i;
    json_append(array, rule_object(codes[i]));
  }
  return array;
}

static json_t *message_object(const struct diag_view *view) {
  if (!view->help)
    return text_object(view->message);
  size_t room = strlen(view->message) + strlen(view->help) + 16;
  char *text = malloc(room);
  if (!text)
    return text_object(view->message);
  snprintf(text, room, "%s\nhelp: %s", view->message, view->help);
  json_t *object = text_object(text);
  free(text);
  return object;
}

static json_t *related_array(const struct outcome *outcome, size_t index) {
  json_t *array = json_array();
  struct diag_note_view note;
  for (size_t i = 0; diag_note_get(outcome->diags, index, i, &note); i++) {
    json_t *location = location_object(outcome->sources, note.at);
    json_put(location, "message", text_object(note.text));
    json_append(array, location);
  }
  return array;
}

static json_t *result_object(const struct log *log, size_t index) {
  const struct outcome *outcome = log->outcome;
  struct diag_view view = diag_view_get(outcome->diags, index);
  json_t *result = json_object(), *locations = json_array();
  json_put(result, "ruleId", json_text(view.code));
  json_put(result, "ruleIndex", json_integer(log->rule_index[view.what]));
  json_put(result, "level", json_text(level_of(view.is_error)));
  json_put(result, "message", message_object(&view));
  if (view.at.file != 0)
    json_append(locations, location_object(outcome->sources, view.at));
  json_put(result, "locations", locations);
  json_t *related = related_array(outcome, index);
  if (json_array_size(related) > 0)
    json_put(result, "relatedLocations", related);
  else
    json_decref(related);
  return result;
}

static json_t *tool_object(struct log *log) {
  json_t *tool = json_object(), *driver = json_object();
  json_put(driver, "name", json_text("borelay"));
  json_put(driver, "rules", rules_array(log));
  json_put(tool, "driver", driver);
  return tool;
}

/* The run of the program, which went well also where it refused the job. */
static json_t *invocations_array(const struct outcome *outcome) {
  json_t *array = json_array(), *invocation = json_object();
  json_put(invocation, "executionSuccessful", json_true());
  json_put(invocation, "exitCode", json_integer(outcome_passed(outcome) ? 0 : 1));
  json_append(array, invocation);
  return array;
}

char *sarif_text(const struct outcome *outcome) {
  struct log log = {.outcome = outcome};
  json_t *root = json_object(), *runs = json_array(), *run = json_object();
  json_t *results = json_array();
  json_put(run, "tool", tool_object(&log)); /* finds the rules' places, first */
  for (size_t i = 0; i < diag_count(outcome->diags); i++)
    json_append(results, result_object(&log, i));
  json_put(run, "invocations", invocations_array(outcome));
  json_put(run, "columnKind", json_text("unicodeCodePoints"));
  json_put(run, "results", results);
  json_append(runs, run);
  json_put(root, "version", json_text("2.1.0"));
  json_put(root, "runs", runs);
  char *text = json_layout(root);
  json_decref(root);
  return text;
}
