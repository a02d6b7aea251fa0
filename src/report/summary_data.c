/* summary_data.c - the summary as `--json` gives it, but for the folders that files lie in: those
 * are this machine's affair, and the page is to be the same wherever it is made. */
#include <stdlib.h>
#include <string.h>

#include "borelay/json.h"
#include "report/parts.h"

static void shorten_file(json_t *object) {
  const char *path = json_string_value(json_object_get(object, "file"));
  const char *slash = path ? strrchr(path, '/') : NULL;
  if (slash)
    json_put(object, "file", json_text(slash + 1));
}

static void shorten_list(json_t *summary, const char *key) {
  json_t *list = json_object_get(summary, key);
  for (size_t i = 0; i < json_array_size(list); i++)
    shorten_file(json_array_get(list, i));
}

void put_summary_data(FILE *to, const struct outcome *outcome) {
  char *whole = summary_text(outcome);
  json_t *summary = json_loads(whole, 0, NULL);
  free(whole);
  shorten_list(summary, "checks");
  shorten_list(summary, "warnings");
  shorten_list(summary, "errors");
  char *text = json_dumps(summary, JSON_COMPACT | JSON_REAL_PRECISION(12));
  json_decref(summary);
  if (text)
    put_json(to, text);
  else
    report_no_memory();
  free(text);
}
