/* Checked calls of the allocator. */
#include "editor/memory.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void *memory_grow(void *old, size_t bytes) {
  void *grown = realloc(old, bytes ? bytes : 1);
  if (!grown) {
    fputs("borelay: out of memory\n", stderr);
    exit(3);
  }
  return grown;
}

char *memory_text(const char *text, size_t length) {
  char *copy = memory_grow(NULL, length + 1);
  if (length > 0)
    memcpy(copy, text, length);
  copy[length] = '\0';
  return copy;
}
