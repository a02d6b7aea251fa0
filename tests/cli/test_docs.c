/* What docs/ and README.md show is so, word for word: the message of docs/messages.md, the rules of
 * docs/many-programs.md under ninja and make, every option behind a command's name.  Elsewhere:
 * README's first job in test_readme.c, git's lines in test_compare_git.c, the layout in
 * tests/tidy/, the worked example of streams in tests/convert/, the controller's loop in
 * tests/reader_example.sh. */
#include "cli/program.h"

#include <glob.h>
#include <libgen.h>

/* The text of the page's block number `index`, from 0, of those that open with the line. */
static char *block_of(const char *page, const char *opening, int index) {
  char *text = file_read(page), *at = text;
  assert_non_null(text);
  for (int i = 0; i <= index; i++) {
    at = strstr(at, opening);
    assert_non_null(at);
    at += strlen(opening);
  }
  char *end = strstr(at, "```\n");
  assert_non_null(end);
  char *block = strndup(at, (size_t)(end - at));
  free(text);
  return block;
}

static FILE *file_open(const struct program *program, const char *name) {
  char path[1400];
  path_in(path, program, name);
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  return file;
}

/* -- messages -----------------------------------------------------------------------------------
 */

static void test_message(void **state) {
  struct program *program = *state;
  char *wanted = block_of("docs/messages.md", "\n```\n", 0);
  FILE *job = file_open(program, "bore.lay");
  fprintf(job, "use \"%s/shop.lay\"\n", program->jobs);
  fputs("shape bore round { diameter 120 mm }\n"
        "envelope block { free bore { depths 0 .. 140 mm } }\n"
        "overlay clad { wall bore; depths 40 .. 60 mm; procedure slow; overlap 40 % }\n"
        "job \"bore\" {\n  cell bench; envelope block\n  safe_height 40 mm\n}\n\n\n\n\n"
        "procedure slow like steady {\n  travel_speed 180 mm\n}\n",
        job);
  assert_int_equal(fclose(job), 0);
  assert_int_equal(program_run(program, "check bore.lay"), 1);
  assert_string_equal(program->err, wanted);
  free(wanted);
}

/* -- builds --------------------------------------------------------------------------------------
 */

static void expect_shell(const struct program *program, const char *line, const char *last) {
  char command[4096], out[600];
  snprintf(out, sizeof out, "%s.out", program->folder);
  snprintf(command, sizeof command, "{ cd %s && %s; } >%s 2>&1", program->folder, line, out);
  int status = system(command);
  char *text = file_read(out);
  unlink(out);
  if (status != 0 || (last && !strstr(text, last)))
    fail_msg("%s: status %d, said\n%s", line, status, text);
  free(text);
}

static void path_begin_with(const char *program) {
  char copy[1024], path[4096];
  snprintf(copy, sizeof copy, "%s", program);
  snprintf(path, sizeof path, "%s:%s", dirname(copy), getenv("PATH"));
  setenv("PATH", path, 1);
}

static void programs_copy(const struct program *program) {
  char line[4096];
  snprintf(line, sizeof line,
           "cp %s/shop.lay . && cp %s/bore.lay valve_bore.lay && cp valve_bore.lay cross_port.lay",
           program->jobs, program->jobs);
  expect_shell(program, line, NULL);
}

static void test_ninja(void **state) {
  struct program *program = *state;
  char *rules = block_of("docs/many-programs.md", "\n```\nrule lay\n", 0);
  FILE *build = file_open(program, "build.ninja");
  fprintf(build, "rule lay\n%s", rules);
  assert_int_equal(fclose(build), 0);
  free(rules);
  programs_copy(program);
  expect_shell(program, "ninja", "[2/2]");
  expect_shell(program, "test -s valve_bore.csv && test -s cross_port.csv && ninja",
               "no work to do");
  expect_shell(program, "rm -f .ninja_*", NULL);
}

static void test_make(void **state) {
  struct program *program = *state;
  FILE *makefile = file_open(program, "Makefile");
  for (int i = 0; i < 2; i++) {
    char *rules = block_of("docs/many-programs.md", "\n```make\n", i);
    fputs(rules, makefile);
    free(rules);
  }
  assert_int_equal(fclose(makefile), 0);
  programs_copy(program);
  static const char WANTED[] = "valve_bore.verified.json valve_bore.html cross_port.csv";
  char line[200];
  snprintf(line, sizeof line, "make %s && ls %s valve_bore.csv", WANTED, WANTED);
  expect_shell(program, line, NULL);
  snprintf(line, sizeof line, "make -q %s", WANTED);
  expect_shell(program, line, NULL);
  /* a file that is only used is known by now */
  expect_shell(program, "touch -d '1 hour' shop.lay && ! make -q cross_port.csv", NULL);
}

/* -- options ------------------------------------------------------------------------------------
 */

/* Options between a command's name and the end of the line or of the code. */
static void check_line(struct program *program, const char *page, const char *at) {
  static const char END[] = "`\n";
  char command[40], line[60];
  size_t length = strcspn(at, " `\n");
  if (length == 0 || length >= sizeof command || at[0] < 'a' || at[0] > 'z')
    return;
  snprintf(command, sizeof command, "%.*s", (int)length, at);
  snprintf(line, sizeof line, "%s --help", command);
  if (!memmem(at, strcspn(at, END), "--", 2) || program_run(program, line) != 0)
    return; /* prose behind the program's name */
  for (const char *option = at;
       (option = strstr(option, "--")) && option < at + strcspn(at, END);) {
    char name[40];
    snprintf(name, sizeof name, "--%.*s", (int)strspn(option + 2, "abcdefghijklmnopqrstuvwxyz-"),
             option + 2);
    if (!strstr(program->out, name))
      fail_msg("%s: %s has no %s, or its help does not tell it", page, command, name);
    option += strlen(name);
  }
}

static void test_options(void **state) {
  struct program *program = *state;
  glob_t pages;
  int lines = 0;
  assert_int_equal(glob("docs/*.md", 0, NULL, &pages), 0);
  assert_int_equal(glob("README.md", GLOB_APPEND, NULL, &pages), 0);
  for (size_t i = 0; i < pages.gl_pathc; i++) {
    char *text = file_read(pages.gl_pathv[i]);
    assert_non_null(text);
    for (const char *at = text; (at = strstr(at, "borelay ")); lines++) {
      at += strlen("borelay ");
      check_line(program, pages.gl_pathv[i], at);
    }
    free(text);
  }
  assert_true(lines > 40);
  globfree(&pages);
}

int main(void) {
  path_begin_with(getenv("BORELAY"));
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_message, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_ninja, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_make, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_options, program_setup, program_teardown),
  };
  return cmocka_run_group_tests_name("cli docs", tests, NULL, NULL);
}
