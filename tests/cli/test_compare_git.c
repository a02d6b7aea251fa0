/* compare as a driver of git: the lines of docs/compare.md, run in a repository of their own. */
#include "cli/program.h"

#include <libgen.h>

struct repository {
  char folder[64], out[128], page[1100], programs[1100];
  char *text; /* of the last command */
};

/* Runs a line of shell in the repository. */
static int shell(struct repository *repository, const char *line) {
  char whole[4096];
  snprintf(whole, sizeof whole, "cd %s && { %s\n} >%s 2>&1", repository->folder, line,
           repository->out);
  int status = system(whole);
  free(repository->text);
  repository->text = file_read(repository->out);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void expect_shell(struct repository *repository, const char *line, int status) {
  int got = shell(repository, line);
  if (got != status)
    fail_msg("%s: status %d\n%s", line, got, repository->text);
}

static void expect_text(const struct repository *repository, const char *wanted) {
  if (!strstr(repository->text, wanted))
    fail_msg("no `%s` in:\n%s", wanted, repository->text);
}

/* The lines of the page between ```sh and ```, run as they stand there. */
static void run_page(struct repository *repository) {
  char *page = file_read(repository->page);
  assert_non_null(page);
  int count = 0;
  char *at = page;
  while ((at = strstr(at, "\n```sh\n")) != NULL) {
    char *end = strstr(at + 7, "\n```\n");
    assert_non_null(end);
    *end = '\0';
    expect_shell(repository, at + 7, 0);
    at = end + 1;
    count++;
  }
  assert_int_equal(count, 2);
  free(page);
}

static int setup(void **state) {
  static struct repository repository;
  char here[1024], path[2048], program[1024];
  assert_non_null(getcwd(here, sizeof here));
  snprintf(program, sizeof program, "%s", getenv("BORELAY"));
  snprintf(path, sizeof path, "%s:%s", dirname(program), getenv("PATH"));
  setenv("PATH", path, 1);
  setenv("GIT_CONFIG_GLOBAL", "/dev/null", 1);
  setenv("GIT_CONFIG_SYSTEM", "/dev/null", 1);
  snprintf(repository.folder, sizeof repository.folder, "/tmp/borelay-git-XXXXXX");
  snprintf(repository.page, sizeof repository.page, "%s/docs/compare.md", here);
  snprintf(repository.programs, sizeof repository.programs, "%s/tests/cli/jobs", here);
  if (!mkdtemp(repository.folder))
    return -1;
  snprintf(repository.out, sizeof repository.out, "%s.out", repository.folder);
  *state = &repository;
  return 0;
}

static int teardown(void **state) {
  struct repository *repository = *state;
  char line[256];
  snprintf(line, sizeof line, "rm -rf %s %s", repository->folder, repository->out);
  free(repository->text);
  return system(line);
}

/* A job in one folder that uses a library in another. */
static void make_history(struct repository *repository) {
  char line[4096];
  snprintf(line, sizeof line,
           "git init -q . && git config user.name Tester && git config user.email t@example.org &&"
           " mkdir jobs shop && cp %s/shop.lay shop/ &&"
           " sed 's|\"shop.lay\"|\"../shop/shop.lay\"|' %s/bore.lay >jobs/bore.lay &&"
           " git add . && git commit -qm one",
           repository->programs, repository->programs);
  expect_shell(repository, line, 0);
}

static void test_driver(void **state) {
  struct repository *repository = *state;
  make_history(repository);
  run_page(repository);
  expect_shell(repository, "git diff", 0);
  assert_string_equal(repository->text, "");
  /* layout alone */
  expect_shell(repository, "printf '# a comment\\n\\n' >>jobs/bore.lay && git diff jobs", 0);
  expect_text(repository, "borelay compare jobs/bore.lay\nSAME\n");
  /* the job and its library */
  expect_shell(repository,
               "sed -i 's/overlap 25 %/overlap 30 %/' jobs/bore.lay &&"
               " sed -i 's/bead_width 8 mm/bead_width 8.4 mm/' shop/shop.lay && git diff",
               0);
  expect_text(repository, "borelay compare jobs/bore.lay\n"
                          "DIFFERENT: 1 difference in what is declared\n");
  expect_text(repository, "  overlay ring_wall / overlap  25 -> 30 %, +5 percentage points\n");
  expect_text(repository, "borelay compare shop/shop.lay\n");
  expect_text(repository, "  procedure steady / bead_width  8 -> 8.4 mm, +5.0 %\n");
  assert_null(strstr(repository->text, "@@"));
  assert_null(strstr(repository->text, "cannot be read"));
  /* a file that is new */
  expect_shell(repository,
               "cp jobs/bore.lay jobs/second.lay && git add -N jobs/second.lay &&"
               " git diff jobs/second.lay",
               0);
  expect_text(repository, "overlay ring_wall  added");
  expect_shell(repository, "rm -f jobs/second.lay && git add -A && git commit -qm two", 0);
  expect_shell(repository, "git show --ext-diff", 0);
  expect_text(repository, "  overlay ring_wall / overlap  25 -> 30 %, +5 percentage points\n");
}

/* Whole revisions: what the library changed shows in the job, on the part too. */
static void test_revisions(void **state) {
  struct repository *repository = *state;
  expect_shell(repository, "git lay HEAD~1 HEAD jobs/bore.lay", 1);
  expect_text(repository, "DIFFERENT: 2 differences in what is declared; before: PASSED, after: ");
  expect_text(repository, "  before  before/jobs/bore.lay  \"test bore\", revision A\n");
  expect_text(repository, "  procedure w.steady / bead_width  8 -> 8.4 mm, +5.0 %\n");
  expect_text(repository, "Largest distance between the two ways of the tip");
  expect_shell(repository, "git lay HEAD jobs/bore.lay", 0);
  expect_text(repository, "SAME; before: PASSED");
  expect_shell(repository, "sed -i 's/overlap 30 %/overlap 31 %/' jobs/bore.lay", 0);
  expect_shell(repository, "git lay HEAD jobs/bore.lay", 1);
  expect_text(repository, "  overlay ring_wall / overlap  30 -> 31 %, +1 percentage points\n");
}

static void test_wrong_words(void **state) {
  struct repository *repository = *state;
  expect_shell(repository, "borelay compare --driver a b", 2);
  expect_text(repository, "git gives a driver 7 words");
  expect_shell(repository, "borelay compare --driver --json a", 2);
  expect_text(repository, "--json does not go with it");
  expect_shell(repository, "borelay compare --driver a", 0);
  expect_text(repository, "not merged");
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_driver),
                                     cmocka_unit_test(test_revisions),
                                     cmocka_unit_test(test_wrong_words)};
  return cmocka_run_group_tests(tests, setup, teardown);
}
