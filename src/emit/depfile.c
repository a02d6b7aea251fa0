/* depfile.c - the files read, as a rule for make. */
#include "borelay/emit.h"

#include <string.h>

#include "borelay/json.h"

/* A blank ends a name, '#' begins a comment, '$' a variable; a backslash before a blank or '#'
 * would itself be read as an escape, so those backslashes double. */
static void put_name(FILE *to, const char *name) {
  for (const char *at = name; *at; at++) {
    size_t slashes = strspn(at, "\\");
    if (slashes > 0) {
      bool doubles = at[slashes] == ' ' || at[slashes] == '\t' || at[slashes] == '#';
      for (size_t i = 0; i < (doubles ? 2 * slashes : slashes); i++)
        fputs("\\", to);
      at += slashes - 1;
    } else if (*at == '$') {
      fputs("$$", to);
    } else {
      if (*at == ' ' || *at == '\t' || *at == '#')
        fputs("\\", to);
      fputc(*at, to);
    }
  }
}

static void put_prerequisite(FILE *to, const char *name) {
  fputs(" \\\n  ", to);
  put_name(to, name);
}

char *depfile_text(const struct depfile *rule) {
  char *text = NULL;
  size_t length;
  FILE *to = json_memory(open_memstream(&text, &length));
  put_name(to, rule->target);
  fputs(":", to);
  for (size_t i = 0; i < 2; i++)
    if (rule->streams[i])
      put_prerequisite(to, rule->streams[i]);
  for (size_t i = 0; i < 2; i++)
    for (uint32_t k = 1; rule->sources[i] && k <= source_count(rule->sources[i]); k++) {
      const struct source *source = source_get(rule->sources[i], k);
      if (source->is_file)
        put_prerequisite(to, source->path);
    }
  fputs("\n", to);
  return fclose(to) == 0 ? json_memory(text) : json_memory(NULL);
}
