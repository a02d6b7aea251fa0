/* Text and binary carry the same values; converting gives what compiling gives. */
#include "cli/program.h"

static void expect_same(const struct program *program, const char *a, const char *b) {
  char path[1400], line[3000];
  path_in(path, program, a);
  char other[1400];
  path_in(other, program, b);
  snprintf(line, sizeof line, "cmp '%s' '%s'", path, other);
  assert_int_equal(system(line), 0);
}

static void test_both_ways(void **state) {
  struct program *program = *state;
  static const char *const JOBS[] = {
      "@bore.lay",
      "@port.lay",
      "@touched.lay",
      "@bore.lay --rehearse",
      "@bore.lay --rehearse --times 3",
      "@bore.lay --resume overlay=ring_wall,layer=1,lap=2,along=100mm"};
  for (size_t i = 0; i < sizeof JOBS / sizeof JOBS[0]; i++) {
    char line[200];
    snprintf(line, sizeof line, "compile -q %s -o a.csv", JOBS[i]);
    assert_int_equal(program_run(program, line), 0);
    snprintf(line, sizeof line, "compile -q %s -o b.spt", JOBS[i]);
    assert_int_equal(program_run(program, line), 0);
    assert_int_equal(program_run(program, "convert a.csv c.spt"), 0);
    assert_string_equal(program->out, "");
    assert_string_equal(program->err, "");
    assert_int_equal(program_run(program, "convert b.spt d.csv"), 0);
    expect_same(program, "b.spt", "c.spt");
    expect_same(program, "a.csv", "d.csv");
    assert_int_equal(program_run(program, "convert a.csv e.csv"), 0);
    assert_int_equal(program_run(program, "convert b.spt f.spt"), 0);
    expect_same(program, "a.csv", "e.csv");
    expect_same(program, "b.spt", "f.spt");
    folder_empty(program->folder);
  }
}

static void test_to_standard_output(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile -q @bore.lay -o a.csv"), 0);
  assert_int_equal(program_run(program, "convert a.csv b.spt"), 0);
  assert_int_equal(program_run(program, "convert b.spt -"), 0);
  char path[1400];
  path_in(path, program, "a.csv");
  char *text = file_read(path);
  assert_string_equal(program->out, text);
  free(text);
  assert_int_equal(program_run_to(program, "/dev/full", "convert b.spt -"), 3);
  assert_non_null(strstr(program->err, "cannot write standard output: No space left"));
}

/* Every record is 40 bytes, every block 40 more. */
static void test_size(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile -q @bore.lay -o a.spt"), 0);
  char path[1400];
  path_in(path, program, "a.spt");
  struct stat found;
  assert_int_equal(stat(path, &found), 0);
  assert_int_equal(program_run(program, "compile -q @bore.lay -o -"), 0);
  const char *rows = strstr(program->out, "\n# rows ");
  assert_non_null(rows);
  long count = strtol(rows + 8, NULL, 10);
  assert_in_range(found.st_size, 40 * count, 40 * count + 40 * (count / 64 + 20) + 2000);
}

static void damage(const struct program *program, const char *name, long at) {
  char path[1400];
  path_in(path, program, name);
  FILE *file = fopen(path, "r+b");
  assert_non_null(file);
  assert_int_equal(fseek(file, at, at < 0 ? SEEK_END : SEEK_SET), 0);
  int byte = getc(file);
  assert_int_equal(fseek(file, -1, SEEK_CUR), 0);
  putc(byte ^ 1, file);
  assert_int_equal(fclose(file), 0);
}

/* A wrong stream is told with its place, and what stood at OUT stays. */
static void test_wrong_streams(void **state) {
  struct program *program = *state;
  static const struct {
    const char *name, *out, *said;
    long at;
  } ROWS[] = {
      {"a.csv", "o.spt", "a.csv: row 0, byte 2: error: this is not a borelay stream", 2},
      {"a.csv", "o.spt", "error: the stream's CRC-32C does not match its bytes", -2},
      {"b.spt", "o.csv", "error: the header's CRC-32C does not match its bytes", 58},
      {"b.spt", "o.csv", "error: the block's CRC-32C does not match its bytes", 3000},
      {"b.spt", "o.csv", "error: the block's CRC-32C does not match its bytes", -1},
  };
  assert_int_equal(program_run(program, "compile -q @bore.lay -o a.csv"), 0);
  assert_int_equal(program_run(program, "compile -q @bore.lay -o b.spt"), 0);
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    char line[100];
    damage(program, ROWS[i].name, ROWS[i].at);
    snprintf(line, sizeof line, "convert %s %s", ROWS[i].name, ROWS[i].out);
    assert_int_equal(program_run(program, line), 1);
    if (!strstr(program->err, ROWS[i].said))
      fail_msg("wanted \"%s\" in: %s", ROWS[i].said, program->err);
    assert_int_equal(names_in(program->folder), 2);
    damage(program, ROWS[i].name, ROWS[i].at);
  }
  assert_int_equal(program_run(program, "convert a.csv b.spt"), 0); /* over what stands there */
  assert_int_equal(names_in(program->folder), 2);
}

static void test_cut_stream(void **state) {
  struct program *program = *state;
  char path[1400];
  assert_int_equal(program_run(program, "compile -q @bore.lay -o b.spt"), 0);
  path_in(path, program, "b.spt");
  struct stat found;
  assert_int_equal(stat(path, &found), 0);
  for (int i = 1; i < 5; i++) {
    assert_int_equal(truncate(path, found.st_size * (5 - i) / 5), 0);
    assert_int_equal(program_run(program, "convert b.spt c.csv"), 1);
    assert_non_null(strstr(program->err, "error: the stream breaks off before its end"));
    assert_int_equal(names_in(program->folder), 1);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_both_ways, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_to_standard_output, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_size, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_wrong_streams, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_cut_stream, program_setup, program_teardown),
  };
  return cmocka_run_group_tests_name("cli convert", tests, NULL, NULL);
}
