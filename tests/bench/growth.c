/* How memory and time grow.
 *
 * Only what a size adds counts, or what stays the same would make every growth look slow: of rows
 * the time of compile less that of check; of all else the time of check less that of the same job
 * with none of it.  Processor time, the middle one of several rounds in which all sizes take turns;
 * long ones sit out the later rounds. */
#include "bench/bench.h"

#include <math.h>

static const double LONG = 4;     /* s: not run again */
static const double LEAST = 1e-5; /* s: what the noise hides */

/* -- memory ------------------------------------------------------------------------------------ */

struct memory memory_measure(const struct bench *bench) {
  struct memory memory;
  tell("memory\n");
  struct bench_job few = bench_two_hours("70 ms"), many = bench_two_hours("1 ms");
  job_put(bench, "few.lay", few);
  few.overlays = many.overlays = bench->is_short ? 1 : 14; /* 14 times two hours: 1e8 rows */
  job_put(bench, "few_long.lay", few);
  job_put(bench, "many.lay", many);
  memory.few = compile(bench, "few.lay", NOWHERE_TEXT, NULL).peak_mib;
  memory.low = compile(bench, "few_long.lay", NOWHERE_TEXT, NULL).peak_mib;
  struct measured last = compile(bench, "many.lay", NOWHERE_TEXT, "1");
  memory.high = last.peak_mib;
  memory.cpu = last.cpu - check(bench, bench->program, "many.lay").cpu;
  return memory;
}

void memory_add(struct bench *bench, const struct memory *memory) {
  figure_add(&bench->figures,
             (struct figure){
                 .what = "peak memory, 1e5 rows", .unit = "MiB", .value = memory->few, .goal = 16});
  figure_add(&bench->figures,
             (struct figure){.what = bench->is_short
                                         ? "the same, 7e6 rows instead of 1e5"
                                         : "a job of 28 hours, 1e8 rows instead of 1.4e6",
                             .unit = "MiB more",
                             .value = memory->high - memory->low,
                             .goal = 1});
}

/* -- time -------------------------------------------------------------------------------------- */

enum grown { BY_ROWS, BY_LAPS, BY_LINES, BY_SEGMENTS, BY_WALL, BY_OVERLAYS, BY_VOLUMES, BY_COUNT };

static const struct {
  const char *what;
  double sizes[POINTS_MOST];
  double goal;
} GROWN[BY_COUNT] = {
    {"growth with rows, exponent", {1e5, 1e6, 7.2e6}, 1.05},
    {"growth with laps", {4, 12, 40, 120, 400, 1200}, 1.05},
    {"growth with source lines", {2000, 6000, 20000, 60000, 200000, 600000}, 1.05},
    {"growth with lines and bends of a cavity", {40, 120, 400, 1200, 4000}, 1.15},
    {"growth with lines and bends of the clad wall", {40, 120, 400, 1200, 4000}, 1.15},
    {"growth with overlays", {4, 12, 40, 120, 400, 1200}, 1.05},
    {"growth with volumes", {12, 40, 120, 400, 1200, 4000, 10000}, 1.15},
};

/* Of some there is one at least, in the job that is measured against, too: it is not added. */
static double least_of(enum grown by) {
  return by == BY_LAPS || by == BY_OVERLAYS || by == BY_VOLUMES ? 1 : 0;
}

/* The power of what was added with which the time for it grows. */
static double exponent(enum grown by, const struct series *series) {
  double added[POINTS_MOST];
  for (size_t i = 0; i < series->count; i++)
    added[i] = series->size[i] - least_of(by);
  return growth(added, series->time, series->count);
}

/* Size 0: none of it, or as little as there can be. */
static struct bench_job job_of_size(enum grown by, double size) {
  struct bench_job job = by == BY_ROWS ? bench_two_hours("1 ms") : bench_small();
  int count = (int)size;
  if (by == BY_ROWS)
    job.tick = size < 5e5 ? "72 ms" : size < 5e6 ? "7.2 ms" : "1 ms";
  else if (by == BY_LAPS)
    job.laps = count > 0 ? count : 1;
  else if (by == BY_LINES)
    job.filler_lines = count;
  else if (by == BY_SEGMENTS || by == BY_WALL)
    job.segments = count;
  else if (by == BY_OVERLAYS)
    job.overlays = count > 0 ? count : 1;
  else
    job.volumes = count > 0 ? count : 1;
  job.clads_outline = by == BY_WALL && count > 0;
  return job;
}

static double once(const struct bench *bench, enum grown by, const char *name) {
  return by == BY_ROWS ? compile(bench, name, NOWHERE_TEXT, "1").cpu
                       : check(bench, bench->program, name).cpu;
}

struct taken {
  double cpu[ROUNDS + 1];
  int count;
};

static void take(const struct bench *bench, enum grown by, const char *name, struct taken *taken) {
  if (taken->count > 0 && taken->cpu[0] > LONG)
    return;
  taken->cpu[taken->count++] = once(bench, by, name);
}

static void name_of(size_t step, char name[32]) {
  snprintf(name, 32, "grown_%zu.lay", step);
}

/* The sizes, up to the first at which a check takes too long. */
static struct series sizes_put(const struct bench *bench, enum grown by, struct taken *taken) {
  struct series series = {.count = 0};
  for (size_t step = 0; step < POINTS_MOST && GROWN[by].sizes[step] > 0; step++) {
    char name[32];
    name_of(step, name);
    job_put(bench, name, job_of_size(by, GROWN[by].sizes[step]));
    double cpu = check_ends(bench, name);
    if (cpu < 0) {
      tell("  %s: %g left out, over %d s\n", GROWN[by].what, GROWN[by].sizes[step], CPU_MOST);
      break;
    }
    if (by != BY_ROWS)
      taken[step] = (struct taken){{cpu}, 1};
    series.size[series.count++] = GROWN[by].sizes[step];
  }
  job_put(bench, "base.lay", job_of_size(by, 0));
  return series;
}

static struct series measure(const struct bench *bench, enum grown by) {
  struct taken taken[POINTS_MOST] = {0}, base[POINTS_MOST] = {0};
  struct series series = sizes_put(bench, by, taken);
  char name[32];
  for (int round = 0; round < ROUNDS; round++)
    for (size_t step = 0; step < series.count; step++) {
      name_of(step, name);
      take(bench, by, name, &taken[step]);
      if (by == BY_ROWS) /* what the job is without its rows */
        base[step].cpu[base[step].count++] = check(bench, bench->program, name).cpu;
      else
        take(bench, by, "base.lay", &base[step]);
    }
  for (size_t step = 0; step < series.count; step++) {
    double more = median(taken[step].cpu, (size_t)taken[step].count) -
                  median(base[step].cpu, (size_t)base[step].count);
    series.time[step] = fmax(more, LEAST);
    tell("  %s: %g in %.5f s\n", GROWN[by].what, series.size[step], series.time[step]);
  }
  return series;
}

static void all_of_it(struct bench *bench) {
  struct bench_job job = bench_small();
  job.overlays = 1000;
  job.volumes = 200;
  job.grooved = 1;
  job.segments = 4000;
  job_put(bench, "large.lay", job);
  tell("1,000 overlays, 200 volumes and a cavity of 4,000 lines and bends\n");
  double cpu = check_ends(bench, "large.lay");
  figure_add(&bench->figures,
             (struct figure){.what = "check of 1,000 overlays, 200 volumes, 4,000 segments",
                             .unit = "s",
                             .value = cpu,
                             .skipped = cpu >= 0 ? NULL : "left out: over a minute"});
}

void growth_measure(struct bench *bench, const struct memory *memory) {
  tell("growth\n");
  all_of_it(bench);
  for (enum grown by = BY_ROWS; by < BY_COUNT; by++) {
    struct series series = measure(bench, by);
    if (by == BY_ROWS && !bench->is_short) {
      series.size[series.count] = 1.007e8;
      series.time[series.count++] = memory->cpu;
    }
    if (by == BY_ROWS)
      bench->rows = series;
    else if (by == BY_SEGMENTS)
      bench->segments = series;
    figure_add(&bench->figures, (struct figure){.what = GROWN[by].what,
                                                .unit = "",
                                                .value = exponent(by, &series),
                                                .goal = GROWN[by].goal,
                                                .grown = series});
  }
}
