/* depfile.c - the files read, as a rule for make. */
#include "borelay/emit.h"

#include <string.h>

/* A blank ends a name, '#' begins a comment, '$' a variable; a backslash before a blank or '#'
 * would itself be read as an escape, so those backslashes double. */
static void put_name(struct outfile *to, const char *name) {
  for (const char *at = name; *at; at++) {
    size_t slashes = strspn(at, "\\");
    if (slashes > 0) {
      bool doubles = at[slashes] == ' ' || at[slashes] == '\t' || at[slashes] == '#';
      for (size_t i = 0; i < (doubles ? 2 * slashes : slashes); i++)
        outfile_text(to, "\\");
      at += slashes - 1;
    } else if (*at == '$') {
      outfile_text(to, "$$");
    } else {
      if (*at == ' ' || *at == '\t' || *at == '#')
        outfile_text(to, "\\");
      outfile_put(to, at, 1);
    }
  }
}

void depfile_write(const struct source_set *sources, const struct job *job, const char *target,
                   struct outfile *to) {
  put_name(to, target);
  outfile_text(to, ":");
  for (size_t i = 0; i < job->file_count; i++) {
    outfile_text(to, " \\\n  ");
    put_name(to, source_get(sources, job->files[i].file)->path);
  }
  outfile_text(to, "\n");
}
