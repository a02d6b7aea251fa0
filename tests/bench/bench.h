/* bench.h - what the measurements share: programs, a folder with jobs, the figures so far. */
#ifndef TESTS_BENCH_BENCH_H
#define TESTS_BENCH_BENCH_H

#include "bench/figures.h"
#include "bench/jobs.h"
#include "bench/run.h"

enum { ROUNDS = 5, STARTS = 101, PATH_ROOM = 600 };

struct bench {
  const char *program, *shared;     /* without shared libraries (STATIC=1), and with */
  const char *empty, *empty_shared; /* programs that do nothing, of both kinds */
  const char *folder;
  bool is_short;
  bool takes_jobs; /* the program knows --jobs for one stream */
  struct figures figures;
  /* For the plot: compile without the check, against rows; check without the start, against lines
   * and bends of a contour; s a row of the loop of fprintf. */
  struct series rows, segments;
  double loop_row;
};

/* Ends the run: figures of something else than wanted are worse than none. */
_Noreturn void fail(const char *what);
/* What it is busy with, to standard error. */
void tell(const char *format, ...) __attribute__((format(printf, 1, 2)));

void path_in(const struct bench *bench, const char *name, char path[PATH_ROOM]);
void job_put(const struct bench *bench, const char *name, struct bench_job job);
double file_size(const struct bench *bench, const char *name);
/* Ends the run unless they have the same bytes. */
void same_bytes(const struct bench *bench, const char *one, const char *other);

/* Names are those of files in the folder.  What does not pass ends the run. */
struct measured check(const struct bench *bench, const char *program, const char *name);
/* Its processor time, s; below 0: longer than CPU_MOST. */
double check_ends(const struct bench *bench, const char *name);
/* jobs: NULL, or how many threads make the stream, where the program can be told. */
struct measured compile(const struct bench *bench, const char *name, const char *to,
                        const char *jobs);
/* Names of files that lead to nowhere, one for each kind of stream. */
extern const char *const NOWHERE_TEXT, *const NOWHERE_BINARY;
struct measured verify(const struct bench *bench, const char *stream, const char *job);
struct measured start_only(const char *program);
struct measured nothing(const char *program);

/* -- the measurements -------------------------------------------------------------------------- */

/* First of all, while this process is small: a process of which another is made passes its size on.
 * The 1e8 rows run here.  The figures are added later, in their place in the table. */
struct memory {
  double few, low, high; /* MiB: 1e5 rows; 1.4e6 rows; 1e8 rows of the latter's job */
  double cpu;            /* s of the last one's rows: less its check's */
};
struct memory memory_measure(const struct bench *bench);
void memory_add(struct bench *bench, const struct memory *memory);

void streams_measure(struct bench *bench);   /* leaves two.lay */
void checks_measure(struct bench *bench);    /* of two.lay and others */
void clearance_measure(struct bench *bench); /* of two.lay */
void editor_measure(struct bench *bench);
void shop_measure(struct bench *bench);
void growth_measure(struct bench *bench, const struct memory *memory);

/* The plot as SVG; false: it cannot be written. */
bool plot_write(const struct bench *bench, const char *path);

#endif
