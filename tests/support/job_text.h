/* job_text.h - a small job as text, changed in one place, taken as far as its motion. */
#ifndef TESTS_SUPPORT_JOB_TEXT_H
#define TESTS_SUPPORT_JOB_TEXT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/motion.h"
#include "borelay/resolve.h"
#include "support/close.h"
#include "support/pocket_text.h"

/* base_text with `from` replaced by `to`, written to a file of its own. */
static inline char *text_with(const char *from, const char *to) {
  const char *at = strstr(base_text, from);
  assert_non_null(at);
  char *text = malloc(sizeof base_text + strlen(to));
  if (!text)
    abort();
  size_t before = (size_t)(at - base_text);
  memcpy(text, base_text, before);
  strcpy(text + before, to);
  strcat(text, at + strlen(from));
  return text;
}

/* The same done again to text from text_with(), which is freed. */
static inline char *text_again(char *text, const char *from, const char *to) {
  const char *at = strstr(text, from);
  assert_non_null(at);
  char *made = malloc(strlen(text) + strlen(to) + 1);
  assert_non_null(made);
  size_t before = (size_t)(at - text);
  memcpy(made, text, before);
  strcpy(made + before, to);
  strcat(made, at + strlen(from));
  free(text);
  return made;
}

struct job_motion {
  struct arena *arena;
  const struct motion *motion; /* NULL: refused */
  char told[4096];             /* what was told, the file being shown as job.lay */
};

static inline struct job_motion job_motion_make(const char *text) {
  char path[] = "borelay_jobXXXXXX";
  int file = mkstemp(path);
  assert_true(file >= 0);
  FILE *to = fdopen(file, "w");
  assert_non_null(to);
  fputs(text, to);
  fclose(to);
  struct job_motion made = {.arena = arena_new()};
  struct source_set *sources = source_set_new(made.arena);
  struct diag_list *diags = diag_list_new(made.arena, sources);
  const char *unreadable = NULL;
  const struct job *job = job_resolve(made.arena, sources, diags, path, NULL, 0, &unreadable);
  const struct plan *plan = job ? plan_make(made.arena, job, diags) : NULL;
  made.motion = plan ? motion_make(made.arena, plan, diags) : NULL;
  FILE *memory = fmemopen(made.told, sizeof made.told - 1, "w");
  assert_non_null(memory);
  diag_print(diags, memory);
  fclose(memory);
  unlink(path);
  for (char *at; (at = strstr(made.told, path));) {
    memmove(at + 7, at + strlen(path), strlen(at + strlen(path)) + 1);
    memcpy(at, "job.lay", 7);
  }
  return made;
}

static inline void job_motion_end(struct job_motion *made) {
  arena_free(made->arena);
}

#endif
