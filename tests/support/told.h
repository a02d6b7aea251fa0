/* told.h - sources, diagnostics and an arena for one test, and what was told as text. */
#ifndef TESTS_TOLD_H
#define TESTS_TOLD_H

#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/source.h"
#include "support/close.h"

struct told {
  struct arena *arena;
  struct source_set *sources;
  struct diag_list *diags;
};

static inline struct told told_begin(void) {
  struct told told = {.arena = arena_new()};
  told.sources = source_set_new(told.arena);
  told.diags = diag_list_new(told.arena, told.sources);
  return told;
}

static inline void told_end(struct told *told) {
  arena_free(told->arena);
}

static inline uint32_t told_add(struct told *told, const char *path, const char *text) {
  return source_add_text(told->sources, path, text, strlen(text));
}

/* All diagnostics as printed; the caller frees the text. */
static inline char *told_text(const struct told *told) {
  char *text = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  assert_non_null(to);
  diag_print(told->diags, to);
  fclose(to);
  return text;
}

static inline void told_assert(const struct told *told, const char *want) {
  char *got = told_text(told);
  assert_string_equal(got, want);
  free(got);
}

#endif
