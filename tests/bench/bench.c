/* How fast the program is, beside honest ways to do the same; docs/performance.md.
 *
 * Arguments: the program, an empty program without libraries, a folder to work in; --json.
 * Every figure is taken several times, by turns with what it is compared with, and the middle one
 * counts.  Figures of one core are processor time, so that what else runs disturbs them less. */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "bench/baselines.h"
#include "bench/jobs.h"
#include "bench/run.h"

enum { ROUNDS = 5, PATH_ROOM = 600, FIGURES_MOST = 64, STEPS_MOST = 4 };

struct figure {
  const char *what, *unit, *against; /* against: "" where the figure stands alone */
  double value, baseline, ratio, goal;
  bool at_least; /* the goal: at least, else at most; of the ratio where there is a baseline */
};

struct bench {
  const char *program, *empty, *folder;
  struct figure figures[FIGURES_MOST];
  size_t count;
};

static void path_in(const struct bench *bench, const char *name, char path[PATH_ROOM]) {
  snprintf(path, PATH_ROOM, "%s/%s", bench->folder, name);
}

static void fail(const char *what) {
  fprintf(stderr, "bench: %s\n", what);
  exit(1);
}

static void job_put(const struct bench *bench, const char *name, struct bench_job job) {
  char path[PATH_ROOM];
  path_in(bench, name, path);
  if (!bench_job_write(path, &job))
    fail("a job cannot be written");
}

static double file_size(const struct bench *bench, const char *name) {
  char path[PATH_ROOM];
  struct stat info;
  path_in(bench, name, path);
  return stat(path, &info) == 0 ? (double)info.st_size : 0;
}

static void note(struct bench *bench, struct figure figure) {
  figure.ratio = *figure.against ? figure.value / figure.baseline : 0;
  if (bench->count < FIGURES_MOST)
    bench->figures[bench->count++] = figure;
}

/* -- running the program ---------------------------------------------------------------------- */

static struct measured check(const struct bench *bench, const char *name) {
  char path[PATH_ROOM];
  path_in(bench, name, path);
  const char *words[] = {bench->program, "check", "-q", path, NULL};
  struct measured measured = run_program(words);
  if (measured.status != 0)
    fail(path);
  return measured;
}

/* to: "-" for standard output, else a name in the folder. */
static struct measured compile(const struct bench *bench, const char *name, const char *to) {
  char path[PATH_ROOM], out[PATH_ROOM];
  path_in(bench, name, path);
  path_in(bench, to, out);
  const char *words[] = {bench->program, "compile", "-q", path, "-o", *to == '-' ? "-" : out, NULL};
  struct measured measured = run_program(words);
  if (measured.status != 0)
    fail(path);
  return measured;
}

static struct measured start_only(const struct bench *bench) {
  const char *words[] = {bench->program, "--version", NULL};
  return run_program(words);
}

static struct measured verify(const struct bench *bench, const char *stream, const char *job) {
  char stream_path[PATH_ROOM], job_path[PATH_ROOM];
  path_in(bench, stream, stream_path);
  path_in(bench, job, job_path);
  const char *words[] = {bench->program, "verify", stream_path, "--job", job_path, NULL};
  struct measured measured = run_program(words);
  if (measured.status != 0)
    fail(stream_path);
  return measured;
}

/* -- the figures ------------------------------------------------------------------------------ */

/* Nanoseconds a row; 0 where numpy is not there. */
static double numpy_rows(const char *script, double rows) {
  char command[PATH_ROOM];
  double value = 0;
  snprintf(command, sizeof command, "/usr/bin/python3 %s %.0f 2>/dev/null", script, rows);
  FILE *from = popen(command, "r");
  if (from && fscanf(from, "%lf", &value) != 1)
    value = 0;
  if (from)
    pclose(from);
  return value;
}

static void measure_streams(struct bench *bench) {
  job_put(bench, "two.lay", bench_two_hours("4 ms"));
  compile(bench, "two.lay", "two.spt");
  compile(bench, "two.lay", "two.csv");
  char path[PATH_ROOM];
  path_in(bench, "two.spt", path);
  struct row_set all = rows_load(path, 4000000), some = all;
  if (all.count == 0)
    fail("the stream cannot be read");
  some.count = all.count < 300000 ? all.count : 300000;
  double rows = (double)all.count, bytes = file_size(bench, "two.csv");
  double text[ROUNDS], loop[ROUNDS], numpy[ROUNDS], copy[ROUNDS], binary[ROUNDS], file[ROUNDS],
      reader[ROUNDS], judge[2][ROUNDS];
  for (int i = 0; i < ROUNDS; i++) {
    text[i] = compile(bench, "two.lay", "-").cpu / rows * 1e9;
    loop[i] = baseline_fprintf(&some);
    numpy[i] = numpy_rows("tests/bench/rows.py", 300000);
    copy[i] = baseline_memcpy();
    binary[i] = compile(bench, "two.lay", "out.spt").cpu / rows * 1e9;
    file[i] = compile(bench, "two.lay", "out.csv").wall;
    reader[i] = reader_speed(path) * 1e-9;
    judge[0][i] = rows / verify(bench, "two.spt", "two.lay").cpu * 1e-6;
    judge[1][i] = rows / verify(bench, "two.csv", "two.lay").cpu * 1e-6;
  }
  double a_row = median(text, ROUNDS), plain = median(loop, ROUNDS), script = median(numpy, ROUNDS);
  double moved = median(copy, ROUNDS) * 1e-9, speed = bytes / rows / a_row;
  note(bench, (struct figure){"text stream, all of it", "ns a row", "", a_row, 0, 0, 0, false});
  note(bench, (struct figure){"fprintf loop over its rows / the text stream", "ns a row", "stream",
                              plain, a_row, 0, 50, true});
  if (script > 0)
    note(bench, (struct figure){"numpy script / the text stream", "ns a row", "stream", script,
                                a_row, 0, 25, true});
  note(bench,
       (struct figure){"text stream / memcpy", "GB/s", "memcpy", speed, moved, 0, 0.25, true});
  note(bench, (struct figure){"text stream / binary stream, to a file", "ns a row", "binary", a_row,
                              median(binary, ROUNDS), 0, 3, true});
  note(bench, (struct figure){"two-hour job at 4 ms, text to a file", "s", "", median(file, ROUNDS),
                              0, 0, 0.2, false});
  note(bench, (struct figure){"verify, binary", "million rows/s", "", median(judge[0], ROUNDS), 0,
                              0, 10, true});
  note(bench, (struct figure){"verify, text", "million rows/s", "", median(judge[1], ROUNDS), 0, 0,
                              4, true});
  note(bench, (struct figure){"reader library, binary", "GB/s", "", median(reader, ROUNDS), 0, 0, 1,
                              true});
  free(all.rows);
}

static void measure_checks(struct bench *bench) {
  job_put(bench, "small.lay", bench_small());
  struct bench_job long_source = bench_small();
  long_source.filler_lines = 100000;
  job_put(bench, "long.lay", long_source);
  double two[ROUNDS], start[ROUNDS], small[ROUNDS], empty[ROUNDS], lines[ROUNDS];
  const char *words[] = {bench->empty, NULL};
  for (int i = 0; i < ROUNDS; i++) {
    two[i] = check(bench, "two.lay").wall;
    start[i] = start_only(bench).wall;
    small[i] = check(bench, "small.lay").wall;
    empty[i] = run_program(words).wall;
    lines[i] = check(bench, "long.lay").wall;
  }
  double begun = median(start, ROUNDS), read = median(lines, ROUNDS) - median(small, ROUNDS);
  note(bench, (struct figure){"check of the two-hour job, over a process start", "ms", "",
                              (median(two, ROUNDS) - begun) * 1e3, 0, 0, 5, false});
  note(bench,
       (struct figure){"check of a small job / an empty process", "ms", "empty",
                       median(small, ROUNDS) * 1e3, median(empty, ROUNDS) * 1e3, 0, 1.5, false});
  note(bench,
       (struct figure){"source of 100,000 lines, to a model", "s", "", read, 0, 0, 0.1, false});
  note(bench, (struct figure){"source text, to a model", "MB/s", "",
                              file_size(bench, "long.lay") * 1e-6 / read, 0, 0, 100, true});
}

static void measure_memory(struct bench *bench, bool is_short) {
  struct bench_job few = bench_two_hours("70 ms"), many = bench_two_hours("1 ms");
  many.overlays = is_short ? 1 : 14; /* 14 times two hours: 1e8 rows */
  job_put(bench, "few.lay", few);
  few.overlays = many.overlays;
  job_put(bench, "few_long.lay", few);
  job_put(bench, "many.lay", many);
  double one = compile(bench, "few.lay", "-").peak_mib;
  double low = compile(bench, "few_long.lay", "-").peak_mib;
  double high = compile(bench, "many.lay", "-").peak_mib;
  note(bench, (struct figure){"peak memory, 1e5 rows", "MiB", "", one, 0, 0, 16, false});
  note(bench, (struct figure){"the same job in 1 ms ticks instead of 70", "MiB more", "",
                              high - low, 0, 0, 1, false});
}

/* Least times of a few runs: a slope wants the noise out, not its middle. */
static double least_check(const struct bench *bench, const char *name, bool compiles) {
  double least = (double)INFINITY;
  for (int i = 0; i < 3; i++) {
    double cpu = compiles ? compile(bench, name, "-").cpu - check(bench, name).cpu
                          : check(bench, name).cpu - start_only(bench).cpu;
    least = cpu < least ? cpu : least;
  }
  return least > 1e-4 ? least : 1e-4;
}

enum growth_by { BY_ROWS, BY_LAPS, BY_LINES, BY_SEGMENTS, BY_OVERLAYS, BY_VOLUMES, BY_COUNT };

static struct bench_job job_of_size(enum growth_by by, double size) {
  static const char *const TICKS[] = {"100 ms", "10 ms", "1 ms"};
  struct bench_job job = by == BY_ROWS ? bench_two_hours(TICKS[0]) : bench_small();
  int count = (int)size;
  if (by == BY_ROWS)
    job.tick = TICKS[count < 10 ? 0 : count < 100 ? 1 : 2];
  else if (by == BY_LAPS)
    job.laps = count;
  else if (by == BY_LINES)
    job.filler_lines = count;
  else if (by == BY_SEGMENTS)
    job.segments = count;
  else if (by == BY_OVERLAYS)
    job.overlays = count;
  else
    job.volumes = count;
  return job;
}

static void measure_growth(struct bench *bench) {
  static const struct {
    const char *what;
    double sizes[STEPS_MOST];
    double goal;
  } ROWS[BY_COUNT] = {
      {"growth with rows (exponent)", {1, 10, 100}, 1.05},
      {"growth with laps", {4, 20, 100, 340}, 1.05},
      {"growth with source lines", {2000, 10000, 50000, 100000}, 1.05},
      {"growth with segments of a contour", {40, 400, 4000}, 1.15},
      {"growth with overlays", {4, 20, 100}, 1.05},
      {"growth with volumes", {8, 40, 200}, 1.15},
  };
  for (enum growth_by by = BY_ROWS; by < BY_COUNT; by++) {
    double times[STEPS_MOST];
    size_t steps = 0;
    for (; steps < STEPS_MOST && ROWS[by].sizes[steps] > 0; steps++) {
      job_put(bench, "grown.lay", job_of_size(by, ROWS[by].sizes[steps]));
      times[steps] = least_check(bench, "grown.lay", by == BY_ROWS);
      fprintf(stderr, "  %s: %g in %.4f s\n", ROWS[by].what, ROWS[by].sizes[steps], times[steps]);
    }
    note(bench, (struct figure){ROWS[by].what, "", "", growth(ROWS[by].sizes, times, steps), 0, 0,
                                ROWS[by].goal, false});
  }
}

/* -- telling ---------------------------------------------------------------------------------- */

static bool is_met(const struct figure *figure) {
  double judged = *figure->against ? figure->ratio : figure->value;
  return figure->at_least ? judged >= figure->goal : judged <= figure->goal;
}

static void print_table(const struct bench *bench) {
  printf("%-50s %10s  %-14s %10s %8s %10s  %s\n", "what", "figure", "unit", "baseline", "ratio",
         "goal", "");
  for (size_t i = 0; i < bench->count; i++) {
    const struct figure *figure = &bench->figures[i];
    printf("%-50s %10.4g  %-14s ", figure->what, figure->value, figure->unit);
    if (*figure->against)
      printf("%10.4g %8.3g ", figure->baseline, figure->ratio);
    else
      printf("%10s %8s ", "", "");
    if (figure->goal > 0)
      printf("%s %8.4g  %s\n", figure->at_least ? ">=" : "<=", figure->goal,
             is_met(figure) ? "met" : "NOT MET");
    else
      printf("\n");
  }
}

static void print_json(const struct bench *bench) {
  printf("[\n");
  for (size_t i = 0; i < bench->count; i++) {
    const struct figure *figure = &bench->figures[i];
    printf("  {\"what\": \"%s\", \"figure\": %.9g, \"unit\": \"%s\"", figure->what, figure->value,
           figure->unit);
    if (*figure->against)
      printf(", \"against\": \"%s\", \"baseline\": %.9g, \"ratio\": %.9g", figure->against,
             figure->baseline, figure->ratio);
    if (figure->goal > 0)
      printf(", \"goal\": %.9g, \"at_least\": %s, \"met\": %s", figure->goal,
             figure->at_least ? "true" : "false", is_met(figure) ? "true" : "false");
    printf("}%s\n", i + 1 < bench->count ? "," : "");
  }
  printf("]\n");
}

int main(int count, char **arguments) {
  bool json = count > 4 && strcmp(arguments[4], "--json") == 0;
  if (count < 4)
    fail("wanted: the program, an empty program, a folder");
  struct bench bench = {.program = arguments[1], .empty = arguments[2], .folder = arguments[3]};
  mkdir(bench.folder, 0777);
  measure_streams(&bench);
  measure_checks(&bench);
  measure_memory(&bench, getenv("BENCH_SHORT") != NULL);
  measure_growth(&bench);
  if (json)
    print_json(&bench);
  else
    print_table(&bench);
  return 0;
}
