/* What commands found as a file. */
#include "command/findings.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/json.h"

enum status tell_failure(struct sarif *sarif, const char *doing, const char *path, int error) {
  char text[4608];
  bool is_stream = strcmp(path, "-") == 0 && strcmp(doing, "write") == 0; /* a job is a file */
  snprintf(text, sizeof text, "cannot %s %.4000s: %s", doing, is_stream ? "standard output" : path,
           strerror(error));
  fprintf(stderr, "borelay: %s\n", text);
  sarif_fail(sarif, text);
  return STATUS_FILE_FAILED;
}

/* Findings on standard output wait until all the others are there: they cannot be taken back. */
enum status findings_give(struct sarif *sarif, const char *path, const struct output *others,
                          size_t count, enum status status) {
  bool comes_last = path && count > 0 && strcmp(path, "-") == 0;
  struct output *outputs = json_memory(calloc(count + 1, sizeof *outputs));
  char *text = path && !comes_last ? sarif_text(sarif, (int)status) : NULL;
  const char *failed;
  size_t all = 0;
  while (all < count) {
    outputs[all] = others[all];
    all++;
  }
  if (text)
    outputs[all++] = (struct output){path, text, strlen(text)};
  int error = outputs_write(outputs, all, &failed);
  free(outputs);
  free(text);
  if (error) {
    if (path && failed == path)
      path = NULL;
    status = tell_failure(sarif, "write", failed, error);
  }
  return path && (error || comes_last) ? findings_give(sarif, path, NULL, 0, status) : status;
}
