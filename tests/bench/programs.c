/* The programs that are measured, on files in the folder. */
#include "bench/bench.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

const char *const NOWHERE_TEXT = "nowhere.csv", *const NOWHERE_BINARY = "nowhere.spt";

void fail(const char *what) {
  fprintf(stderr, "bench: %s\n", what);
  exit(1);
}

void tell(const char *format, ...) {
  va_list values;
  va_start(values, format);
  vfprintf(stderr, format, values);
  va_end(values);
}

void path_in(const struct bench *bench, const char *name, char path[PATH_ROOM]) {
  snprintf(path, PATH_ROOM, "%s/%s", bench->folder, name);
}

void job_put(const struct bench *bench, const char *name, struct bench_job job) {
  char path[PATH_ROOM];
  path_in(bench, name, path);
  if (!bench_job_write(path, &job))
    fail("a job cannot be written");
}

double file_size(const struct bench *bench, const char *name) {
  char path[PATH_ROOM];
  struct stat info;
  path_in(bench, name, path);
  return stat(path, &info) == 0 ? (double)info.st_size : 0;
}

void same_bytes(const struct bench *bench, const char *one, const char *other) {
  char path[2][PATH_ROOM];
  path_in(bench, one, path[0]);
  path_in(bench, other, path[1]);
  const char *words[] = {"cmp", path[0], path[1], NULL};
  if (run_program(words).status != 0)
    fail("bytes that must be the same are not");
}

static struct measured passed(const char *const *words) {
  struct measured measured = run_program(words);
  if (measured.status != 0) {
    for (size_t i = 0; words[i]; i++)
      fprintf(stderr, "%s ", words[i]);
    fail("did not pass");
  }
  return measured;
}

struct measured check(const struct bench *bench, const char *program, const char *name) {
  char path[PATH_ROOM];
  path_in(bench, name, path);
  const char *words[] = {program, "check", "-q", path, NULL};
  return passed(words);
}

double check_ends(const struct bench *bench, const char *name) {
  char path[PATH_ROOM];
  path_in(bench, name, path);
  const char *words[] = {bench->program, "check", "-q", path, NULL};
  struct measured measured = run_program(words);
  if (measured.status > 0)
    fail(path);
  return measured.status == 0 ? measured.cpu : -1;
}

struct measured compile(const struct bench *bench, const char *name, const char *to,
                        const char *jobs) {
  char path[PATH_ROOM], out[PATH_ROOM];
  path_in(bench, name, path);
  path_in(bench, to, out);
  bool says_jobs = jobs && bench->takes_jobs;
  const char *words[] = {
      bench->program,          "compile", "-q", path, "-o", out, says_jobs ? "--jobs" : NULL,
      says_jobs ? jobs : NULL, NULL};
  return passed(words);
}

struct measured verify(const struct bench *bench, const char *stream, const char *job) {
  char stream_path[PATH_ROOM], job_path[PATH_ROOM];
  path_in(bench, stream, stream_path);
  path_in(bench, job, job_path);
  const char *words[] = {bench->program, "verify", stream_path, "--job", job_path, NULL};
  return passed(words);
}

struct measured start_only(const char *program) {
  const char *words[] = {program, "--version", NULL};
  return passed(words);
}

struct measured nothing(const char *program) {
  const char *words[] = {program, NULL};
  return passed(words);
}
