/* Times and memory of a process. */
#include "bench/run.h"

#include <fcntl.h>
#include <math.h>
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

double cpu_now(void) {
  return clock_now(CLOCK_PROCESS_CPUTIME_ID);
}

static double seconds(struct timeval time) {
  return (double)time.tv_sec + 1e-6 * (double)time.tv_usec;
}

static void become(const char *const *words) {
  union { /* execv promises not to write to them */
    const char *const *given;
    char *const *wanted;
  } arguments = {.given = words};
  int nowhere = open("/dev/null", O_WRONLY);
  if (nowhere >= 0)
    dup2(nowhere, STDOUT_FILENO);
  execvp(words[0], arguments.wanted);
  _exit(127);
}

struct measured run_program(const char *const *words) {
  struct measured measured = {.status = -1};
  double start = clock_now(CLOCK_MONOTONIC);
  pid_t child = fork();
  if (child == 0)
    become(words);
  int status = 0;
  struct rusage usage;
  if (child > 0 && wait4(child, &status, 0, &usage) == child) {
    measured.wall = clock_now(CLOCK_MONOTONIC) - start;
    measured.cpu = seconds(usage.ru_utime) + seconds(usage.ru_stime);
    measured.peak_mib = (double)usage.ru_maxrss / 1024;
    measured.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  }
  return measured;
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
