/* jobs.h - jobs of any size, as text, for measuring. */
#ifndef TESTS_BENCH_JOBS_H
#define TESTS_BENCH_JOBS_H

#include <stdbool.h>
#include <stddef.h>

/* A bore with one overlay; what is not asked for keeps its default. */
struct bench_job {
  const char *tick;   /* "4 ms" */
  double diameter;    /* mm */
  int laps, layers;   /* of 8 mm beads, half over one another */
  int volumes;        /* the bore and grooves around it, above the band; at least 1 */
  int overlays;       /* bores beside one another; at least 1 */
  int grooved;        /* how many of the bores have grooves; 0: all */
  int segments;       /* 0: none; else a cavity above the band, drawn by so many lines and bends */
  bool clads_outline; /* the wall of the first bore is such a cavity, drawn by bends, instead of a
                         round */
  int filler_lines;   /* declared procedures that no overlay uses, six lines each */
};

/* Writes the job; false: the file cannot be written. */
bool bench_job_write(const char *path, const struct bench_job *job);

/* 100 laps, 5 volumes, two hours. */
struct bench_job bench_two_hours(const char *tick);
struct bench_job bench_twelve_hours(const char *tick);
/* One layer of two laps. */
struct bench_job bench_small(void);

#endif
