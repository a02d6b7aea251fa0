/* outputs.c - texts that are whole already, written together. */
#include "borelay/emit.h"

#include <errno.h>
#include <stdlib.h>

static size_t write_all(const struct output *outputs, size_t count, struct outfile *files) {
  size_t failed = count;
  for (size_t i = 0; i < count; i++) {
    files[i] = (struct outfile){.fd = -1, .folder = -1};
    if (failed < count)
      continue;
    if (outfile_open(&files[i], outputs[i].path))
      outfile_put(&files[i], outputs[i].bytes, outputs[i].length);
    if (!outfile_sync(&files[i]))
      failed = i;
  }
  return failed;
}

int outputs_write(const struct output *outputs, size_t count, const char **failed) {
  *failed = count > 0 ? outputs[0].path : "";
  struct outfile *files = calloc(count ? count : 1, sizeof *files);
  if (!files)
    return ENOMEM;
  size_t at = write_all(outputs, count, files);
  if (at == count)
    at = outfiles_commit(files, count);
  int error = at < count ? files[at].error : 0;
  if (error)
    *failed = outputs[at].path;
  for (size_t i = 0; i < count; i++)
    outfile_abandon(&files[i]);
  free(files);
  return error;
}
