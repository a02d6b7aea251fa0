/* What commands write besides what they print. */
#include "command/besides.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/json.h"

static bool is_standard(const char *path) {
  return path && strcmp(path, "-") == 0;
}

bool besides_take(struct besides *besides, int code) {
  if (code == OPTION_SUMMARY)
    besides->summary = optarg;
  else if (code == OPTION_SARIF)
    besides->sarif = optarg;
  else if (code == OPTION_DEPFILE)
    besides->depfile = optarg;
  else
    return false;
  return true;
}

bool besides_streams(const struct besides *besides) {
  return is_standard(besides->summary) || is_standard(besides->sarif) ||
         is_standard(besides->depfile);
}

enum status besides_check(const struct besides *besides, const char *command,
                          const char *const *others, size_t count) {
  const char *paths[] = {NULL, besides->summary, besides->sarif, besides->depfile};
  enum status status = named_once(command, paths, 4);
  for (size_t i = 0; i < count && status == STATUS_DONE; i++) {
    paths[0] = others[i];
    status = named_once(command, paths, 4);
  }
  return status;
}

static const char *target_of(const struct besides *besides, const struct output *own,
                             size_t count) {
  if (count > 0 && !is_standard(own->path))
    return own->path;
  return besides->summary && !is_standard(besides->summary) ? besides->summary : besides->depfile;
}

enum status besides_give(const struct besides *besides, struct sarif *findings,
                         const struct output *own, size_t own_count, const char *summary,
                         struct depfile *rule, enum status status) {
  struct output *outputs = json_memory(calloc(own_count + 2, sizeof *outputs));
  size_t count = 0;
  char *rule_text = NULL;
  while (count < own_count) {
    outputs[count] = own[count];
    count++;
  }
  if (besides->summary && summary)
    outputs[count++] = (struct output){besides->summary, summary, strlen(summary)};
  if (besides->depfile && rule) {
    rule->target = target_of(besides, own, own_count);
    rule_text = depfile_text(rule);
    outputs[count++] = (struct output){besides->depfile, rule_text, strlen(rule_text)};
  }
  status = findings_give(findings, besides->sarif, outputs, count, status);
  free(outputs);
  free(rule_text);
  return status;
}
