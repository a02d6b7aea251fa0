/* Files appear whole or not at all. */
#include "support/close.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/crc32c.h"
#include "borelay/emit.h"

static int make_folder(void **state) {
  const char *base = getenv("TMPDIR");
  char *folder = malloc(512);
  if (!folder)
    return -1;
  snprintf(folder, 512, "%s/borelay-XXXXXX", base ? base : "/tmp");
  *state = folder;
  return mkdtemp(folder) ? 0 : -1;
}

static void path_in(char path[1024], void **state, const char *name) {
  snprintf(path, 1024, "%s/%s", (const char *)*state, name);
}

/* How many names the folder holds; removes them when asked. */
static int count_names(void **state, bool remove_them) {
  DIR *folder = opendir(*state);
  int count = 0;
  for (struct dirent *entry; folder && (entry = readdir(folder));) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
      continue;
    char path[1024];
    path_in(path, state, entry->d_name);
    count++;
    if (remove_them)
      unlink(path);
  }
  if (folder)
    closedir(folder);
  return count;
}

static int remove_folder(void **state) {
  count_names(state, true);
  int result = rmdir(*state);
  free(*state);
  return result;
}

static void expect_content(const char *path, const char *want) {
  char got[256] = "";
  FILE *file = fopen(path, "r");
  assert_non_null(file);
  size_t length = fread(got, 1, sizeof got - 1, file);
  fclose(file);
  got[length] = '\0';
  assert_string_equal(got, want);
}

static void test_nothing_before_commit(void **state) {
  char path[1024];
  path_in(path, state, "out.csv");
  struct outfile file;
  assert_true(outfile_open(&file, path));
  outfile_text(&file, "one\n");
  assert_true(outfile_sync(&file));
  assert_int_equal(access(path, F_OK), -1);
  outfile_format(&file, "%d\n", 2);
  assert_true(outfile_commit(&file));
  expect_content(path, "one\n2\n");
  assert_int_equal(count_names(state, true), 1);
}

static void test_old_file_stays_until_commit(void **state) {
  char path[1024];
  path_in(path, state, "out.csv");
  struct outfile file;
  assert_true(outfile_open(&file, path));
  outfile_text(&file, "old");
  assert_true(outfile_commit(&file));
  assert_true(outfile_open(&file, path));
  outfile_text(&file, "new");
  assert_true(outfile_sync(&file));
  expect_content(path, "old");
  outfile_abandon(&file);
  outfile_abandon(&file);
  expect_content(path, "old");
  assert_true(outfile_open(&file, path));
  outfile_text(&file, "new");
  assert_true(outfile_commit(&file));
  expect_content(path, "new");
  assert_int_equal(count_names(state, true), 1);
}

/* The link stays a link; what it names is replaced. */
static void test_through_a_link(void **state) {
  char path[1024], link[1024];
  path_in(path, state, "real.csv");
  path_in(link, state, "link.csv");
  struct outfile file;
  assert_true(outfile_open(&file, path));
  assert_true(outfile_commit(&file));
  assert_int_equal(symlink("real.csv", link), 0);
  assert_true(outfile_open(&file, link));
  outfile_text(&file, "text");
  assert_true(outfile_commit(&file));
  expect_content(path, "text");
  struct stat found;
  assert_int_equal(lstat(link, &found), 0);
  assert_true(S_ISLNK(found.st_mode));
  assert_int_equal(count_names(state, true), 2);
}

static void expect_open_error(const char *path, int error) {
  struct outfile file;
  assert_false(outfile_open(&file, path));
  assert_int_equal(file.error, error);
  outfile_abandon(&file);
}

static void test_places_that_cannot_be(void **state) {
  char path[1024];
  path_in(path, state, "missing/out.csv");
  expect_open_error(path, ENOENT);
  expect_open_error(*state, EISDIR);
  expect_open_error("/proc/out.csv", ENOENT);
  assert_int_equal(count_names(state, true), 0);
}

/* /dev/full takes nothing: the first flush finds out, and the rest is passed over. */
static void test_full_device(void **state) {
  (void)state;
  struct outfile file;
  assert_true(outfile_open(&file, "/dev/full"));
  outfile_text(&file, "text");
  assert_false(outfile_sync(&file));
  outfile_text(&file, "more");
  assert_false(outfile_commit(&file));
  assert_int_equal(file.error, ENOSPC);
}

/* More than the buffer holds; the checksum is that of all bytes. */
static void test_large(void **state) {
  char path[1024];
  path_in(path, state, "large.csv");
  enum { LARGE = 5000001 };
  char *bytes = malloc(LARGE);
  assert_non_null(bytes);
  for (int i = 0; i < LARGE; i++)
    bytes[i] = (char)(i * 7 + i / 251);
  struct outfile file;
  assert_true(outfile_open(&file, path));
  outfile_put(&file, bytes, 1000);
  outfile_pass(&file, bytes + 1000, 2000000, crc32c_more(0, bytes + 1000, 2000000));
  outfile_put(&file, bytes + 2001000, LARGE - 2001000);
  assert_int_equal(outfile_crc32c(&file), crc32c_more(0, bytes, LARGE));
  assert_true(outfile_commit(&file));
  struct stat found;
  assert_int_equal(stat(path, &found), 0);
  assert_int_equal(found.st_size, LARGE);
  FILE *back = fopen(path, "r");
  char *again = malloc(LARGE);
  assert_non_null(back);
  assert_non_null(again);
  assert_int_equal(fread(again, 1, LARGE, back), LARGE);
  assert_memory_equal(again, bytes, LARGE);
  fclose(back);
  free(again);
  free(bytes);
  count_names(state, true);
}

/* -- several together ---------------------------------------------------------------------------
 */

enum { TOGETHER = 3 };

static void write_old(void **state, const char *name) {
  char path[1024];
  struct outfile file;
  path_in(path, state, name);
  assert_true(outfile_open(&file, path));
  outfile_text(&file, "old");
  assert_true(outfile_commit(&file));
}

static void open_together(void **state, char paths[TOGETHER][1024], struct outfile *files) {
  static const char *const NAMES[TOGETHER] = {"a.svg", "b.svg", "c.svg"};
  for (size_t i = 0; i < TOGETHER; i++) {
    path_in(paths[i], state, NAMES[i]);
    assert_true(outfile_open(&files[i], paths[i]));
    outfile_text(&files[i], "new");
    assert_true(outfile_sync(&files[i]));
  }
}

static void test_together(void **state) {
  char paths[TOGETHER][1024];
  struct outfile files[TOGETHER + 1] = {[TOGETHER] = {.fd = -1, .folder = -1}}; /* not asked for */
  write_old(state, "c.svg");
  open_together(state, paths, files);
  assert_int_equal(count_names(state, false), 1);
  assert_int_equal(outfiles_commit(files, TOGETHER + 1), TOGETHER + 1);
  for (size_t i = 0; i < TOGETHER; i++)
    expect_content(paths[i], "new");
  assert_int_equal(count_names(state, true), TOGETHER);
}

/* One name is taken by a folder meanwhile: those that were given before it are taken back, and what
 * had them stands there again. */
static void test_together_or_none(void **state) {
  for (size_t taken = 0; taken < TOGETHER; taken++)
    for (size_t old = 0; old < TOGETHER; old++) {
      char paths[TOGETHER][1024];
      struct outfile files[TOGETHER];
      static const char *const NAMES[TOGETHER] = {"a.svg", "b.svg", "c.svg"};
      if (old != taken)
        write_old(state, NAMES[old]);
      open_together(state, paths, files);
      assert_int_equal(mkdir(paths[taken], 0700), 0);
      assert_int_equal(outfiles_commit(files, TOGETHER), taken);
      assert_int_equal(files[taken].error, EISDIR);
      assert_int_equal(rmdir(paths[taken]), 0);
      assert_int_equal(count_names(state, false), old != taken);
      if (old != taken)
        expect_content(paths[old], "old");
      count_names(state, true);
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_nothing_before_commit),
      cmocka_unit_test(test_old_file_stays_until_commit),
      cmocka_unit_test(test_through_a_link),
      cmocka_unit_test(test_places_that_cannot_be),
      cmocka_unit_test(test_full_device),
      cmocka_unit_test(test_large),
      cmocka_unit_test(test_together),
      cmocka_unit_test(test_together_or_none),
  };
  return cmocka_run_group_tests_name("emit outfile", tests, make_folder, remove_folder);
}
