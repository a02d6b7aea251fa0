/* Source files laid out in place: what they compile to stays, and so does a file that is laid out
 * already, or that cannot be. */
#include "cli/program.h"

#include <sys/time.h>

static void put_file(const struct program *program, const char *name, const char *text) {
  char path[1400];
  path_in(path, program, name);
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  fputs(text, file);
  assert_int_equal(fclose(file), 0);
}

static char *get_file(const struct program *program, const char *name) {
  char path[1400];
  path_in(path, program, name);
  char *text = file_read(path);
  assert_non_null(text);
  return text;
}

static void expect_file(const struct program *program, const char *name, const char *want) {
  char *text = get_file(program, name);
  assert_string_equal(text, want);
  free(text);
}

/* -- the same stream ----------------------------------------------------------------- */

/* Without the digest of the source, the checksum of the whole, and the column of lines. */
static char *stream_without_lines(const struct program *program, const char *name) {
  char *text = get_file(program, name), *to = text;
  for (char *line = text, *next; *line; line = next) {
    next = strchr(line, '\n') + 1;
    size_t length = (size_t)(next - line);
    bool is_source = strncmp(line, "# source ", 9) == 0;
    bool is_end = strncmp(line, "# end ", 6) == 0;
    if (*line != '#')
      while (line[length - 1] != ',')
        length--;
    if (!is_source && !is_end) {
      memmove(to, line, length);
      to += length;
    }
  }
  *to = '\0';
  return text;
}

/* Blanks for indentation, and lines torn apart or put together, but for comments and strings. */
static char *untidy(const char *text) {
  char *made = malloc(4 * strlen(text) + 1), *to = made;
  bool in_string = false, in_comment = false;
  assert_non_null(made);
  for (const char *p = text; *p; p++) {
    in_comment = *p != '\n' && (in_comment || (*p == '#' && !in_string));
    in_string = in_string != (*p == '"' && !in_comment && p[-1] != '\\');
    const char *instead = NULL;
    if (!in_string && !in_comment)
      instead = *p == '\n' ? " \r\n\n\n\t" : *p == ';' ? "\n\n ;" : *p == '{' ? "{\n\t" : NULL;
    if (instead)
      to = stpcpy(to, instead);
    else
      *to++ = *p;
  }
  *to = '\0';
  return made;
}

static void put_untidy(const struct program *program, const char *job) {
  char path[1400];
  snprintf(path, sizeof path, "%s/%s", program->jobs, job);
  char *text = file_read(path);
  assert_non_null(text);
  char *worse = untidy(text);
  put_file(program, job, worse);
  free(worse);
  free(text);
}

static void test_same_stream(void **state) {
  struct program *program = *state;
  static const char *const JOBS[] = {"bore.lay", "touched.lay"};
  for (size_t i = 0; i < 2; i++) {
    char line[200];
    put_untidy(program, "shop.lay");
    put_untidy(program, JOBS[i]);
    snprintf(line, sizeof line, "compile -q %s -o a.csv", JOBS[i]);
    assert_int_equal(program_run(program, line), 0);
    snprintf(line, sizeof line, "tidy --check %s shop.lay", JOBS[i]);
    assert_int_equal(program_run(program, line), 1);
    snprintf(line, sizeof line, "tidy %s shop.lay", JOBS[i]);
    assert_int_equal(program_run(program, line), 0);
    assert_string_equal(program->out, "");
    assert_string_equal(program->err, "");
    snprintf(line, sizeof line, "compile -q %s -o b.csv", JOBS[i]);
    assert_int_equal(program_run(program, line), 0);
    char *before = stream_without_lines(program, "a.csv");
    char *after = stream_without_lines(program, "b.csv");
    assert_true(strlen(before) > 100000);
    assert_string_equal(after, before);
    free(before);
    free(after);
    assert_int_equal(names_in(program->folder), 4);
    folder_empty(program->folder);
  }
}

/* -- files --------------------------------------------------------------------------- */

static void test_in_place(void **state) {
  struct program *program = *state;
  char path[1400];
  struct stat found;
  path_in(path, program, "a.lay");
  put_file(program, "a.lay", "let  a=1 ;\n");
  assert_int_equal(chmod(path, 0640), 0);
  assert_int_equal(program_run(program, "tidy a.lay"), 0);
  expect_file(program, "a.lay", "let a = 1\n");
  assert_int_equal(stat(path, &found), 0);
  assert_int_equal(found.st_mode & 07777, 0640);
  assert_int_equal(names_in(program->folder), 1);
}

static void test_tidy_file_is_not_touched(void **state) {
  struct program *program = *state;
  char path[1400];
  struct stat before, after;
  static const struct timeval long_ago[2] = {{.tv_sec = 1000000}, {.tv_sec = 1000000}};
  path_in(path, program, "a.lay");
  put_file(program, "a.lay", "let a = 1\n");
  assert_int_equal(utimes(path, long_ago), 0);
  assert_int_equal(stat(path, &before), 0);
  assert_int_equal(program_run(program, "tidy a.lay"), 0);
  assert_int_equal(stat(path, &after), 0);
  assert_int_equal(after.st_mtime, 1000000);
  assert_int_equal(after.st_ino, before.st_ino);
}

static void test_check(void **state) {
  struct program *program = *state;
  put_file(program, "a.lay", "let a = 1\nlet b=2\n");
  put_file(program, "b.lay", "let a = 1\n");
  assert_int_equal(program_run(program, "tidy --check a.lay b.lay"), 1);
  assert_string_equal(program->err, "a.lay:2: here the canonical layout differs\n");
  assert_string_equal(program->out, "");
  assert_int_equal(program_run(program, "tidy --quiet --check a.lay b.lay"), 1);
  assert_string_equal(program->err, "");
  assert_int_equal(program_run(program, "tidy --check b.lay"), 0);
  assert_string_equal(program->err, "");
  expect_file(program, "a.lay", "let a = 1\nlet b=2\n");
}

static void test_refused(void **state) {
  struct program *program = *state;
  static const char wrong[] = "let a = (1\nlet  b=2\n";
  put_file(program, "a.lay", wrong);
  put_file(program, "b.lay", "let  b=2\n");
  for (int check = 0; check < 2; check++) {
    assert_int_equal(program_run(program, check ? "tidy --check a.lay" : "tidy a.lay b.lay"), 1);
    assert_non_null(strstr(program->err, "a.lay:1:11: error["));
    expect_file(program, "a.lay", wrong);
  }
  expect_file(program, "b.lay", "let b = 2\n"); /* the others are handled all the same */
}

static void test_file_trouble(void **state) {
  struct program *program = *state;
  put_file(program, "a.lay", "let (\n");
  put_file(program, "b.lay", "let  b=2\n");
  assert_int_equal(program_run(program, "tidy none.lay a.lay b.lay"), 3);
  assert_non_null(
      strstr(program->err, "borelay: cannot read none.lay: No such file or directory\n"));
  assert_non_null(strstr(program->err, "a.lay:1:5: error["));
  expect_file(program, "b.lay", "let b = 2\n");
  assert_int_equal(program_run(program, "tidy ."), 3);
  assert_string_equal(program->err, "borelay: cannot read .: Is a directory\n");
}

/* What cannot be replaced is left alone; to read it is no trouble. */
static void test_no_plain_file(void **state) {
  struct program *program = *state;
  char line[4000];
  for (int check = 0; check < 2; check++) {
    snprintf(line, sizeof line,
             "cd '%s' && rm -f pipe && mkfifo pipe && { printf 'let  a=1' >pipe & } && "
             "'%s' tidy %s pipe 2>err",
             program->folder, program->path, check ? "--check" : "");
    assert_int_equal(WEXITSTATUS(system(line)), check ? 1 : 3);
    expect_file(program, "err",
                check ? "pipe:1: here the canonical layout differs\n"
                      : "borelay: cannot write pipe: it is no plain file\n");
  }
}

static void test_write_protected(void **state) {
  struct program *program = *state;
  char path[1400];
  if (geteuid() == 0)
    skip(); /* nothing is protected from root */
  path_in(path, program, "a.lay");
  put_file(program, "a.lay", "let  a=1\n");
  assert_int_equal(chmod(path, 0400), 0);
  assert_int_equal(program_run(program, "tidy a.lay"), 3);
  assert_string_equal(program->err, "borelay: cannot write a.lay: Permission denied\n");
  expect_file(program, "a.lay", "let  a=1\n");
}

/* -- standard input and output ------------------------------------------------------- */

static int run_on_input(const struct program *program, const char *input, const char *options,
                        const char *out) {
  char line[4000];
  put_file(program, "in", input);
  snprintf(line, sizeof line, "cd '%s' && '%s' tidy %s <in >%s 2>err", program->folder,
           program->path, options, out);
  return WEXITSTATUS(system(line));
}

static void test_standard_input(void **state) {
  struct program *program = *state;
  assert_int_equal(run_on_input(program, "let  a=1", "-", "out"), 0);
  expect_file(program, "out", "let a = 1\n");
  assert_int_equal(run_on_input(program, "let a = 1\n", "-", "out"), 0);
  expect_file(program, "out", "let a = 1\n");
  assert_int_equal(run_on_input(program, "let  a=1", "--check -", "out"), 1);
  expect_file(program, "out", "");
  expect_file(program, "err", "standard input:1: here the canonical layout differs\n");
  assert_int_equal(run_on_input(program, "let a = (\n", "-", "out"), 1);
  expect_file(program, "out", "");
  assert_int_equal(run_on_input(program, "let  a=1", "-", "/dev/full"), 3);
  expect_file(program, "err", "borelay: cannot write standard output: No space left on device\n");
  expect_file(program, "in", "let  a=1");
}

/* -- wrong use ----------------------------------------------------------------------- */

static void test_wrong_use(void **state) {
  struct program *program = *state;
  static const struct {
    const char *line, *said;
  } ROWS[] = {
      {"tidy", "borelay: tidy wants a file, or several\nhelp: see `borelay tidy --help`\n"},
      {"tidy --check", "borelay: tidy wants a file, or several\n"},
      {"tidy --chek a.lay", "borelay: unknown option --chek; did you mean --check?\n"},
      {"tidy --check=1 a.lay", "borelay: option --check takes no value\n"},
      {"tidy -x a.lay", "borelay: unknown option -x\n"},
  };
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    assert_int_equal(program_run(program, ROWS[i].line), 2);
    assert_memory_equal(program->err, ROWS[i].said, strlen(ROWS[i].said));
  }
  assert_int_equal(program_run(program, "tidy --help"), 0);
  assert_non_null(strstr(program->out, "borelay tidy FILE..."));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_same_stream, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_in_place, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_tidy_file_is_not_touched, program_setup,
                                      program_teardown),
      cmocka_unit_test_setup_teardown(test_check, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_refused, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_file_trouble, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_no_plain_file, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_write_protected, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_standard_input, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_wrong_use, program_setup, program_teardown),
  };
  return cmocka_run_group_tests_name("cli tidy", tests, NULL, NULL);
}
