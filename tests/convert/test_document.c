/* The worked example of docs/stream-format.md, taken from the page: text and bytes must be what the
 * program makes of one another.  (The page's bytes were put together from the page's tables by a
 * script that shares nothing with the program.) */
#include "support/close.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "borelay/convert.h"
#include "borelay/rows.h"

enum { ROOM = 1 << 16 };

struct example {
  char text[ROOM], bytes[ROOM];
  size_t text_length, byte_count;
  char folder[64];
};

static size_t file_read(const char *path, char *to) {
  FILE *file = fopen(path, "rb");
  if (!file)
    fail_msg("no %s", path);
  size_t length = fread(to, 1, ROOM - 1, file);
  fclose(file);
  to[length] = '\0';
  return length;
}

/* What stands between ```kind and ```. */
static char *fenced(const char *page, const char *kind) {
  char fence[32];
  snprintf(fence, sizeof fence, "\n```%s\n", kind);
  const char *from = strstr(page, fence);
  assert_non_null(from);
  from += strlen(fence);
  const char *to = strstr(from, "```\n");
  assert_non_null(to);
  return strndup(from, (size_t)(to - from));
}

static void example_bytes(struct example *example, const char *hex) {
  size_t header = (size_t)(strstr(example->text, "t_s,") - example->text);
  for (const char *at = hex; *at;) {
    if (*at == ';' || *at == '<') {
      if (*at == '<') {
        memcpy(example->bytes + example->byte_count, example->text, header);
        example->byte_count += header;
      }
      at += strcspn(at, "\n");
    } else if (isxdigit((unsigned char)*at)) {
      char *end;
      example->bytes[example->byte_count++] = (char)strtoul(at, &end, 16);
      assert_int_equal(end - at, 2);
      at = end;
    } else {
      at++;
    }
  }
}

static int setup(void **state) {
  struct example *example = calloc(1, sizeof *example);
  static char page[ROOM];
  size_t length = file_read("docs/stream-format.md", page);
  assert_in_range(length, 1, ROOM - 2);
  char *text = fenced(page, "csv"), *hex = fenced(page, "hex");
  example->text_length = strlen(text);
  memcpy(example->text, text, example->text_length);
  example_bytes(example, hex);
  free(text);
  free(hex);
  snprintf(example->folder, sizeof example->folder, "/tmp/borelay-XXXXXX");
  *state = example;
  return mkdtemp(example->folder) ? 0 : -1;
}

static int teardown(void **state) {
  struct example *example = *state;
  int result = rmdir(example->folder);
  free(example);
  return result;
}

/* Converts `from` into a file that ends in `ending`, and compares. */
static void expect(const struct example *example, const char *from, size_t from_length,
                   const char *ending, const char *want, size_t want_length) {
  char in[100], out[100];
  static char got[ROOM];
  snprintf(in, sizeof in, "%s/in", example->folder);
  snprintf(out, sizeof out, "%s/out.%s", example->folder, ending);
  FILE *file = fopen(in, "wb");
  assert_int_equal(fwrite(from, 1, from_length, file), from_length);
  fclose(file);
  assert_int_equal(convert_stream(in, out), CONVERT_DONE);
  size_t length = file_read(out, got);
  unlink(in);
  unlink(out);
  assert_int_equal(length, want_length);
  assert_memory_equal(got, want, want_length);
}

static void test_both_ways(void **state) {
  const struct example *e = *state;
  assert_true(e->byte_count > 500 && e->bytes[0] == (char)0x89);
  expect(e, e->text, e->text_length, "spt", e->bytes, e->byte_count);
  expect(e, e->bytes, e->byte_count, "csv", e->text, e->text_length);
  expect(e, e->text, e->text_length, "csv", e->text, e->text_length);
  expect(e, e->bytes, e->byte_count, "spt", e->bytes, e->byte_count);
}

/* Sizes as the page tells them: six records, two blocks. */
static void test_sizes(void **state) {
  const struct example *e = *state;
  size_t header = (size_t)(strstr(e->text, "t_s,") - e->text);
  assert_int_equal(e->byte_count, 16 + header + 4 + 2 * (36 + 4) + 6 * 40 + 24);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_both_ways),
                                     cmocka_unit_test(test_sizes)};
  return cmocka_run_group_tests_name("convert document", tests, setup, teardown);
}
