/* Streams: how fast they are written, judged and read, beside the obvious ways.
 *
 * Figures of one core are processor time, so that what else runs disturbs them less; those of files
 * and of two cores are by the clock.  All of a run counts: start, motion, checks, rows. */
#include "bench/bench.h"

#include <stdlib.h>
#include <unistd.h>

#include "bench/baselines.h"

/* A run of the two-hour job takes some 30 ms: what else the machine does in one of them counts
 * much, and most where two processors are wanted at once.  So more rounds of those, and apart from
 * files, whose pages the system goes on writing for a while.  What stands beside them takes a tenth
 * of a second at most, or a machine that gives its power in bursts would be tired at their turn. */
enum { LOOP_ROWS = 60000, SCRIPT_ROWS = 300000, MANY = 15 };

/* Nanoseconds a row; 0 where numpy is not there. */
static double numpy_rows(const char *script) {
  char command[PATH_ROOM];
  double value = 0;
  snprintf(command, sizeof command, "/usr/bin/python3 tests/bench/%s %d 2>/dev/null", script,
           SCRIPT_ROWS);
  FILE *from = popen(command, "r");
  if (from && fscanf(from, "%lf", &value) != 1)
    value = 0;
  if (from)
    pclose(from);
  return value;
}

struct taken { /* of each round */
  double text[MANY], loop[MANY], copy[MANY], binary[MANY], one[MANY], two[MANY];
  double shift_one[MANY], shift_two[MANY], shift_text[MANY], shift_binary[MANY];
  double numpy[ROUNDS], tables[ROUNDS];
  double file[ROUNDS], reader[ROUNDS], judge_binary[ROUNDS], judge_text[ROUNDS];
};

static void take(struct bench *bench, struct taken *taken, const char *binary_path,
                 const struct row_set *all) {
  struct row_set some = *all;
  some.count = all->count < LOOP_ROWS ? all->count : LOOP_ROWS;
  double rows = (double)all->count;
  for (int i = 0; i < MANY; i++) {
    taken->text[i] = compile(bench, "two.lay", NOWHERE_TEXT, "1").cpu / rows * 1e9;
    taken->binary[i] = compile(bench, "two.lay", NOWHERE_BINARY, "1").cpu / rows * 1e9;
    taken->loop[i] = baseline_fprintf(&some);
    taken->copy[i] = baseline_memcpy() * 1e-9;
    if (i < ROUNDS) {
      taken->numpy[i] = numpy_rows("rows.py");
      taken->tables[i] = numpy_rows("rows_tables.py");
    }
  }
  for (int i = 0; i < MANY; i++) {
    taken->one[i] = compile(bench, "two.lay", NOWHERE_TEXT, "1").wall;
    taken->two[i] = compile(bench, "two.lay", NOWHERE_TEXT, "2").wall;
  }
  for (int i = 0; i < MANY; i++) {
    struct measured one = compile(bench, "shift.lay", NOWHERE_TEXT, "1");
    taken->shift_one[i] = one.wall;
    taken->shift_text[i] = one.cpu;
    taken->shift_two[i] = compile(bench, "shift.lay", NOWHERE_TEXT, "2").wall;
    taken->shift_binary[i] = compile(bench, "shift.lay", NOWHERE_BINARY, "1").cpu;
  }
  for (int i = 0; i < ROUNDS; i++) {
    taken->reader[i] = reader_speed(binary_path) * 1e-9;
    taken->judge_binary[i] = rows / verify(bench, "two.spt", "two.lay").cpu * 1e-6;
    taken->judge_text[i] = rows / verify(bench, "two.csv", "two.lay").cpu * 1e-6;
    taken->file[i] = compile(bench, "two.lay", "out.csv", NULL).wall;
  }
}

static void add_two(struct bench *bench, const char *what, double *one, double *two) {
  figure_add(&bench->figures,
             (struct figure){.what = what,
                             .unit = "s",
                             .against = "two jobs",
                             .value = median(one, MANY),
                             .baseline = median(two, MANY),
                             .goal = 1.7,
                             .at_least = true,
                             .skipped = bench->takes_jobs
                                            ? NULL
                                            : "left out: one stream is made by one thread"});
}

static void add_all(struct bench *bench, struct taken *taken, double bytes_a_row) {
  struct figures *to = &bench->figures;
  double text = median(taken->text, MANY), script = median(taken->numpy, ROUNDS);
  double loop = median(taken->loop, MANY), tables = median(taken->tables, ROUNDS);
  bench->loop_row = loop * 1e-9;
  figure_add(to,
             (struct figure){.what = "text stream, all of it", .unit = "ns a row", .value = text});
  figure_add(to, (struct figure){.what = "fprintf loop over its rows / the text stream",
                                 .unit = "ns a row",
                                 .against = "text stream",
                                 .value = loop,
                                 .baseline = text,
                                 .goal = 50,
                                 .at_least = true});
  figure_add(to, (struct figure){.what = "numpy script, digit by digit / the text stream",
                                 .unit = "ns a row",
                                 .against = "text stream",
                                 .value = script,
                                 .baseline = text,
                                 .goal = 25,
                                 .at_least = true,
                                 .skipped = script > 0 ? NULL : "left out: numpy is not there"});
  figure_add(to, (struct figure){.what = "numpy script, tables of digits / the text stream",
                                 .unit = "ns a row",
                                 .against = "text stream",
                                 .value = tables,
                                 .baseline = text,
                                 .skipped = tables > 0 ? NULL : "left out: numpy is not there"});
  figure_add(to, (struct figure){.what = "text stream / memcpy",
                                 .unit = "GB/s",
                                 .against = "memcpy",
                                 .value = bytes_a_row / text,
                                 .baseline = median(taken->copy, MANY),
                                 .goal = 0.25,
                                 .at_least = true});
  figure_add(to, (struct figure){.what = "text stream / binary stream",
                                 .unit = "ns a row",
                                 .against = "binary stream",
                                 .value = text,
                                 .baseline = median(taken->binary, MANY),
                                 .goal = 3,
                                 .at_least = true});
  figure_add(to, (struct figure){.what = "text stream / binary stream, of 12 hours",
                                 .unit = "s",
                                 .against = "binary stream",
                                 .value = median(taken->shift_text, MANY),
                                 .baseline = median(taken->shift_binary, MANY),
                                 .goal = 3,
                                 .at_least = true});
  add_two(bench, "text stream, --jobs 1 / --jobs 2, by the clock", taken->one, taken->two);
  add_two(bench, "the same of 12 hours", taken->shift_one, taken->shift_two);
  figure_add(to, (struct figure){.what = "two-hour job at 4 ms, text to a file",
                                 .unit = "s",
                                 .value = median(taken->file, ROUNDS),
                                 .goal = 0.2});
  figure_add(to, (struct figure){.what = "verify, binary",
                                 .unit = "million rows/s",
                                 .value = median(taken->judge_binary, ROUNDS),
                                 .goal = 10,
                                 .at_least = true});
  figure_add(to, (struct figure){.what = "verify, text",
                                 .unit = "million rows/s",
                                 .value = median(taken->judge_text, ROUNDS),
                                 .goal = 4,
                                 .at_least = true});
  figure_add(to, (struct figure){.what = "reader library, binary",
                                 .unit = "GB/s",
                                 .value = median(taken->reader, ROUNDS),
                                 .goal = 1,
                                 .at_least = true});
}

/* What is compared does the same work: the same bytes from one job and from two, from the program
 * with shared libraries, and the rows of the loop of fprintf. */
static void prove_same(struct bench *bench, const struct row_set *all, const char *text_path) {
  compile(bench, "two.lay", "one.csv", "1");
  same_bytes(bench, "two.csv", "one.csv");
  compile(bench, "two.lay", "one.csv", "2");
  same_bytes(bench, "two.csv", "one.csv");
  compile(bench, "two.lay", "one.spt", "2");
  same_bytes(bench, "two.spt", "one.spt");
  struct bench shared = *bench;
  shared.program = bench->shared;
  compile(&shared, "two.lay", "one.csv", NULL);
  same_bytes(bench, "two.csv", "one.csv");
  if (!baseline_is_same(all, text_path))
    fail("the loop of fprintf writes other rows than the stream has");
}

void streams_measure(struct bench *bench) {
  job_put(bench, "two.lay", bench_two_hours("4 ms"));
  job_put(bench, "shift.lay", bench_twelve_hours("4 ms"));
  tell("streams of two hours\n");
  compile(bench, "two.lay", "two.spt", NULL);
  compile(bench, "two.lay", "two.csv", NULL);
  char binary_path[PATH_ROOM], text_path[PATH_ROOM];
  path_in(bench, "two.spt", binary_path);
  path_in(bench, "two.csv", text_path);
  struct row_set all = rows_load(binary_path, 4000000);
  if (all.count == 0)
    fail("the stream cannot be read");
  prove_same(bench, &all, text_path);
  sync(); /* what was written to be compared */
  static struct taken taken;
  take(bench, &taken, binary_path, &all);
  add_all(bench, &taken, file_size(bench, "two.csv") / (double)all.count);
  free(all.rows);
}
