/* case_run.h - resolving sources that a test holds as text, in a folder of their own. */
#ifndef TESTS_SUPPORT_CASE_RUN_H
#define TESTS_SUPPORT_CASE_RUN_H

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/resolve.h"
#include "borelay/source.h"
#include "support/close.h"

/* One run; everything in it lives until run_end(). */
struct run {
  char folder[64];
  struct arena *arena;
  struct source_set *sources;
  struct diag_list *diags;
  const struct job *job;
  const char *unreadable;
  char *text; /* what was told */
};

static inline void file_write(const char *path, const char *text, size_t length) {
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(text, 1, length, file), length);
  assert_int_equal(fclose(file), 0);
}

static inline char *file_read(const char *path, size_t *length) {
  FILE *file = fopen(path, "rb");
  if (!file)
    fail_msg("cannot read %s: %s", path, strerror(errno));
  assert_int_equal(fseek(file, 0, SEEK_END), 0);
  long size = ftell(file);
  assert_true(size >= 0);
  rewind(file);
  char *text = calloc((size_t)size + 1, 1);
  assert_non_null(text);
  *length = fread(text, 1, (size_t)size, file);
  fclose(file);
  return text;
}

static inline void file_copy(const char *from, const char *to) {
  size_t length;
  char *text = file_read(from, &length);
  file_write(to, text, length);
  free(text);
}

/* Where the tests were started: a test that failed inside its folder leads back. */
static inline const char *home_folder(void) {
  static char home[4096];
  if (home[0] == '\0')
    assert_non_null(getcwd(home, sizeof home));
  return home;
}

/* Makes the folder, with the files that all cases share, and goes there. */
static inline void run_begin(struct run *run) {
  *run = (struct run){.folder = "/tmp/borelay-resolve-XXXXXX"};
  assert_non_null(mkdtemp(run->folder));
  assert_int_equal(chdir(home_folder()), 0);
  static const char *const shared[] = {"bench.lay", "bead.lay", "rest.lay"};
  for (size_t i = 0; i < 3; i++) {
    char from[128], to[128];
    snprintf(from, sizeof from, "tests/resolve/cases/common/%s", shared[i]);
    snprintf(to, sizeof to, "%s/%s", run->folder, shared[i]);
    file_copy(from, to);
  }
  assert_int_equal(chdir(run->folder), 0);
  run->arena = arena_new();
  run->sources = source_set_new(run->arena);
  run->diags = diag_list_new(run->arena, run->sources);
}

static inline void run_file(const char *name, const char *text) {
  file_write(name, text, strlen(text));
}

static inline void run_resolve(struct run *run, const char **settings, size_t count) {
  run->job = job_resolve(run->arena, run->sources, run->diags, "job.lay", settings, count,
                         &run->unreadable);
  size_t size;
  FILE *told = open_memstream(&run->text, &size);
  assert_non_null(told);
  diag_print(run->diags, told);
  fclose(told);
}

static inline void run_end(struct run *run) {
  assert_int_equal(chdir(home_folder()), 0);
  char command[128];
  snprintf(command, sizeof command, "rm -rf %s", run->folder);
  assert_int_equal(system(command), 0);
  free(run->text);
  arena_free(run->arena);
}

/* A job that resolves, or the test fails with what was told. */
static inline const struct job *run_job(struct run *run, const char *source) {
  run_file("job.lay", source);
  run_resolve(run, NULL, 0);
  if (!run->job)
    fail_msg("refused:\n%s", run->text);
  return run->job;
}

#define JOB "job \"j\" { cell bench; envelope block; safe_height 40 mm }\n"

#endif
