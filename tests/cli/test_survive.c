/* Whatever befalls a compile, what stands under the final name is whole: the new stream or what
 * stood there before.  Figures: docs/reliability.md. */
#include "cli/program.h"

#include <signal.h>
#include <sys/resource.h>
#include <time.h>

#include "support/random.h"

static const char OLDER[] = "an older stream\n";

struct bytes {
  char *at;
  size_t length;
};

static struct bytes bytes_read(const char *path) {
  struct stat found;
  struct bytes bytes = {NULL, 0};
  FILE *file = fopen(path, "rb");
  if (!file)
    return bytes;
  assert_int_equal(fstat(fileno(file), &found), 0);
  bytes.length = (size_t)found.st_size;
  bytes.at = malloc(bytes.length + 1);
  assert_non_null(bytes.at);
  assert_int_equal(fread(bytes.at, 1, bytes.length, file), bytes.length);
  fclose(file);
  return bytes;
}

static bool is_equal(struct bytes a, struct bytes b) {
  return a.at && b.at && a.length == b.length && memcmp(a.at, b.at, a.length) == 0;
}

static struct bytes compiled(struct program *program, const char *line, const char *name) {
  char path[1400];
  path_in(path, program, name);
  assert_int_equal(program_run(program, line), 0);
  struct bytes bytes = bytes_read(path);
  assert_non_null(bytes.at);
  assert_int_equal(unlink(path), 0);
  return bytes;
}

static void lay_older(const char *path) {
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  fputs(OLDER, file);
  assert_int_equal(fclose(file), 0);
}

static double now_s(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void wait_for(pid_t child, int *status) {
  assert_int_equal(waitpid(child, status, 0), child);
}

/* -- killed --------------------------------------------------------------------------------- */

/* A compile that is killed has never started or never ended; between naming the new file beside the
 * old one and putting it in its place a second, hidden name may be left, and nothing else. */
struct kills {
  int old, whole, hidden;
};

static void kill_once(struct program *program, const char *line, const char *name, double after_s,
                      struct bytes whole, struct kills *kills) {
  char path[1400];
  int status;
  struct timespec nap = {(time_t)after_s, (long)((after_s - (double)(time_t)after_s) * 1e9)};
  path_in(path, program, name);
  lay_older(path);
  pid_t child = program_start(program, "/dev/null", "/dev/null", line);
  nanosleep(&nap, NULL);
  kill(child, SIGKILL);
  wait_for(child, &status);
  struct bytes got = bytes_read(path);
  bool is_old = got.length == strlen(OLDER) && memcmp(got.at, OLDER, got.length) == 0;
  assert_true(is_old || is_equal(got, whole));
  free(got.at);
  kills->old += is_old;
  kills->whole += !is_old;
  int beside = names_in(program->folder) - 1;
  assert_in_range(beside, 0, 1);
  kills->hidden += beside;
  folder_empty(program->folder);
  assert_int_equal(names_in(program->folder), 0); /* a hidden name is an ordinary file's */
}

static void kill_often(struct program *program, const char *line, const char *name) {
  enum { KILLS = 50 };
  struct kills kills = {0, 0, 0};
  struct random random = {20260711};
  struct bytes whole = compiled(program, line, name);
  double start = now_s();
  free(compiled(program, line, name).at);
  double takes = now_s() - start;
  for (int i = 0; i < KILLS; i++)
    kill_once(program, line, name, random_between(&random, 0, 1.3 * takes), whole, &kills);
  print_message("%s, seed 20260711: of %d killed %d left the older file, %d the new one whole, "
                "%d a hidden file beside it\n",
                name, KILLS, kills.old, kills.whole, kills.hidden);
  free(whole.at);
}

static void test_killed(void **state) {
  kill_often(*state, "compile -q @bore.lay -o out.csv", "out.csv");
  kill_often(*state, "compile -q @bore.lay -o out.spt", "out.spt");
}

/* -- two at once ---------------------------------------------------------------------------- */

static void test_two_at_once(void **state) {
  enum { PAIRS = 20 };
  static const char A[] = "compile -q @bore.lay -o out.csv",
                    B[] = "compile -q @bore.lay -o out.csv --rehearse";
  struct program *program = *state;
  struct bytes a = compiled(program, A, "out.csv"), b = compiled(program, B, "out.csv");
  char path[1400];
  int firsts = 0;
  assert_false(is_equal(a, b));
  path_in(path, program, "out.csv");
  for (int i = 0; i < PAIRS; i++) {
    int status_a, status_b;
    pid_t one = program_start(program, "/dev/null", "/dev/null", i % 2 ? A : B);
    pid_t two = program_start(program, "/dev/null", "/dev/null", i % 2 ? B : A);
    wait_for(one, &status_a);
    wait_for(two, &status_b);
    assert_true(WIFEXITED(status_a) && WEXITSTATUS(status_a) == 0);
    assert_true(WIFEXITED(status_b) && WEXITSTATUS(status_b) == 0);
    struct bytes got = bytes_read(path);
    assert_true(is_equal(got, a) || is_equal(got, b));
    firsts += is_equal(got, i % 2 ? a : b);
    free(got.at);
    assert_int_equal(names_in(program->folder), 1);
    assert_int_equal(unlink(path), 0);
  }
  print_message("of %d pairs %d left the stream of the one started first\n", PAIRS, firsts);
  free(a.at);
  free(b.at);
}

/* Reading while another compiles: a reader sees the old stream or the new, never a part. */
static void test_read_while_compiled(void **state) {
  enum { READS = 2000 };
  static const char A[] = "compile -q @bore.lay -o out.csv",
                    B[] = "compile -q @bore.lay -o out.csv --rehearse";
  struct program *program = *state;
  struct bytes a = compiled(program, A, "out.csv"), b = compiled(program, B, "out.csv");
  char path[1400];
  path_in(path, program, "out.csv");
  assert_int_equal(program_run(program, A), 0);
  pid_t child = 0;
  for (int i = 0; i < READS; i++) {
    int status = 0;
    if (child == 0)
      child = program_start(program, "/dev/null", "/dev/null", i % 2 ? A : B);
    struct bytes got = bytes_read(path);
    assert_true(is_equal(got, a) || is_equal(got, b));
    free(got.at);
    if (waitpid(child, &status, WNOHANG) == child) {
      assert_int_equal(status, 0);
      child = 0;
    }
  }
  if (child)
    waitpid(child, NULL, 0);
  free(a.at);
  free(b.at);
}

/* -- a disk that fills ---------------------------------------------------------------------- */

/* Where no small file system can be mounted (tests/cli/test_files.c does) a limit on the size of
 * files does: the write fails after so many bytes. */
static void fill_at(struct program *program, const char *line, const char *name, rlim_t size) {
  struct rlimit before, limit;
  char path[1400];
  assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
  limit = (struct rlimit){size, before.rlim_max};
  path_in(path, program, name);
  lay_older(path);
  assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
  pid_t child = program_start(program, "/dev/null", "/dev/null", line);
  assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
  int status;
  wait_for(child, &status);
  assert_true(WIFEXITED(status));
  assert_int_equal(WEXITSTATUS(status), 3);
  char *kept = file_read(path);
  assert_string_equal(kept, OLDER);
  free(kept);
  assert_int_equal(names_in(program->folder), 1);
}

static void test_disk_fills(void **state) {
  static const struct {
    const char *line, *name;
  } OUTPUTS[] = {{"compile -q @bore.lay -o out.csv", "out.csv"},
                 {"compile -q @bore.lay -o out.spt", "out.spt"},
                 {"convert in.csv out.spt", "out.spt"}};
  struct program *program = *state;
  signal(SIGXFSZ, SIG_IGN); /* the failed write is what is looked at, as on a full disk */
  for (size_t i = 0; i < sizeof OUTPUTS / sizeof OUTPUTS[0]; i++) {
    char path[1400], in[1400];
    assert_int_equal(program_run(program, "compile -q @bore.lay -o in.csv"), 0);
    path_in(path, program, "in.csv");
    snprintf(in, sizeof in, "%s.in", program->folder); /* beside, so that one name is left */
    assert_int_equal(rename(path, in), 0);
    char line[1500];
    snprintf(line, sizeof line, "%s", OUTPUTS[i].line);
    if (i == 2)
      snprintf(line, sizeof line, "convert %s out.spt", in);
    struct bytes whole = compiled(program, line, OUTPUTS[i].name);
    const rlim_t sizes[] = {0, 1, 4096, whole.length / 2, whole.length - 1};
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++)
      fill_at(program, line, OUTPUTS[i].name, sizes[k]);
    free(whole.at);
    unlink(in);
    folder_empty(program->folder);
  }
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, program_setup, program_teardown)
  const struct CMUnitTest tests[] = {TEST(test_killed), TEST(test_two_at_once),
                                     TEST(test_read_while_compiled), TEST(test_disk_fills)};
  return cmocka_run_group_tests_name("cli survive", tests, NULL, NULL);
}
