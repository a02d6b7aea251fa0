/* How fast the program is, beside honest ways to do the same; docs/performance.md.
 *
 * Arguments: the program, the same without shared libraries, an empty program of either kind in the
 * same order, a folder to work in; then --json, --plot FILE. Every figure is taken several times,
 * by turns with what it is compared with, and the middle one counts. */
#include "bench/bench.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct wanted {
  bool json;
  const char *plot;
};

static struct wanted wanted_read(int count, char **arguments) {
  struct wanted wanted = {.json = false};
  for (int i = 6; i < count; i++)
    if (strcmp(arguments[i], "--json") == 0)
      wanted.json = true;
    else if (strcmp(arguments[i], "--plot") == 0 && i + 1 < count)
      wanted.plot = arguments[++i];
    else
      fail("wanted: --json, --plot FILE");
  return wanted;
}

static void nowhere_make(const struct bench *bench) {
  const char *const names[] = {NOWHERE_TEXT, NOWHERE_BINARY};
  for (int i = 0; i < 2; i++) {
    char path[PATH_ROOM];
    path_in(bench, names[i], path);
    unlink(path);
    if (symlink("/dev/null", path) != 0)
      fail("the folder cannot be written to");
  }
}

static bool takes_jobs(const struct bench *bench) {
  char job[PATH_ROOM], to[PATH_ROOM];
  job_put(bench, "small.lay", bench_small());
  path_in(bench, "small.lay", job);
  path_in(bench, NOWHERE_TEXT, to);
  const char *words[] = {bench->program, "compile", "-q", job, "-o", to, "--jobs", "2", NULL};
  return run_program_quietly(words).status == 0;
}

int main(int count, char **arguments) {
  static struct bench bench;
  if (count < 6)
    fail("wanted: two programs, two empty programs, a folder");
  struct wanted wanted = wanted_read(count, arguments);
  bench.shared = arguments[1];
  bench.program = arguments[2];
  bench.empty_shared = arguments[3];
  bench.empty = arguments[4];
  bench.folder = arguments[5];
  bench.is_short = getenv("BENCH_SHORT") != NULL;
  double load = 0; /* of the last minute */
  if (getloadavg(&load, 1) != 1)
    load = -1;
  mkdir(bench.folder, 0777);
  nowhere_make(&bench);
  bench.takes_jobs = takes_jobs(&bench);
  struct memory memory = memory_measure(&bench);
  streams_measure(&bench);
  checks_measure(&bench);
  clearance_measure(&bench);
  editor_measure(&bench);
  shop_measure(&bench);
  memory_add(&bench, &memory);
  growth_measure(&bench, &memory);
  if (wanted.json)
    figures_print_json(&bench.figures, stdout);
  else
    figures_print(&bench.figures, stdout);
  if (!wanted.json)
    printf("%ld processors; %.1f processes ready to run before it began\n",
           sysconf(_SC_NPROCESSORS_ONLN), load);
  if (wanted.plot && !plot_write(&bench, wanted.plot))
    fail("the plot cannot be written");
  return 0;
}
