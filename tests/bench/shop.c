/* The programs of programs/: what users write, most of them short beside the two-hour job. */
#include "bench/bench.h"

#include <glob.h>
#include <inttypes.h>
#include <string.h>

enum { PROGRAMS_MOST = 64, TAIL = 200 };

struct shop {
  const char *paths[PROGRAMS_MOST];
  size_t count;
  double rows;
};

/* From the stream's last line. */
static double rows_of(const char *path) {
  char tail[TAIL + 1];
  uint64_t rows = 0;
  FILE *from = fopen(path, "rb");
  if (!from || fseek(from, -TAIL, SEEK_END) != 0)
    fail("a stream cannot be read");
  tail[fread(tail, 1, TAIL, from)] = '\0';
  fclose(from);
  const char *end = strstr(tail, "# end rows ");
  if (!end || sscanf(end, "# end rows %" SCNu64, &rows) != 1)
    fail("a stream has no end");
  return (double)rows;
}

static struct measured run_one(const struct bench *bench, const char *path, const char *to) {
  const char *words[] = {bench->program, "compile", "-q", path, "-o", to, "--jobs", "1", NULL};
  return run_program_quietly(words);
}

/* Those that give a stream: not the files that others use, nor what is refused on purpose. */
static void find(const struct bench *bench, const glob_t *found, struct shop *shop) {
  char to[PATH_ROOM];
  path_in(bench, "out.csv", to);
  for (size_t i = 0; i < found->gl_pathc && shop->count < PROGRAMS_MOST; i++) {
    if (run_one(bench, found->gl_pathv[i], to).status != 0)
      continue;
    shop->paths[shop->count++] = found->gl_pathv[i];
    shop->rows += rows_of(to);
  }
}

static double all_cpu(const struct bench *bench, const struct shop *shop, bool compiles) {
  char nowhere[PATH_ROOM];
  double cpu = 0;
  path_in(bench, NOWHERE_TEXT, nowhere);
  for (size_t i = 0; i < shop->count; i++) {
    const char *words[] = {bench->program, "check", "-q", shop->paths[i], NULL};
    struct measured took = compiles ? run_one(bench, shop->paths[i], nowhere) : run_program(words);
    if (took.status != 0)
      fail(shop->paths[i]);
    cpu += took.cpu;
  }
  return cpu;
}

void shop_measure(struct bench *bench) {
  glob_t found;
  struct shop shop = {.count = 0};
  double compiled[ROUNDS], checked[ROUNDS];
  tell("the programs of programs/\n");
  if (glob("programs/*.lay", 0, NULL, &found) != 0)
    fail("programs/ is not there");
  find(bench, &found, &shop);
  if (shop.count == 0)
    fail("programs/ gives no stream");
  for (int i = 0; i < ROUNDS; i++) {
    compiled[i] = all_cpu(bench, &shop, true) / shop.rows * 1e9;
    checked[i] = all_cpu(bench, &shop, false) / (double)shop.count * 1e3;
  }
  figure_add(&bench->figures, (struct figure){.what = "check of a program of programs/, their mean",
                                              .unit = "ms",
                                              .value = median(checked, ROUNDS)});
  figure_add(&bench->figures,
             (struct figure){.what = "fprintf loop / text streams of programs/, all of it",
                             .unit = "ns a row",
                             .against = "streams of programs/",
                             .value = bench->loop_row * 1e9,
                             .baseline = median(compiled, ROUNDS),
                             .goal = 50,
                             .at_least = true});
  globfree(&found);
}
