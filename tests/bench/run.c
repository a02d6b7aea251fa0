/* Times and memory of a process. */
#include "bench/run.h"

#include <fcntl.h>
#include <math.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static double clock_now(clockid_t clock) {
  struct timespec time;
  clock_gettime(clock, &time);
  return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

double wall_now(void) {
  return clock_now(CLOCK_MONOTONIC);
}

double cpu_now(void) {
  return clock_now(CLOCK_PROCESS_CPUTIME_ID);
}

static double seconds(struct timeval time) {
  return (double)time.tv_sec + 1e-6 * (double)time.tv_usec;
}

/* Not by fork: what a process of some size costs to copy would count as the program's start. */
static pid_t spawn(const char *const *words, bool quietly) {
  union { /* posix_spawn promises not to write to them */
    const char *const *given;
    char *const *wanted;
  } arguments = {.given = words};
  posix_spawn_file_actions_t actions;
  pid_t child = -1;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  if (quietly)
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  if (posix_spawnp(&child, words[0], &actions, NULL, arguments.wanted, environ) != 0)
    child = -1;
  posix_spawn_file_actions_destroy(&actions);
  struct rlimit limit = {CPU_MOST, CPU_MOST + 1};
  if (child > 0)
    prlimit(child, RLIMIT_CPU, &limit, NULL);
  return child;
}

static struct measured run(const char *const *words, bool quietly) {
  struct measured measured = {.status = -1};
  double start = wall_now();
  pid_t child = spawn(words, quietly);
  int status = 0;
  struct rusage usage;
  if (child > 0 && wait4(child, &status, 0, &usage) == child) {
    measured.wall = wall_now() - start;
    measured.cpu = seconds(usage.ru_utime) + seconds(usage.ru_stime);
    measured.peak_mib = (double)usage.ru_maxrss / 1024;
    measured.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  }
  return measured;
}

struct measured run_program(const char *const *words) {
  return run(words, false);
}

struct measured run_program_quietly(const char *const *words) {
  return run(words, true);
}

static int by_size(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

double median(double *values, size_t count) {
  qsort(values, count, sizeof *values, by_size);
  return values[(count - 1) / 2];
}

double growth(const double *x, const double *y, size_t count) {
  double n = (double)count, sx = 0, sy = 0, sxx = 0, sxy = 0;
  for (size_t i = 0; i < count; i++) {
    double lx = log(x[i]), ly = log(y[i]);
    sx += lx;
    sy += ly;
    sxx += lx * lx;
    sxy += lx * ly;
  }
  return (n * sxy - sx * sy) / (n * sxx - sx * sx);
}
