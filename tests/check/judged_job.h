/* judged_job.h - whole jobs from their text to the verdict. */
#ifndef TESTS_CHECK_JUDGED_JOB_H
#define TESTS_CHECK_JUDGED_JOB_H

#include <stdio.h>
#include <unistd.h>

#include "borelay/check.h"
#include "borelay/resolve.h"
#include "support/told.h"

struct judged {
  struct told told;
  const struct plan *plan;
  const struct motion *motion;
  const struct verdict *verdict;
};

/* The text with `old` replaced everywhere by `changed`; the caller frees. */
static inline char *text_with(const char *text, const char *old, const char *changed) {
  char *out = NULL;
  size_t size = 0, length = strlen(old), found = 0;
  FILE *to = open_memstream(&out, &size);
  assert_non_null(to);
  for (const char *at = text; *at;)
    if (length > 0 && strncmp(at, old, length) == 0) {
      fputs(changed, to);
      at += length;
      found++;
    } else {
      fputc(*at++, to);
    }
  fclose(to);
  assert_true(length == 0 || found > 0);
  return out;
}

static inline struct judged judge(const char *text) {
  struct judged made = {.told = told_begin()};
  char path[] = "/tmp/borelay_check_XXXXXX";
  int descriptor = mkstemp(path);
  assert_true(descriptor >= 0);
  FILE *file = fdopen(descriptor, "w");
  fputs(text, file);
  fclose(file);
  const char *unreadable = NULL;
  const struct job *job =
      job_resolve(made.told.arena, made.told.sources, made.told.diags, path, NULL, 0, &unreadable);
  unlink(path);
  if (job)
    made.plan = plan_make(made.told.arena, job, made.told.diags);
  if (made.plan)
    made.motion = motion_make(made.told.arena, made.plan, made.told.diags);
  if (!made.motion)
    diag_print(made.told.diags, stderr);
  assert_non_null(made.motion);
  made.verdict = check_motion(made.told.arena, made.motion);
  return made;
}

static inline const struct check_result *result_of(const struct judged *made, const char *name) {
  for (size_t i = 0; i < made->verdict->result_count; i++)
    if (strcmp(made->verdict->results[i].name, name) == 0)
      return &made->verdict->results[i];
  fail_msg("no check %s", name);
  return NULL;
}

#endif
