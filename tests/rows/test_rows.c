/* Files that hold streams. */
#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/rows.h"

static const char WHOLE[] =
    "# borelay setpoints 1\n"
    "# mode rehearsal\n"
    "# job \"j\" part \"\" revision \"\"\n"
    "# source sha256 ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad\n"
    "# cell c sha256 e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855\n"
    "# torch reach_mm 40.000000 drop_mm 300.000000 correction_mm 1.000000\n"
    "# datum x_mm 0.000000 y_mm 0.000000 z_mm 0.000000 turned_deg 0.000000\n"
    "# procedure p wps \"\" filler \"\"\n"
    "# tick_s 0.100000\n"
    "# rows 1\n"
    "# duration_s 0.000000\n"
    "# head_end_deg 0.000000\n"
    "# verdict passed\n"
    "# overlay 1 o file 1\n"
    "# file 1 \"j.lay\"\n"
    "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,wire_current_a,gas,avc,"
    "overlay,layer,lap,line\n"
    "0.000000,0.000000,0.000000,0.000000,0.000000,move,0,0.0,0.00,0.000,0.0,0,0,0,0,0,0\n"
    "# end rows 1 crc32c b59a71a9\n";

struct file {
  char path[64];
};

static int setup(void **state) {
  struct file *file = calloc(1, sizeof *file);
  snprintf(file->path, sizeof file->path, "/tmp/borelay-XXXXXX");
  int fd = mkstemp(file->path);
  *state = file;
  return fd < 0 ? -1 : close(fd);
}

static int teardown(void **state) {
  struct file *file = *state;
  int result = unlink(file->path);
  free(file);
  return result;
}

static void put(const struct file *file, const char *text, const char *more) {
  FILE *to = fopen(file->path, "wb");
  assert_non_null(to);
  fprintf(to, "%s%s", text, more);
  assert_int_equal(fclose(to), 0);
}

/* Events but for the strings, and the header lines as they stand. */
static void test_whole(void **state) {
  const struct file *file = *state;
  struct rows rows;
  put(file, WHOLE, "");
  assert_true(rows_open(&rows, file->path, true));
  enum borelay_event event;
  while ((event = rows_next(&rows)) == BORELAY_TEXT) {
  }
  assert_int_equal(event, BORELAY_HEADER);
  size_t length;
  const char *header = rows_header_text(&rows, &length);
  assert_int_equal(length, strstr(WHOLE, "t_s,") - WHOLE);
  assert_memory_equal(header, WHOLE, length);
  assert_int_equal(rows_next(&rows), BORELAY_ROW);
  assert_int_equal(rows_next(&rows), BORELAY_END);
  rows_close(&rows);
}

static enum borelay_event read_to_end(struct rows *rows) {
  enum borelay_event event;
  do
    event = rows_next(rows);
  while (event != BORELAY_END && event != BORELAY_ERROR);
  return event;
}

static void expect_told(struct rows *rows, const char *before, const char *after) {
  char *text = NULL, wanted[300];
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  rows_tell_error(rows, to);
  assert_int_equal(fclose(to), 0);
  snprintf(wanted, sizeof wanted, "%s%s%s\n", before, rows->path, after);
  assert_string_equal(text, wanted);
  free(text);
}

/* A stream has ended only when its file has. */
static void test_trailing(void **state) {
  const struct file *file = *state;
  struct rows rows;
  put(file, WHOLE, "\n");
  assert_true(rows_open(&rows, file->path, false));
  assert_int_equal(read_to_end(&rows), BORELAY_ERROR);
  expect_told(&rows, "", ": row 1, byte 755: error: something follows the end");
  rows_close(&rows);
}

static void test_cut(void **state) {
  const struct file *file = *state;
  struct rows rows;
  put(file, "# borelay setpoints 1\n", "# mode w");
  assert_true(rows_open(&rows, file->path, false));
  assert_int_equal(read_to_end(&rows), BORELAY_ERROR);
  expect_told(&rows, "", ": row 0, byte 30: error: the stream breaks off before its end");
  rows_close(&rows);
  put(file, "", "");
  assert_true(rows_open(&rows, file->path, false));
  assert_int_equal(read_to_end(&rows), BORELAY_ERROR);
  expect_told(&rows, "", ": row 0, byte 0: error: the stream breaks off before its end");
  rows_close(&rows);
}

static void test_unreadable(void **state) {
  (void)state;
  struct rows rows;
  assert_false(rows_open(&rows, "/no/such/stream.csv", false));
  expect_told(&rows, "borelay: cannot read ", ": No such file or directory");
  rows_close(&rows);
  assert_true(rows_open(&rows, "/", false));
  assert_int_equal(read_to_end(&rows), BORELAY_ERROR);
  expect_told(&rows, "borelay: cannot read ", ": Is a directory");
  rows_close(&rows);
}

/* Every error has a text of its own. */
static void test_texts(void **state) {
  (void)state;
  for (int i = 0; i < BORELAY_ERROR_COUNT; i++)
    for (int k = 0; k <= i; k++) {
      const char *a = rows_error_text((enum borelay_error)i);
      assert_true(strlen(a) > 5);
      assert_int_equal(strcmp(a, rows_error_text((enum borelay_error)k)) == 0, i == k);
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_whole, setup, teardown),
      cmocka_unit_test_setup_teardown(test_trailing, setup, teardown),
      cmocka_unit_test_setup_teardown(test_cut, setup, teardown),
      cmocka_unit_test(test_unreadable),
      cmocka_unit_test(test_texts),
  };
  return cmocka_run_group_tests_name("rows", tests, NULL, NULL);
}
