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
#include "borelay/sarif.h"

/* One job on its way. */
struct run {
  const struct request *request;
  struct arena *arena;
  struct outcome outcome;
  FILE *progress;      /* NULL: nowhere */
  const char *failure; /* why it could not come to its end, once that was told; else NULL */
  bool gave_sarif;     /* on standard output, where nothing can be taken back */
};

static FILE *messages_of(const struct request *request) {
  return request->messages ? request->messages : stderr;
}

static enum status tell_failure(struct run *run, const char *what, const char *path, int error) {
  char words[128];
  bool is_stream = strcmp(path, "-") == 0 && strcmp(what, "write") == 0; /* a job is a file */
  const char *name = is_stream ? "standard output" : path;
  run->failure = arena_format(run->arena, "cannot %s %s: %s", what, name,
                              strerror_r(error, words, sizeof words));
  fprintf(messages_of(run->request), "borelay: %s\n", run->failure);
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

/* One of the outputs goes there, and nothing else may. */
static bool streams(const struct request *request) {
  return is_standard_output(request->output) || is_standard_output(request->summary) ||
         is_standard_output(request->sarif) || is_standard_output(request->depfile);
}

static enum status give_words(struct run *run, const char *summary) {
  const struct request *request = run->request;
  const struct outcome *outcome = &run->outcome;
  FILE *to = request->words ? request->words : stdout;
  const char *outputs[4];
  size_t count = 0;
  const char *paths[] = {request->output, request->summary, request->sarif, request->depfile};
  for (size_t i = 0; i < 4 && outcome_passed(outcome); i++)
    if (paths[i])
      outputs[count++] = paths[i];
  if (request->json)
    fputs(summary, to);
  else if (request->brief && !request->quiet)
    brief_print(outcome, request->job_path, request->output, to);
  else if (outcome->verdict && !request->quiet && !streams(request))
    table_print(outcome, outputs, count, to);
  /* A long table may have been written in part before, and failed then. */
  if (fflush(to) != 0 || ferror(to))
    return tell_failure(run, "write", "-", errno ? errno : EIO);
  return outcome_passed(outcome) ? STATUS_DONE : STATUS_REFUSED;
}

/* The findings come last: until then it may turn out that another one cannot be written. */
enum { OUT_STREAM, OUT_SUMMARY, OUT_DEPFILE, OUT_SARIF, OUT_COUNT };

/* What is made beforehand, while no file is open. */
struct texts {
  char *summary, *sarif, *depfile; /* NULL: not asked for */
};

static void fill(const struct run *run, const struct texts *texts, int which,
                 struct outfile *file) {
  const struct request *request = run->request;
  if (which == OUT_STREAM)
    stream_write(&run->outcome, file, stream_is_binary(request->output), request->hands,
                 run->progress);
  else if (which == OUT_SUMMARY)
    outfile_text(file, texts->summary);
  else if (which == OUT_SARIF)
    outfile_text(file, texts->sarif);
  else
    outfile_text(file, texts->depfile);
}

/* A refused job gets its summary and its messages, nothing else. */
static enum status give_files(struct run *run, const struct texts *texts) {
  const struct request *request = run->request;
  bool passed = outcome_passed(&run->outcome);
  const char *paths[OUT_COUNT] = {passed ? request->output : NULL, request->summary,
                                  passed ? request->depfile : NULL, request->sarif};
  struct outfile files[OUT_COUNT];
  size_t failed = OUT_COUNT;
  for (size_t i = 0; i < OUT_COUNT; i++) {
    files[i] = (struct outfile){.fd = -1, .folder = -1};
    if (!paths[i] || failed < OUT_COUNT)
      continue;
    if (outfile_open(&files[i], paths[i]))
      fill(run, texts, (int)i, &files[i]);
    if (!outfile_sync(&files[i]))
      failed = i;
    run->gave_sarif = i == OUT_SARIF && is_standard_output(request->sarif);
  }
  if (failed == OUT_COUNT)
    failed = outfiles_commit(files, OUT_COUNT);
  int error = failed < OUT_COUNT ? files[failed].error : 0;
  for (size_t i = 0; i < OUT_COUNT; i++)
    outfile_abandon(&files[i]);
  return failed == OUT_COUNT ? STATUS_DONE : tell_failure(run, "write", paths[failed], error);
}

static struct sarif *findings_of(const struct run *run) {
  struct sarif *sarif = sarif_new();
  sarif_add_diags(sarif, run->outcome.sources, run->outcome.diags, NULL);
  return sarif;
}

static char *depfile_of(const struct run *run) {
  const struct request *request = run->request;
  struct depfile rule = {.sources = {run->outcome.sources}};
  rule.target = request->output && !is_standard_output(request->output)     ? request->output
                : request->summary && !is_standard_output(request->summary) ? request->summary
                                                                            : request->depfile;
  return depfile_text(&rule);
}

static enum status give_out(struct run *run) {
  const struct request *request = run->request;
  struct texts texts = {0};
  if (request->depfile)
    texts.depfile = depfile_of(run);
  if (request->json || request->summary)
    texts.summary = summary_text(&run->outcome);
  if (request->sarif) {
    struct sarif *sarif = findings_of(run);
    texts.sarif = sarif_text(sarif, outcome_passed(&run->outcome) ? STATUS_DONE : STATUS_REFUSED);
    sarif_free(sarif);
  }
  enum status status = give_files(run, &texts);
  if (status == STATUS_DONE)
    status = give_words(run, texts.summary);
  free(texts.summary);
  free(texts.sarif);
  free(texts.depfile);
  return status;
}

/* Who gathers findings is told of a file that could not be read or written, too, as far as the
 * findings themselves can be written. */
static void give_failure(struct run *run) {
  struct sarif *sarif = findings_of(run);
  sarif_fail(sarif, run->failure);
  char *text = sarif_text(sarif, STATUS_FILE_FAILED);
  struct outfile file;
  if (outfile_open(&file, run->request->sarif))
    outfile_text(&file, text);
  outfile_commit(&file);
  sarif_free(sarif);
  free(text);
}

/* -- what is made of a job that passed -------------------------------------------------------- */

static const struct verdict *judge(struct arena *arena, const struct motion *motion,
                                   enum extent extent) {
  return extent == UP_TO_WORDS ? check_motion(arena, motion) : check_motion_briefly(arena, motion);
}

/* Words of what holds stand in the table and in the summary. */
static enum extent extent_of(const struct request *request) {
  bool has_table = !request->brief && !request->quiet && !streams(request);
  return has_table || request->json || request->summary ? UP_TO_WORDS : UP_TO_VERDICT;
}

/* Of a rehearsal nothing that was chosen for the weld, which holds, is to blame. */
static void judge_again(struct run *run, const struct motion *motion) {
  const struct plan *chosen = run->request->rehearse ? NULL : run->outcome.plan;
  run->outcome.motion = motion;
  run->outcome.verdict = motion ? judge(run->arena, motion, extent_of(run->request)) : NULL;
  if (run->outcome.verdict)
    refusal_tell(run->outcome.verdict, chosen, run->outcome.diags);
}

/* The rest of the job from the place on where it was broken off.  false: no such place, told. */
static bool take_up(struct run *run) {
  const struct resume_option *option = run->request->resume;
  const char *why = NULL;
  struct resume *resume = arena_alloc(run->arena, 1, sizeof *resume);
  struct resume_point point = {option->overlay, option->layer, option->lap, option->along};
  const struct plan *plan = plan_resume(run->arena, run->outcome.plan, &point, resume, &why);
  if (!plan) {
    fprintf(messages_of(run->request),
            "borelay: %s\nhelp: `borelay locate` tells where a row of a stream is\n", why);
    return false;
  }
  run->outcome.plan = plan;
  judge_again(run, motion_resume(run->arena, plan, resume, run->outcome.diags));
  return true;
}

/* false: wrong use, told. */
static bool derive(struct run *run) {
  const struct request *request = run->request;
  if (!outcome_passed(&run->outcome))
    return true;
  if (request->resume && !take_up(run))
    return false;
  if (request->rehearse && outcome_passed(&run->outcome))
    judge_again(run, motion_rehearse(run->arena, run->outcome.plan,
                                     request->times > 0 ? request->times : 1, run->outcome.diags));
  return true;
}

const char *pipeline_examine(struct arena *arena, struct source_set *sources, const char *job_path,
                             const char **settings, size_t setting_count, enum extent extent,
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
  if (outcome->plan && extent != UP_TO_PLAN)
    outcome->motion = motion_make(arena, outcome->plan, diags);
  show_stage(progress, "checking the motion");
  if (outcome->motion)
    outcome->verdict = judge(arena, outcome->motion, extent);
  if (outcome->verdict)
    refusal_tell(outcome->verdict, outcome->plan, diags);
  show_stage(progress, "");
  errno = read_error;
  return unreadable;
}

const char *pipeline_outcome(struct arena *arena, const char *job_path, const char **settings,
                             size_t setting_count, FILE *progress, struct outcome *outcome) {
  return pipeline_examine(arena, source_set_new(arena), job_path, settings, setting_count,
                          UP_TO_WORDS, progress, outcome);
}

enum status pipeline_run(const struct request *request) {
  bool shows = !request->quiet && !request->messages && isatty(STDERR_FILENO);
  struct run run = {.request = request, .arena = arena_new(), .progress = shows ? stderr : NULL};
  enum status status;

  const char *unreadable =
      pipeline_examine(run.arena, source_set_new(run.arena), request->job_path, request->settings,
                       request->setting_count, extent_of(request), run.progress, &run.outcome);
  int read_error = errno;
  bool is_asked_well = derive(&run);

  if (!request->quiet || !outcome_passed(&run.outcome))
    diag_print(run.outcome.diags, messages_of(request));
  if (unreadable)
    status = tell_failure(&run, "read", unreadable, read_error);
  else if (!is_asked_well)
    status = STATUS_WRONG_USE;
  else
    status = give_out(&run);
  if (run.failure && request->sarif && !run.gave_sarif)
    give_failure(&run);
  arena_free(run.arena);
  return status;
}
