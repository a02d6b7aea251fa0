/* What commands found as a file. */
#include "command/findings.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/emit.h"

enum status tell_failure(struct sarif *sarif, const char *doing, const char *path, int error) {
  char text[4608];
  bool is_stream = strcmp(path, "-") == 0 && strcmp(doing, "write") == 0; /* a job is a file */
  snprintf(text, sizeof text, "cannot %s %.4000s: %s", doing, is_stream ? "standard output" : path,
           strerror(error));
  fprintf(stderr, "borelay: %s\n", text);
  sarif_fail(sarif, text);
  return STATUS_FILE_FAILED;
}

enum status findings_give(const struct sarif *sarif, const char *path, enum status status) {
  const char *failed;
  if (!path)
    return status;
  char *text = sarif_text(sarif, (int)status);
  struct output output = {path, text, strlen(text)};
  int error = outputs_write(&output, 1, &failed);
  free(text);
  if (!error)
    return status;
  fprintf(stderr, "borelay: cannot write %s: %s\n", path, strerror(error));
  return STATUS_FILE_FAILED;
}
