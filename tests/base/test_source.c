/* Sources and places in them. */
#include <errno.h>
#include <stdio.h>
#include <unistd.h>

#include "support/told.h"

/* Columns count code points: "e2 89 a2" is one (the example of RFC 3629, section 7). */
static const struct place_row {
  const char *name, *text;
  uint32_t offset, line, column;
} rows[] = {
    {"start", "abc", 0, 1, 1},
    {"end without newline", "abc", 3, 1, 4},
    {"past the end", "abc", 99, 1, 4},
    {"empty file", "", 0, 1, 1},
    {"the newline itself", "ab\ncd", 2, 1, 3},
    {"second line", "ab\ncd", 4, 2, 2},
    {"empty last line", "ab\n", 3, 2, 1},
    {"CRLF: CR is on its line", "ab\r\ncd", 2, 1, 3},
    {"CRLF: second line", "ab\r\ncd", 5, 2, 2},
    {"after a code point of three bytes", "A\xE2\x89\xA2\xCE\x91.", 4, 1, 3},
    {"after one of two", "A\xE2\x89\xA2\xCE\x91.", 6, 1, 4},
    {"a tab is one column", "\ta", 1, 1, 2},
    {"a byte order mark is none", "\xEF\xBB\xBFjob", 3, 1, 1},
    {"only at the start of the file", "a\n\xEF\xBB\xBFjob", 5, 2, 2},
    {"many empty lines", "\n\n\n\nx", 4, 5, 1},
};

static void a_place_is_found(void **state) {
  const struct place_row *row = *state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "a.lay", row->text);
  struct source_place place = source_place_get(told.sources, file, row->offset);
  assert_int_equal(place.line, row->line);
  assert_int_equal(place.column, row->column);
  told_end(&told);
}

/* Against counting from the start, over many stretches of the text, some lines far longer than
 * one. */
static void every_place_of_a_long_text(void **state) {
  (void)state;
  enum { LENGTH = 20000 };
  char text[LENGTH + 1] = "";
  uint32_t next = 0, lines = 0;
  for (uint32_t i = 0; i < LENGTH; i++) {
    text[i] = i == next ? '\n' : i % 7 == 0 ? '\xC3' : i % 7 == 1 ? '\xA9' : 'x';
    if (i == next)
      next += 1 + (++lines % 20 == 0 ? 3000 : lines * 31 % 90);
  }
  struct told told = told_begin();
  uint32_t file = told_add(&told, "a.lay", text);
  uint32_t line = 1, column = 1;
  for (uint32_t i = 0; i <= LENGTH; i++) {
    struct source_place place = source_place_get(told.sources, file, i);
    assert_int_equal(place.line, line);
    assert_int_equal(place.column, column);
    column = text[i] == '\n' ? 1 : column + (((unsigned char)text[i] & 0xC0) != 0x80);
    line += text[i] == '\n';
  }
  assert_true(line > 50);
  told_end(&told);
}

static void files_count_from_one(void **state) {
  (void)state;
  struct told told = told_begin();
  assert_int_equal(source_count(told.sources), 0);
  for (uint32_t i = 1; i <= 40; i++)
    assert_int_equal(told_add(&told, i % 2 ? "jobs/bore.lay" : "bore.lay", "x"), i);
  assert_int_equal(source_count(told.sources), 40);
  assert_string_equal(source_get(told.sources, 1)->path, "jobs/bore.lay");
  assert_string_equal(source_get(told.sources, 1)->base_name, "bore.lay");
  assert_string_equal(source_get(told.sources, 2)->base_name, "bore.lay");
  told_end(&told);
}

/* A file larger than one step of reading, with a NUL in it. */
static void a_file_is_read_whole(void **state) {
  (void)state;
  char path[] = "/tmp/test_source_XXXXXX";
  int descriptor = mkstemp(path);
  assert_true(descriptor >= 0);
  FILE *to = fdopen(descriptor, "wb");
  for (int i = 0; i < 200000; i++)
    fputc(i == 100 ? '\0' : 'a' + i % 26, to);
  fclose(to);
  struct told told = told_begin();
  struct source_identity first = {0}, again = {0}, other = {0};
  uint32_t file = source_read(told.sources, path, &first);
  assert_int_equal(file, 1);
  assert_int_equal(source_read(told.sources, path, &again), 1); /* known by its path */
  assert_true(source_identify(told.sources, path, &other));
  assert_true(first.inode == other.inode && first.device == other.device);
  assert_true(again.inode == other.inode && again.device == other.device);
  const struct source *source = source_get(told.sources, file);
  assert_int_equal(source->length, 200000);
  for (int i = 0; i < 200000; i++)
    assert_int_equal(source->text[i], i == 100 ? '\0' : 'a' + i % 26);
  assert_int_equal(source->text[200000], 0);
  unlink(path);
  told_end(&told);
}

/* Behind a text eight bytes may be read at once, whatever its length. */
static void eight_nuls_follow(void **state) {
  (void)state;
  char path[] = "/tmp/borelay-source-XXXXXX", text[100];
  memset(text, 'x', sizeof text);
  int fd = mkstemp(path);
  assert_true(fd >= 0);
  assert_int_equal(write(fd, text, sizeof text), sizeof text);
  close(fd);
  struct told told = told_begin();
  assert_int_equal(source_read(told.sources, path, NULL), 1);
  for (size_t length = 0; length < sizeof text; length++) {
    uint32_t file = source_add_text(told.sources, "a.lay", text, length);
    assert_memory_equal(source_get(told.sources, file)->text + length, "\0\0\0\0\0\0\0\0", 8);
  }
  const struct source *read = source_get(told.sources, 1);
  assert_memory_equal(read->text + sizeof text, "\0\0\0\0\0\0\0\0", 8);
  unlink(path);
  told_end(&told);
}

static void what_cannot_be_read_is_no_file(void **state) {
  (void)state;
  struct told told = told_begin();
  errno = 0;
  assert_int_equal(source_read(told.sources, "/nowhere/bore.lay", NULL), 0);
  assert_int_equal(errno, ENOENT);
  assert_int_equal(source_read(told.sources, "/tmp", NULL), 0);
  assert_int_equal(errno, EISDIR);
  assert_int_equal(source_read(told.sources, "/dev/zero", NULL), 0); /* has no end */
  assert_int_equal(errno, EFBIG);
  assert_int_equal(source_count(told.sources), 0);
  told_end(&told);
}

enum { ROWS = sizeof rows / sizeof *rows, OTHERS = 5 };

int main(void) {
  struct CMUnitTest tests[ROWS + OTHERS] = {
      [ROWS] = cmocka_unit_test(files_count_from_one),
      [ROWS + 1] = cmocka_unit_test(a_file_is_read_whole),
      [ROWS + 2] = cmocka_unit_test(what_cannot_be_read_is_no_file),
      [ROWS + 3] = cmocka_unit_test(eight_nuls_follow),
      [ROWS + 4] = cmocka_unit_test(every_place_of_a_long_text),
  };
  for (size_t i = 0; i < ROWS; i++)
    tests[i] = (struct CMUnitTest){rows[i].name, a_place_is_found, NULL, NULL,
                                   (void *)(uintptr_t)&rows[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
