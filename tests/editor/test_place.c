/* Lines and units of lines, and edits by them; against iconv(3), the C library's own conversion of
 * UTF-8 to UTF-16. */
#include "editor/place.h"
#include "editor/session.h"
#include "support/close.h"
#include "support/random.h"

#include <iconv.h>
#include <stdlib.h>
#include <string.h>

/* e with an acute accent: 2 bytes, 1 unit; a euro sign: 3 and 1; a G clef (U+1D11E): 4 and 2. */
#define ACUTE "\xC3\xA9"
#define EURO  "\xE2\x82\xAC"
#define CLEF  "\xF0\x9D\x84\x9E"

static const struct row {
  const char *name, *text;
  size_t line, character;
  enum place_unit unit;
  size_t offset;
  size_t back_line, back_character; /* of the offset */
} ROWS[] = {
    {"the beginning", "ab\ncd", 0, 0, PLACE_UTF16, 0, 0, 0},
    {"the end", "ab\ncd", 1, 2, PLACE_UTF16, 5, 1, 2},
    {"beyond a line's end", "ab\ncd", 0, 9, PLACE_UTF16, 2, 0, 2},
    {"beyond the last line", "ab\ncd", 7, 3, PLACE_UTF16, 5, 1, 2},
    {"of nothing", "", 0, 0, PLACE_UTF16, 0, 0, 0},
    {"of nothing, beyond", "", 3, 3, PLACE_UTF16, 0, 0, 0},
    {"behind CR LF", "ab\r\ncd", 1, 1, PLACE_UTF16, 5, 1, 1},
    {"beyond the end of a line with CR LF", "ab\r\ncd", 0, 4, PLACE_UTF16, 2, 0, 2},
    {"behind CR alone", "ab\rcd", 1, 1, PLACE_UTF16, 4, 1, 1},
    {"behind LF CR, two line ends", "ab\n\rcd", 2, 1, PLACE_UTF16, 5, 2, 1},
    {"a last line that is empty", "ab\n", 1, 0, PLACE_UTF16, 3, 1, 0},
    {"behind an accent, in UTF-16", ACUTE "x", 0, 1, PLACE_UTF16, 2, 0, 1},
    {"behind an accent, in UTF-8", ACUTE "x", 0, 2, PLACE_UTF8, 2, 0, 2},
    {"behind a clef, in UTF-16", "a" CLEF "x", 0, 3, PLACE_UTF16, 5, 0, 3},
    {"behind a clef, in UTF-8", "a" CLEF "x", 0, 5, PLACE_UTF8, 5, 0, 5},
    {"within a clef, in UTF-16", "a" CLEF "x", 0, 2, PLACE_UTF16, 1, 0, 1},
    {"within a clef, in UTF-8", "a" CLEF "x", 0, 3, PLACE_UTF8, 1, 0, 1},
    {"a byte that is no UTF-8", "a\xFFz", 0, 2, PLACE_UTF16, 2, 0, 2},
};
enum { ROW_COUNT = sizeof ROWS / sizeof ROWS[0] };

static void the_place_is(void **state) {
  const struct row *row = *state;
  struct lines lines = lines_find(row->text, strlen(row->text));
  struct place asked = {row->line, row->character};
  size_t offset = place_offset(&lines, asked, row->unit);
  struct place back = place_at(&lines, offset, row->unit);
  assert_int_equal(offset, row->offset);
  assert_int_equal(back.line, row->back_line);
  assert_int_equal(back.character, row->back_character);
  lines_free(&lines);
}

/* Within a line's end and behind the text. */
static void odd_offsets(void **state) {
  (void)state;
  struct lines lines = lines_find("ab\r\n" ACUTE, 6);
  struct place inside = place_at(&lines, 3, PLACE_UTF16), cut = place_at(&lines, 5, PLACE_UTF16);
  struct place behind = place_at(&lines, 99, PLACE_UTF16);
  assert_true(inside.line == 0 && inside.character == 2);
  assert_true(cut.line == 1 && cut.character == 0);
  assert_true(behind.line == 1 && behind.character == 1);
  lines_free(&lines);
}

/* -- edits against UTF-16 -----------------------------------------------------------------------
 */

static size_t converted(const char *to, const char *from, char *text, size_t length, char *made,
                        size_t room) {
  iconv_t how = iconv_open(to, from);
  char *rest = made;
  size_t left = room;
  assert_true(how != (iconv_t)-1);
  assert_int_equal(iconv(how, &text, &length, &rest, &left), 0);
  iconv_close(how);
  return room - left;
}

static void random_text(struct random *random, int pieces, char *text) {
  static const char *const PIECES[] = {"a", "b {", "\n", "\r\n", "\r", ACUTE, EURO, CLEF, " ", "}"};
  *text = '\0';
  for (int i = 0; i < pieces; i++)
    strcat(text, PIECES[random_whole(random, 0, 9)]);
}

enum { MOST = 4096 };

/* The units of a text, and where its lines begin; CR LF is one line end. */
struct wide {
  uint16_t units[MOST];
  size_t count, starts[MOST], lines;
};

static void widen(char *text, struct wide *wide) {
  wide->count =
      converted("UTF-16LE", "UTF-8", text, strlen(text), (char *)wide->units, sizeof wide->units) /
      2;
  wide->lines = 1;
  wide->starts[0] = 0;
  for (size_t i = 0; i < wide->count; i++) {
    bool ends = wide->units[i] == '\n' ||
                (wide->units[i] == '\r' && !(i + 1 < wide->count && wide->units[i + 1] == '\n'));
    if (ends)
      wide->starts[wide->lines++] = i + 1;
  }
}

/* A unit where an edit may begin: not within a line's end, nor within a pair. */
static size_t random_unit(struct random *random, const struct wide *wide) {
  for (;;) {
    size_t i = (size_t)random_whole(random, 0, (int)wide->count);
    bool in_end = i > 0 && i < wide->count && wide->units[i - 1] == '\r' && wide->units[i] == '\n';
    bool in_pair = i < wide->count && (wide->units[i] & 0xFC00) == 0xDC00;
    if (!in_end && !in_pair)
      return i;
  }
}

static json_t *place_json(const struct wide *wide, size_t unit) {
  size_t line = wide->lines - 1;
  while (wide->starts[line] > unit)
    line--;
  return json_pack("{s:I,s:I}", "line", (json_int_t)line, "character",
                   (json_int_t)(unit - wide->starts[line]));
}

/* The same edit by units of UTF-16 and by the server. */
static void random_edits(void **state) {
  (void)state;
  struct random random = {.state = 20261128};
  struct session session = {.unit = PLACE_UTF16};
  static char text[MOST], put[64], back[3 * MOST];
  static struct wide wide, added;
  random_text(&random, 120, text);
  document_open(&session, "file:///x.lay", 1, text, strlen(text));
  struct document *document = document_find(&session, "file:///x.lay");
  for (int round = 0; round < 2000; round++) {
    widen(document->text, &wide);
    size_t a = random_unit(&random, &wide), b = random_unit(&random, &wide);
    size_t from = a < b ? a : b, to = a < b ? b : a;
    if (to - from > 12)
      to = from;
    random_text(&random, random_whole(&random, 0, 6), put);
    json_t *range =
        json_pack("{s:o,s:o}", "start", place_json(&wide, from), "end", place_json(&wide, to));
    json_t *change = json_pack("{s:o,s:s}", "range", range, "text", put);
    assert_true(document_change(&session, document, change));
    json_decref(change);
    widen(put, &added);
    if (wide.count + added.count + 64 > MOST / 4) {
      random_text(&random, 120, text);
      document_open(&session, "file:///x.lay", 1, text, strlen(text));
      continue;
    }
    memmove(wide.units + from + added.count, wide.units + to, 2 * (wide.count - to));
    memcpy(wide.units + from, added.units, 2 * added.count);
    size_t length = converted("UTF-8", "UTF-16LE", (char *)wide.units,
                              2 * (wide.count - (to - from) + added.count), back, sizeof back);
    assert_int_equal(document->length, length);
    assert_memory_equal(document->text, back, length);
  }
  document_close(&session, document);
  free(session.documents);
}

/* What is no edit changes nothing. */
static void edits_that_are_none(void **state) {
  (void)state;
  static const char *const CHANGES[] = {
      "{}",
      "[]",
      "7",
      "{\"text\": 7}",
      "{\"range\": {}, \"text\": \"x\"}",
      "{\"range\": {\"start\": {\"line\": 0, \"character\": 0}}, \"text\": \"x\"}",
      "{\"range\": {\"start\": {\"line\": -1, \"character\": 0}, \"end\": {\"line\": 0, "
      "\"character\": 0}}, \"text\": \"x\"}",
      "{\"range\": {\"start\": {\"line\": 0, \"character\": 1.5}, \"end\": {\"line\": 0, "
      "\"character\": 2}}, \"text\": \"x\"}",
      "{\"range\": {\"start\": {\"line\": 0, \"character\": 2}, \"end\": {\"line\": 0, "
      "\"character\": 1}}, \"text\": \"x\"}",
  };
  struct session session = {.unit = PLACE_UTF16};
  document_open(&session, "u", 1, "abc", 3);
  struct document *document = document_find(&session, "u");
  for (size_t i = 0; i < sizeof CHANGES / sizeof CHANGES[0]; i++) {
    json_t *change = json_loads(CHANGES[i], JSON_DECODE_ANY, NULL);
    assert_non_null(change);
    assert_false(document_change(&session, document, change));
    assert_string_equal(document->text, "abc");
    json_decref(change);
  }
  document_close(&session, document);
  free(session.documents);
}

int main(void) {
  struct CMUnitTest tests[ROW_COUNT + 3] = {
      [ROW_COUNT] = cmocka_unit_test(odd_offsets),
      [ROW_COUNT + 1] = cmocka_unit_test(random_edits),
      [ROW_COUNT + 2] = cmocka_unit_test(edits_that_are_none),
  };
  for (size_t i = 0; i < ROW_COUNT; i++)
    tests[i] =
        (struct CMUnitTest){ROWS[i].name, the_place_is, NULL, NULL, (void *)(uintptr_t)&ROWS[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
