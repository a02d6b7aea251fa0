/* harmless.c - what an author wrote may say anything; on the page it is only ever text. */
#include <stdlib.h>

#include "report/parts.h"

void put_html(FILE *to, const char *text) {
  for (; *text; text++) {
    unsigned char c = (unsigned char)*text;
    if (c == '<' || c == '>' || c == '&' || c == '"' || c == '\'')
      fprintf(to, "&#%d;", c);
    else
      fputc(c, to);
  }
}

void put_json(FILE *to, const char *json) {
  for (; *json; json++) {
    if (*json == '<')
      fputs("\\u003c", to);
    else
      fputc(*json, to);
  }
}

void report_no_memory(void) {
  fputs("borelay: out of memory\n", stderr);
  exit(3);
}

void *report_alloc(size_t count, size_t size) {
  void *made = calloc(count ? count : 1, size);
  if (!made)
    report_no_memory();
  return made;
}

void *report_grow(void *old, size_t count, size_t size) {
  void *made = reallocarray(old, count ? count : 1, size);
  if (!made)
    report_no_memory();
  return made;
}
