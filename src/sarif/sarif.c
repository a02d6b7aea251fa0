/* sarif.c - findings gathered, and laid out as a log.
 *
 * A finding is kept as the standard's result but for `ruleIndex`, which is known when all are
 * there; rules stand in the order in which they first occur. */
#include "borelay/sarif.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/json.h"

struct sarif {
  json_t *results;  /* each by its own text, in the order in which they were added */
  json_t *rules;    /* by id, likewise */
  json_t *failures; /* notifications of the run itself */
};

/* Of a kept result: at which values of params.  It makes no difference. */
static const char WHERE[] = "where";

struct sarif *sarif_new(void) {
  struct sarif *sarif = json_memory(malloc(sizeof *sarif));
  *sarif = (struct sarif){json_object(), json_object(), json_array()};
  return sarif;
}

void sarif_free(struct sarif *sarif) {
  if (!sarif)
    return;
  json_decref(sarif->results);
  json_decref(sarif->rules);
  json_decref(sarif->failures);
  free(sarif);
}

static json_t *text_object(const char *text) {
  json_t *object = json_object();
  json_put(object, "text", json_text(text));
  return object;
}

static json_t *joined_object(const char *first, const char *between, const char *second) {
  size_t room = strlen(first) + strlen(between) + strlen(second) + 1;
  char *text = json_memory(malloc(room));
  snprintf(text, room, "%s%s%s", first, between, second);
  json_t *object = text_object(text);
  free(text);
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
  char *uri = json_memory(malloc(sizeof LEAD + 3 * strlen(path)));
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

static json_t *names_array(const char *name) {
  json_t *array = json_array(), *logical = json_object();
  json_put(logical, "fullyQualifiedName", json_text(name));
  json_append(array, logical);
  return array;
}

/* Of a file its line and column; of a setting, which lies in no file, its text as a name. */
static json_t *location_object(const struct source_set *sources, span at) {
  json_t *location = json_object();
  if (at.file == 0)
    return location;
  const struct source *source = source_get(sources, at.file);
  if (!source->is_file) {
    json_put(location, "logicalLocations", names_array(source->path));
    return location;
  }
  json_t *physical = json_object(), *artifact = json_object();
  json_put(artifact, "uri", uri_text(source->path));
  json_put(physical, "artifactLocation", artifact);
  json_put(physical, "region", region_object(sources, at));
  json_put(location, "physicalLocation", physical);
  return location;
}

/* A file by its path, with a line where it has any; a place in it by its name. */
static json_t *finding_location(const struct sarif_finding *finding) {
  json_t *location = json_object();
  if (finding->path) {
    json_t *physical = json_object(), *artifact = json_object(), *region = json_object();
    json_put(artifact, "uri", uri_text(finding->path));
    json_put(physical, "artifactLocation", artifact);
    if (finding->line > 0) {
      json_put(region, "startLine", json_integer((json_int_t)finding->line));
      json_put(physical, "region", json_incref(region));
    }
    json_decref(region);
    json_put(location, "physicalLocation", physical);
  }
  if (finding->name)
    json_put(location, "logicalLocations", names_array(finding->name));
  return location;
}

/* -- rules and results ------------------------------------------------------------------------ */

static const char *level_of(bool is_error) {
  return is_error ? "error" : "warning";
}

static void add_rule(struct sarif *sarif, const char *id, const char *about, bool is_error) {
  if (json_object_get(sarif->rules, id))
    return;
  json_t *rule = json_object(), *usual = json_object();
  json_put(rule, "id", json_text(id));
  json_put(rule, "shortDescription", text_object(about));
  json_put(usual, "level", json_text(level_of(is_error)));
  json_put(rule, "defaultConfiguration", usual);
  json_put(sarif->rules, id, rule);
}

static json_int_t count_of(const json_t *result) {
  const json_t *count = json_object_get(result, "occurrenceCount");
  return count ? json_integer_value(count) : 1;
}

/* Takes the result over.  One that is there already is counted. */
static void add_known(struct sarif *sarif, const char *key, json_t *result) {
  json_t *before = json_object_get(sarif->results, key);
  if (!before) {
    json_put(sarif->results, key, result);
    return;
  }
  json_put(before, "occurrenceCount", json_integer(count_of(before) + count_of(result)));
  json_decref(result);
}

static void add_result(struct sarif *sarif, json_t *result, const char *where) {
  char *key = json_memory(json_dumps(result, JSON_COMPACT));
  if (where && *where)
    json_put(result, WHERE, json_text(where));
  add_known(sarif, key, result);
  free(key);
}

static json_t *result_object(const char *rule, bool is_error, const char *message,
                             const char *help) {
  json_t *result = json_object();
  json_put(result, "ruleId", json_text(rule));
  json_put(result, "level", json_text(level_of(is_error)));
  json_put(result, "message",
           help ? joined_object(message, "\nhelp: ", help) : text_object(message));
  return result;
}

static json_t *related_array(const struct source_set *sources, const struct diag_list *diags,
                             size_t index) {
  json_t *array = json_array();
  struct diag_note_view note;
  for (size_t i = 0; diag_note_get(diags, index, i, &note); i++) {
    json_t *location = location_object(sources, note.at);
    json_put(location, "message", text_object(note.text));
    json_append(array, location);
  }
  return array;
}

void sarif_add_diags(struct sarif *sarif, const struct source_set *sources,
                     const struct diag_list *diags, const char *where) {
  for (size_t i = 0; i < diag_count(diags); i++) {
    struct diag_view view = diag_view_get(diags, i);
    json_t *result = result_object(view.code, view.is_error, view.message, view.help);
    json_t *locations = json_array(), *related = related_array(sources, diags, i);
    if (view.at.file != 0)
      json_append(locations, location_object(sources, view.at));
    json_put(result, "locations", locations);
    if (json_array_size(related) > 0)
      json_put(result, "relatedLocations", json_incref(related));
    json_decref(related);
    add_rule(sarif, view.code, diag_code_info_get(view.what).summary, view.is_error);
    add_result(sarif, result, where);
  }
}

void sarif_add(struct sarif *sarif, const struct sarif_finding *finding) {
  json_t *result = result_object(finding->rule, true, finding->message, NULL);
  json_t *locations = json_array();
  if (finding->path || finding->name)
    json_append(locations, finding_location(finding));
  json_put(result, "locations", locations);
  add_rule(sarif, finding->rule, finding->about, true);
  add_result(sarif, result, NULL);
}

void sarif_fail(struct sarif *sarif, const char *text) {
  json_t *failure = json_object();
  json_put(failure, "level", json_text("error"));
  json_put(failure, "message", text_object(text));
  json_append(sarif->failures, failure);
}

void sarif_join(struct sarif *sarif, struct sarif *other) {
  const char *key;
  json_t *value;
  json_object_foreach(other->rules, key, value) {
    if (!json_object_get(sarif->rules, key))
      json_put(sarif->rules, key, json_incref(value));
  }
  json_object_foreach(other->results, key, value) {
    add_known(sarif, key, json_incref(value));
  }
  for (size_t i = 0; i < json_array_size(other->failures); i++)
    json_append(sarif->failures, json_incref(json_array_get(other->failures, i)));
  sarif_free(other);
}

/* -- the log ---------------------------------------------------------------------------------- */

static int rule_index(const struct sarif *sarif, const char *id) {
  const char *key;
  json_t *rule;
  int index = 0;
  json_object_foreach(sarif->rules, key, rule) {
    if (strcmp(key, id) == 0)
      return index;
    index++;
  }
  return -1;
}

/* As it is laid out: its rule's place is known, and where it occurred joins its message. */
static json_t *finished_result(const struct sarif *sarif, json_t *kept) {
  json_t *result = json_copy(kept), *where = json_object_get(kept, WHERE);
  const char *id = json_string_value(json_object_get(kept, "ruleId"));
  json_put(result, "ruleIndex", json_integer(rule_index(sarif, id)));
  if (where) {
    const char *message =
        json_string_value(json_object_get(json_object_get(kept, "message"), "text"));
    const char *lead = count_of(kept) > 1 ? "\nfirst at " : "\nat ";
    json_put(result, "message", joined_object(message, lead, json_string_value(where)));
    json_object_del(result, WHERE);
  }
  return result;
}

static json_t *results_array(const struct sarif *sarif) {
  json_t *array = json_array(), *kept;
  const char *key;
  json_object_foreach(sarif->results, key, kept) {
    json_append(array, finished_result(sarif, kept));
  }
  return array;
}

static json_t *tool_object(const struct sarif *sarif) {
  json_t *tool = json_object(), *driver = json_object(), *rules = json_array(), *rule;
  const char *id;
  json_object_foreach(sarif->rules, id, rule) {
    json_append(rules, json_incref(rule));
  }
  json_put(driver, "name", json_text("borelay"));
  json_put(driver, "rules", rules);
  json_put(tool, "driver", driver);
  return tool;
}

/* The run of the program, which went well also where it found something wrong. */
static json_t *invocations_array(const struct sarif *sarif, int exit_status) {
  json_t *array = json_array(), *invocation = json_object();
  bool has_failed = json_array_size(sarif->failures) > 0;
  json_put(invocation, "executionSuccessful", json_boolean(!has_failed));
  json_put(invocation, "exitCode", json_integer(exit_status));
  if (has_failed)
    json_put(invocation, "toolExecutionNotifications", json_incref(sarif->failures));
  json_append(array, invocation);
  return array;
}

char *sarif_text(const struct sarif *sarif, int exit_status) {
  json_t *root = json_object(), *runs = json_array(), *run = json_object();
  json_put(run, "tool", tool_object(sarif));
  json_put(run, "invocations", invocations_array(sarif, exit_status));
  json_put(run, "columnKind", json_text("unicodeCodePoints"));
  json_put(run, "results", results_array(sarif));
  json_append(runs, run);
  json_put(root, "version", json_text("2.1.0"));
  json_put(root, "runs", runs);
  char *text = json_layout(root);
  json_decref(root);
  return text;
}
