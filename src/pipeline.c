/* pipeline.c - the stages in their order, and what becomes of their results.
 *
 * Each stage gives NULL where it refuses, and the ones after it are passed over; whatever was found
 * up to there is told.  All outputs are made and synced before the first one gets its name, so that
 * a full disk leaves none of them behind. */
#include "borelay/pipeline.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/emit.h"
#include "borelay/resolve.h"

static FILE *messages_of(const struct request *request) {
  return request->messages ? request->messages : stderr;
}

static enum status tell_failure(const struct request *request, const char *what, const char *path,
                                int error) {
  const char *name = strcmp(path, "-") == 0 ? "standard output" : path;
  fprintf(messages_of(request), "borelay: cannot %s %s: %s\n", what, name, strerror(error));
  return STATUS_FILE_FAILED;
}

static void show_stage(FILE *progress, const char *stage) {
  if (progress) {
    fprintf(progress, "\r%-24s\r%s", "", stage);
    fflush(progress);
  }
}

static bool is_standard_output(const char *path) {
  return path && strcmp(path, "-") == 0;
}

static enum status give_words(const struct request *request, const struct outcome *outcome,
                              const char *summary) {
  FILE *to = request->words ? request->words : stdout;
  const char *outputs[4];
  size_t count = 0;
  const char *paths[] = {request->output, request->summary, request->sarif, request->depfile};
  for (size_t i = 0; i < 4 && outcome_passed(outcome); i++)
    if (paths[i])
      outputs[count++] = paths[i];
  bool streams = is_standard_output(request->output) || is_standard_output(request->sarif);
  if (request->json)
    fputs(summary, to);
  else if (request->brief && !request->quiet)
    brief_print(outcome, request->job_path, request->output, to);
  else if (outcome->verdict && !request->quiet && !streams)
    table_print(outcome, outputs, count, to);
  /* A long table may have been written in part before, and failed then. */
  if (fflush(to) != 0 || ferror(to))
    return tell_failure(request, "write", "-", errno ? errno : EIO);
  return outcome_passed(outcome) ? STATUS_DONE : STATUS_REFUSED;
}

enum { OUT_STREAM, OUT_SUMMARY, OUT_SARIF, OUT_DEPFILE, OUT_COUNT };

/* What is made beforehand, while no file is open. */
struct texts {
  char *summary, *sarif; /* NULL: not asked for */
};

static void fill(const struct request *request, const struct outcome *outcome,
                 const struct texts *texts, FILE *progress, int which, struct outfile *file) {
  const char *target = request->output && strcmp(request->output, "-") != 0 ? request->output
                       : request->summary                                   ? request->summary
                                                                            : request->depfile;
  if (which == OUT_STREAM)
    stream_write(outcome, file, stream_is_binary(request->output), request->hands, progress);
  else if (which == OUT_SUMMARY)
    outfile_text(file, texts->summary);
  else if (which == OUT_SARIF)
    outfile_text(file, texts->sarif);
  else
    depfile_write(outcome->sources, outcome->job, target, file);
}

/* A refused job gets its summary and its messages, nothing else. */
static enum status give_files(const struct request *request, const struct outcome *outcome,
                              const struct texts *texts, FILE *progress) {
  bool passed = outcome_passed(outcome);
  const char *paths[OUT_COUNT] = {passed ? request->output : NULL, request->summary, request->sarif,
                                  passed ? request->depfile : NULL};
  struct outfile files[OUT_COUNT];
  int failed = -1;
  for (int i = 0; i < OUT_COUNT; i++) {
    files[i] = (struct outfile){.fd = -1, .folder = -1};
    if (!paths[i] || failed >= 0)
      continue;
    if (outfile_open(&files[i], paths[i]))
      fill(request, outcome, texts, progress, i, &files[i]);
    if (!outfile_sync(&files[i]))
      failed = i;
  }
  for (int i = OUT_COUNT - 1; i >= 0 && failed < 0; i--) /* the stream appears last */
    if (paths[i] && !outfile_commit(&files[i]))
      failed = i;
  for (int i = 0; i < OUT_COUNT; i++)
    outfile_abandon(&files[i]);
  return failed < 0 ? STATUS_DONE
                    : tell_failure(request, "write", paths[failed], files[failed].error);
}

static enum status give_out(const struct request *request, const struct outcome *outcome,
                            FILE *progress) {
  struct texts texts = {
      .summary = request->json || request->summary ? summary_text(outcome) : NULL,
      .sarif = request->sarif ? sarif_text(outcome) : NULL,
  };
  enum status status = give_files(request, outcome, &texts, progress);
  if (status == STATUS_DONE)
    status = give_words(request, outcome, texts.summary);
  free(texts.summary);
  free(texts.sarif);
  return status;
}

/* -- what is made of a job that passed -------------------------------------------------------- */

static void judge_again(struct arena *arena, struct outcome *outcome, const struct motion *motion) {
  outcome->motion = motion;
  outcome->verdict = motion ? check_motion(arena, motion) : NULL;
  if (outcome->verdict)
    refusal_tell(outcome->verdict, outcome->diags);
}

/* The rest of the job from the place on where it was broken off.  false: no such place, told. */
static bool take_up(struct arena *arena, const struct request *request, struct outcome *outcome) {
  const struct resume_option *option = request->resume;
  const char *why = NULL;
  struct resume *resume = arena_alloc(arena, 1, sizeof *resume);
  struct resume_point point = {option->overlay, option->layer, option->lap, option->along};
  const struct plan *plan = plan_resume(arena, outcome->plan, &point, resume, &why);
  if (!plan) {
    fprintf(messages_of(request),
            "borelay: %s\nhelp: `borelay locate` tells where a row of a stream is\n", why);
    return false;
  }
  outcome->plan = plan;
  judge_again(arena, outcome, motion_resume(arena, plan, resume, outcome->diags));
  return true;
}

/* false: wrong use, told. */
static bool derive(struct arena *arena, const struct request *request, struct outcome *outcome) {
  if (!outcome_passed(outcome))
    return true;
  if (request->resume && !take_up(arena, request, outcome))
    return false;
  if (request->rehearse && outcome_passed(outcome))
    judge_again(arena, outcome,
                motion_rehearse(arena, outcome->plan, request->times > 0 ? request->times : 1,
                                outcome->diags));
  return true;
}

const char *pipeline_examine(struct arena *arena, struct source_set *sources, const char *job_path,
                             const char **settings, size_t setting_count, bool whole,
                             FILE *progress, struct outcome *outcome) {
  struct diag_list *diags = diag_list_new(arena, sources);
  const char *unreadable = NULL;
  *outcome = (struct outcome){.sources = sources, .diags = diags};
  outcome->job = job_resolve_kept(arena, sources, diags, job_path, settings, setting_count,
                                  &unreadable, &outcome->resolver);
  int read_error = errno;
  if (outcome->job)
    outcome->plan = plan_make(arena, outcome->job, diags);
  show_stage(progress, "planning the motion");
  if (outcome->plan && whole)
    outcome->motion = motion_make(arena, outcome->plan, diags);
  show_stage(progress, "checking the motion");
  if (outcome->motion)
    outcome->verdict = check_motion(arena, outcome->motion);
  if (outcome->verdict)
    refusal_tell(outcome->verdict, diags);
  show_stage(progress, "");
  errno = read_error;
  return unreadable;
}

const char *pipeline_outcome(struct arena *arena, const char *job_path, const char **settings,
                             size_t setting_count, FILE *progress, struct outcome *outcome) {
  return pipeline_examine(arena, source_set_new(arena), job_path, settings, setting_count, true,
                          progress, outcome);
}

enum status pipeline_run(const struct request *request) {
  bool shows = isatty(STDERR_FILENO) && !request->quiet && !request->messages;
  FILE *progress = shows ? stderr : NULL;
  struct arena *arena = arena_new();
  struct outcome outcome;
  enum status status;

  const char *unreadable = pipeline_outcome(arena, request->job_path, request->settings,
                                            request->setting_count, progress, &outcome);
  int read_error = errno;
  bool is_asked_well = derive(arena, request, &outcome);

  if (!request->quiet || !outcome_passed(&outcome))
    diag_print(outcome.diags, messages_of(request));
  if (unreadable)
    status = tell_failure(request, "read", unreadable, read_error);
  else if (!is_asked_well)
    status = STATUS_WRONG_USE;
  else
    status = give_out(request, &outcome, progress);
  arena_free(arena);
  return status;
}
