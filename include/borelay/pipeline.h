/* pipeline.h - the whole way from a job file to what is given out. */
#ifndef BORELAY_PIPELINE_H
#define BORELAY_PIPELINE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

struct arena;
struct outcome;

/* Where a weld was broken off, as written: overlay, layer, lap and contour length. */
struct resume_option {
  char overlay[128]; /* as the job reaches it */
  int64_t layer, lap;
  bool has_along;
  double along; /* mm on the shape */
};

enum command { COMMAND_CHECK, COMMAND_COMPILE };

struct request {
  enum command command;
  const char *job_path;
  const char **settings; /* texts of --set */
  size_t setting_count;
  const char *output; /* of compile: a path, or "-" for standard output; else NULL */
  bool rehearse;      /* of compile: arc, wire and gas off */
  double times;       /* how many times as fast; 0: not said */
  const struct resume_option *resume; /* of compile; NULL: the whole job */
  const char *summary;                /* paths; NULL: not asked for */
  const char *sarif;
  const char *depfile;
  size_t hands;           /* threads that make the rows of the stream; 0: stream_write() chooses */
  bool json;              /* the summary on standard output instead of the table */
  bool brief;             /* one line instead of the table */
  bool quiet;             /* nothing on success */
  FILE *words, *messages; /* where they go; NULL: standard output, standard error */
};

enum status {
  STATUS_DONE = 0,
  STATUS_REFUSED = 1,
  STATUS_WRONG_USE = 2,
  STATUS_FILE_FAILED = 3 /* or the machine has no memory left */
};

/* One job from its file through every check; whatever is found wrong is told to outcome->diags, all
 * of it in the arena (the arena's own end frees it).  progress: where to show the stage; NULL:
 * nowhere.  Gives the path of a file that could not be read, errno saying why; else NULL. */
const char *pipeline_outcome(struct arena *arena, const char *job_path, const char **settings,
                             size_t setting_count, FILE *progress, struct outcome *outcome);

/* The same over the sources of the caller, which may hold files that are not saved, and so far. */
enum extent {
  UP_TO_PLAN,    /* before any motion */
  UP_TO_VERDICT, /* whole, but of the checks that hold there need be no words */
  UP_TO_WORDS
};
struct source_set;
const char *pipeline_examine(struct arena *arena, struct source_set *sources, const char *job_path,
                             const char **settings, size_t setting_count, enum extent extent,
                             FILE *progress, struct outcome *outcome);

/* Takes one job the whole way.  May run in several threads at once, each with a request, words and
 * messages of its own. */
enum status pipeline_run(const struct request *request);

#endif
