/* Starts, checks and sources.  By the clock: a start is mostly the system's work, and these figures
 * are what someone waits for. */
#include "bench/bench.h"

struct taken {
  double two[ROUNDS], lines[ROUNDS], begun[ROUNDS];
  double small[STARTS], small_shared[STARTS], version[STARTS], version_shared[STARTS],
      empty[STARTS], empty_shared[STARTS];
};

static void take(struct bench *bench, struct taken *taken) {
  for (int i = 0; i < ROUNDS; i++) {
    taken->two[i] = check(bench, bench->program, "two.lay").wall;
    taken->begun[i] = start_only(bench->program).wall;
    taken->lines[i] = check(bench, bench->program, "long.lay").wall;
  }
  for (int i = 0; i < STARTS; i++) {
    taken->empty[i] = nothing(bench->empty).wall * 1e3;
    taken->version[i] = start_only(bench->program).wall * 1e3;
    taken->small[i] = check(bench, bench->program, "small.lay").wall * 1e3;
    taken->empty_shared[i] = nothing(bench->empty_shared).wall * 1e3;
    taken->version_shared[i] = start_only(bench->shared).wall * 1e3;
    taken->small_shared[i] = check(bench, bench->shared, "small.lay").wall * 1e3;
  }
}

void checks_measure(struct bench *bench) {
  static struct taken taken;
  struct figures *to = &bench->figures;
  tell("checks and starts\n");
  job_put(bench, "small.lay", bench_small());
  struct bench_job long_source = bench_small();
  long_source.filler_lines = 100000;
  job_put(bench, "long.lay", long_source);
  take(bench, &taken);
  double begun = median(taken.begun, ROUNDS);
  double empty = median(taken.empty, STARTS), empty_shared = median(taken.empty_shared, STARTS);
  double small = median(taken.small, STARTS);
  double read = median(taken.lines, ROUNDS) - small * 1e-3;
  figure_add(to, (struct figure){.what = "check of the two-hour job, over a process start",
                                 .unit = "ms",
                                 .value = (median(taken.two, ROUNDS) - begun) * 1e3,
                                 .goal = 5});
  figure_add(to, (struct figure){.what = "check of a small job, static / an empty static process",
                                 .unit = "ms",
                                 .against = "empty static process",
                                 .value = small,
                                 .baseline = empty,
                                 .goal = 1.5});
  figure_add(to, (struct figure){.what = "--version, static / an empty static process",
                                 .unit = "ms",
                                 .against = "empty static process",
                                 .value = median(taken.version, STARTS),
                                 .baseline = empty});
  figure_add(to, (struct figure){.what = "check of a small job, shared / an empty shared process",
                                 .unit = "ms",
                                 .against = "empty shared process",
                                 .value = median(taken.small_shared, STARTS),
                                 .baseline = empty_shared});
  figure_add(to, (struct figure){.what = "--version, shared / an empty shared process",
                                 .unit = "ms",
                                 .against = "empty shared process",
                                 .value = median(taken.version_shared, STARTS),
                                 .baseline = empty_shared});
  figure_add(to, (struct figure){.what = "source of 100,000 lines, to a model",
                                 .unit = "s",
                                 .value = read,
                                 .goal = 0.1});
  figure_add(to, (struct figure){.what = "source text, to a model",
                                 .unit = "MB/s",
                                 .value = file_size(bench, "long.lay") * 1e-6 / read,
                                 .goal = 100,
                                 .at_least = true});
}
