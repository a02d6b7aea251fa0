/* Messages in a stream of bytes, however the bytes arrive. */
#include "editor/frame.h"
#include "support/close.h"

#include <stdio.h>
#include <string.h>

static const struct row {
  const char *name, *bytes, *want; /* texts in brackets, ! for a header that tells no length */
} ROWS[] = {
    {"one", "Content-Length: 2\r\n\r\n{}", "[{}]"},
    {"two", "Content-Length: 2\r\n\r\n{}Content-Length: 3\r\n\r\n[1]", "[{}][[1]]"},
    {"nothing in it", "Content-Length: 0\r\n\r\n", "[]"},
    {"another header line before",
     "Content-Type: text/plain; charset=utf-8\r\nContent-Length: 1\r\n\r\n7", "[7]"},
    {"another header line behind", "Content-Length: 1\r\nX: y\r\n\r\n7", "[7]"},
    {"in other letters", "content-length:1\r\n\r\n7", "[7]"},
    {"blanks around the length", "Content-Length:   1  \r\n\r\n7", "[7]"},
    {"not all there yet", "Content-Length: 5\r\n\r\n1234", ""},
    {"no length", "Content-Type: x\r\n\r\nContent-Length: 1\r\n\r\n7", "![7]"},
    {"no header at all", "\r\n\r\nContent-Length: 1\r\n\r\n7", "![7]"},
    {"a length that is none", "Content-Length: 1x\r\n\r\nContent-Length: 1\r\n\r\n7", "![7]"},
    {"a negative length", "Content-Length: -1\r\n\r\nContent-Length: 1\r\n\r\n7", "![7]"},
    {"an empty length", "Content-Length:\r\n\r\nContent-Length: 1\r\n\r\n7", "![7]"},
    {"two lengths", "Content-Length: 1\r\nContent-Length: 1\r\n\r\n", "!"},
    {"a length of thirty digits",
     "Content-Length: 111111111111111111111111111111\r\n\r\nContent-Length: 1\r\n\r\n7", "![7]"},
    {"a length longer than is taken is passed over", "Content-Length: 99999999999\r\n\r\n12345",
     "!"},
};
enum { ROW_COUNT = sizeof ROWS / sizeof ROWS[0] };

static void take_all(struct frames *frames, char got[512]) {
  const char *text = NULL;
  size_t length = 0;
  for (enum frame frame; (frame = frame_next(frames, &text, &length)) != FRAME_NONE;) {
    size_t used = strlen(got);
    if (frame == FRAME_TEXT)
      snprintf(got + used, 512 - used, "[%.*s]", (int)length, text);
    else
      snprintf(got + used, 512 - used, "!");
  }
}

static void frames_are(void **state) {
  const struct row *row = *state;
  for (size_t step = 1; step <= strlen(row->bytes); step++) {
    struct frames frames = {.bytes = NULL};
    char got[512] = "";
    for (size_t at = 0; at < strlen(row->bytes); at += step) {
      size_t left = strlen(row->bytes) - at;
      frames_add(&frames, row->bytes + at, left < step ? left : step);
      take_all(&frames, got);
    }
    assert_string_equal(got, row->want);
    frames_free(&frames);
  }
}

/* Behind a body that is too long reading goes on. */
static void too_long_is_passed_over(void **state) {
  (void)state;
  struct frames frames = {.bytes = NULL};
  char header[64], block[1 << 16] = "", got[512] = "";
  size_t length = (size_t)FRAME_BODY_MOST + 1;
  snprintf(header, sizeof header, "Content-Length: %zu\r\n\r\n", length);
  frames_add(&frames, header, strlen(header));
  take_all(&frames, got);
  for (size_t left = length; left > 0;) {
    size_t step = left < sizeof block ? left : sizeof block;
    frames_add(&frames, block, step);
    take_all(&frames, got);
    left -= step;
  }
  frames_add(&frames, "Content-Length: 1\r\n\r\n7", 22);
  take_all(&frames, got);
  assert_string_equal(got, "![7]");
  frames_free(&frames);
}

/* Bytes without a blank line are not kept for ever. */
static void endless_header(void **state) {
  (void)state;
  struct frames frames = {.bytes = NULL};
  char got[512] = "", block[FRAME_HEADER_MOST + 1];
  memset(block, 'x', sizeof block);
  frames_add(&frames, block, sizeof block);
  take_all(&frames, got);
  assert_string_equal(got, "!");
  assert_int_equal(frames.end - frames.begin, 0);
  frames_free(&frames);
}

int main(void) {
  struct CMUnitTest tests[ROW_COUNT + 2] = {
      [ROW_COUNT] = cmocka_unit_test(too_long_is_passed_over),
      [ROW_COUNT + 1] = cmocka_unit_test(endless_header),
  };
  for (size_t i = 0; i < ROW_COUNT; i++)
    tests[i] =
        (struct CMUnitTest){ROWS[i].name, frames_are, NULL, NULL, (void *)(uintptr_t)&ROWS[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
