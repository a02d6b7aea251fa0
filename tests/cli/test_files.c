/* Outputs appear whole or not at all, and a failure leaves nothing behind. */
#include "cli/program.h"

#include <sys/mount.h>
#include <sys/statvfs.h>

static void write_text(const char *path, const char *text) {
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  fputs(text, file);
  assert_int_equal(fclose(file), 0);
}

static void expect_text(const struct program *program, const char *name, const char *want) {
  char path[1400];
  path_in(path, program, name);
  char *got = file_read(path);
  assert_non_null(got);
  assert_string_equal(got, want);
  free(got);
}

static void test_refused_job_writes_no_stream(void **state) {
  struct program *program = *state;
  char path[1400];
  path_in(path, program, "out.csv");
  write_text(path, "an older stream\n");
  assert_int_equal(program_run(program, "compile @tight.lay -o out.csv --depfile out.d"), 1);
  assert_int_equal(program_run(program, "compile @wrong.lay -o out.csv --depfile out.d"), 1);
  expect_text(program, "out.csv", "an older stream\n");
  assert_int_equal(names_in(program->folder), 1);
}

static void test_places_that_cannot_be_written(void **state) {
  struct program *program = *state;
  static const char *const LINES[] = {
      "compile -q @bore.lay -o missing/out.csv",
      "compile -q @bore.lay -o /proc/out.csv", /* no folder takes files there, not even from root */
      "compile -q @bore.lay -o out.csv --summary missing/out.json",
      "compile -q @bore.lay -o out.csv --depfile missing/out.d",
      "compile -q @bore.lay -o out.csv --summary /dev/full",
      "check -q @tight.lay --summary missing/out.json",
  };
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    assert_int_equal(program_run(program, LINES[i]), 3);
    assert_non_null(strstr(program->err, "borelay: cannot write "));
    assert_int_equal(names_in(program->folder), 0);
  }
  assert_int_equal(program_run_to(program, "/dev/full", "compile -q @bore.lay -o -"), 3);
  assert_non_null(strstr(program->err, "cannot write standard output: No space left"));
  assert_int_equal(program_run_to(program, "/dev/full", "check @bore.lay"), 3);
}

/* A folder without write permission stops nobody who is root: then the row above must do. */
static void test_folder_without_permission(void **state) {
  struct program *program = *state;
  if (geteuid() == 0) {
    print_message("skipped: root writes everywhere\n");
    skip();
  }
  assert_int_equal(chmod(program->folder, 0500), 0);
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv"), 3);
  assert_int_equal(chmod(program->folder, 0700), 0);
  assert_int_equal(names_in(program->folder), 0);
}

/* A file system of 64 KiB fills up in the middle of the rows. */
static void test_full_disk(void **state) {
  struct program *program = *state;
  if (mount("none", program->folder, "tmpfs", 0, "size=64k") != 0) {
    print_message("skipped: mounting a small file system is not allowed here\n");
    skip();
  }
  char path[1400];
  path_in(path, program, "out.csv");
  write_text(path, "an older stream\n");
  int status = program_run(program, "compile -q @bore.lay -o out.csv --summary out.json --jobs 3");
  int names = names_in(program->folder);
  char *kept = file_read(path);
  struct statvfs room;
  int measured = statvfs(program->folder, &room);
  umount(program->folder);
  assert_int_equal(status, 3);
  assert_non_null(strstr(program->err, "cannot write out.csv: No space left"));
  assert_int_equal(names, 1);
  assert_string_equal(kept, "an older stream\n");
  assert_int_equal(measured, 0);
  assert_in_range(room.f_bfree * room.f_bsize, 56 * 1024,
                  64 * 1024); /* and the room is free again */
  free(kept);
}

/* A reader that goes away early is a failed write. */
static void test_reader_goes_away(void **state) {
  struct program *program = *state;
  char path[1400];
  path_in(path, program, "pipe.csv");
  assert_int_equal(mkfifo(path, 0600), 0);
  pid_t reader = fork();
  if (reader == 0) {
    char byte;
    int from = open(path, O_RDONLY);
    _exit(from >= 0 && read(from, &byte, 1) == 1 && byte == '#' ? 0 : 1);
  }
  assert_int_equal(program_run(program, "compile -q @bore.lay -o pipe.csv"), 3);
  int status = -1;
  assert_int_equal(waitpid(reader, &status, 0), reader);
  assert_int_equal(status, 0);
}

/* The same stream, wherever it goes. */
static void test_same_stream_to_a_file_and_to_standard_output(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv"), 0);
  assert_int_equal(program_run(program, "compile @bore.lay -o -"), 0);
  expect_text(program, "out.csv", program->out);
}

static void test_depfile(void **state) {
  struct program *program = *state;
  char path[1400], want[4000];
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv --depfile out.d"), 0);
  snprintf(want, sizeof want, "out.csv: \\\n  %s/bore.lay \\\n  %s/shop.lay\n", program->jobs,
           program->jobs);
  expect_text(program, "out.d", want);
  assert_int_equal(program_run(program, "check -q @bore.lay --depfile out.d"), 0);
  snprintf(want, sizeof want, "out.d: \\\n  %s/bore.lay \\\n  %s/shop.lay\n", program->jobs,
           program->jobs);
  expect_text(program, "out.d", want);
  /* make itself reads it: it finds the stream up to date, and old once the job is newer */
  path_in(path, program, "Makefile");
  write_text(path, "out.csv:\n\t@echo anew\ninclude out.d\n");
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv --depfile out.d"), 0);
  char command[3000];
  snprintf(command, sizeof command, "env -u MAKEFLAGS make -q -s -C %s out.csv", program->folder);
  assert_int_equal(system(command), 0);
}

/* Names with blanks and signs that mean something to make. */
static void test_depfile_escapes(void **state) {
  struct program *program = *state;
  char from[1400], to[1400], command[4000];
  snprintf(command, sizeof command, "cp %s/shop.lay %s/ && cp %s/bore.lay '%s/a job$#1.lay'",
           program->jobs, program->folder, program->jobs, program->folder);
  assert_int_equal(system(command), 0);
  path_in(from, program, "Makefile");
  write_text(from, "out.csv:\n\t@for f in $^; do :; done; echo '$(firstword $^)'\ninclude out.d\n");
  /* words of the line are split at blanks: go through a shell */
  snprintf(command, sizeof command,
           "cd %s && %s compile -q 'a job$#1.lay' -o out.csv --depfile out.d", program->folder,
           program->path);
  assert_int_equal(system(command), 0);
  expect_text(program, "out.d", "out.csv: \\\n  a\\ job$$\\#1.lay \\\n  shop.lay\n");
  snprintf(command, sizeof command, "env -u MAKEFLAGS make -q -s -C %s out.csv", program->folder);
  assert_int_equal(system(command), 0);
  path_in(to, program, "a job$#1.lay");
  assert_int_equal(unlink(to), 0); /* gone: make must miss exactly that file */
  strcat(command, " 2>/dev/null");
  assert_int_not_equal(system(command), 0);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, program_setup, program_teardown)
  const struct CMUnitTest tests[] = {
      TEST(test_refused_job_writes_no_stream),
      TEST(test_places_that_cannot_be_written),
      TEST(test_folder_without_permission),
      TEST(test_full_disk),
      TEST(test_reader_goes_away),
      TEST(test_same_stream_to_a_file_and_to_standard_output),
      TEST(test_depfile),
      TEST(test_depfile_escapes),
  };
  return cmocka_run_group_tests_name("cli files", tests, NULL, NULL);
}
