/* How diagnostics look, whole. */
#include "support/random.h"
#include "support/told.h"

static const char bore[] = "overlay bore {\n"
                           "  travel_speed 180 mm\n"
                           "\tdepths 3 .. 4 mm\t# deep\r\n"
                           "  wall \xE2\x89\xA2\xCE\x91 seal\n"
                           "\n"
                           "}\n";

static span at(uint32_t begin, uint32_t end) {
  return (span){.file = 1, .begin = begin, .end = end};
}

/* The stretch of text, which occurs once. */
static span over(const char *text) {
  uint32_t begin = (uint32_t)(strstr(bore, text) - bore);
  return at(begin, begin + (uint32_t)strlen(text));
}

static struct told begin(void) {
  struct told told = told_begin();
  told_add(&told, "jobs/bore.lay", bore);
  return told;
}

static void an_error_with_a_note_and_help(void **state) {
  (void)state;
  struct told told = begin();
  struct diag *diag = diag_error(told.diags, DIAG_DIMENSION, over("180 mm"),
                                 "%s wants a speed; this is a %s", "travel_speed", "length");
  diag_note(diag, over("bore"), "in this overlay");
  diag_note(diag, (span){.file = 0}, "speeds are lengths per time");
  diag_help(diag, "write `%d mm/min`", 180);
  told_assert(&told,
              "jobs/bore.lay:2:16: error[E0312]: travel_speed wants a speed; this is a length\n"
              "    2 |   travel_speed 180 mm\n"
              "      |                ^~~~~~\n"
              "jobs/bore.lay:1:9: note: in this overlay\n"
              "    1 | overlay bore {\n"
              "      |         ^~~~\n"
              "note: speeds are lengths per time\n"
              "help: write `180 mm/min`\n");
  told_end(&told);
}

static void tabs_and_code_points_keep_the_mark_in_place(void **state) {
  (void)state;
  struct told told = begin();
  diag_warning(told.diags, DIAG_VALUE_RANGE, over("3 .. 4 mm"), "a tab before");
  diag_warning(told.diags, DIAG_VALUE_RANGE, over("mm\t# deep"), "a tab inside");
  diag_warning(told.diags, DIAG_VALUE_RANGE, over("\xE2\x89\xA2\xCE\x91"), "two code points");
  diag_warning(told.diags, DIAG_VALUE_RANGE, over(" seal"), "behind them");
  told_assert(&told, "jobs/bore.lay:3:9: warning[W0301]: a tab before\n"
                     "    3 |         depths 3 .. 4 mm        # deep\n"
                     "      |                ^~~~~~~~~\n"
                     "jobs/bore.lay:3:16: warning[W0301]: a tab inside\n"
                     "    3 |         depths 3 .. 4 mm        # deep\n"
                     "      |                       ^~~~~~~~~~~~~~~~\n"
                     "jobs/bore.lay:4:8: warning[W0301]: two code points\n"
                     "    4 |   wall \xE2\x89\xA2\xCE\x91 seal\n"
                     "      |        ^~\n"
                     "jobs/bore.lay:4:10: warning[W0301]: behind them\n"
                     "    4 |   wall \xE2\x89\xA2\xCE\x91 seal\n"
                     "      |          ^~~~~\n");
  told_end(&told);
}

static void of_several_lines_the_first_is_shown(void **state) {
  (void)state;
  struct told told = begin();
  diag_error(told.diags, DIAG_SYNTAX, at(over("bore").begin, over("seal").end), "long");
  told_assert(&told, "jobs/bore.lay:1:9: error[E0123]: long\n"
                     "    1 | overlay bore {\n"
                     "      |         ^~~~~~\n");
  told_end(&told);
}

static void an_empty_stretch_has_one_mark(void **state) {
  (void)state;
  struct told told = begin();
  uint32_t end = (uint32_t)strlen(bore);
  diag_error(told.diags, DIAG_SYNTAX, at(14, 14), "end of a line");
  diag_error(told.diags, DIAG_SYNTAX, at(end - 3, end - 3), "empty line");
  diag_error(told.diags, DIAG_SYNTAX, at(end, end), "end of the file");
  told_assert(&told, "jobs/bore.lay:1:15: error[E0123]: end of a line\n"
                     "    1 | overlay bore {\n"
                     "      |               ^\n"
                     "jobs/bore.lay:5:1: error[E0123]: empty line\n"
                     "    5 |\n"
                     "      | ^\n"
                     "jobs/bore.lay:7:1: error[E0123]: end of the file\n"
                     "    7 |\n"
                     "      | ^\n");
  told_end(&told);
}

/* Controls would be obeyed by a terminal, U+202E would turn the writing round. */
static void nothing_that_a_terminal_obeys_is_shown(void **state) {
  (void)state;
  struct told told = told_begin();
  told_add(&told, "a.lay", "a \x1B[2J \xFF \xC2\x9B \xE2\x80\xAE z");
  diag_error(told.diags, DIAG_SYNTAX, at(16, 17), "here");
  told_assert(&told, "a.lay:1:14: error[E0123]: here\n"
                     "    1 | a \xEF\xBF\xBD[2J \xEF\xBF\xBD \xEF\xBF\xBD \xEF\xBF\xBD z\n"
                     "      |              ^\n");
  told_end(&told);
}

static void a_long_line_is_cut_around_the_place(void **state) {
  (void)state;
  struct told told = told_begin();
  char text[401];
  for (size_t i = 0; i < 400; i++)
    text[i] = (char)('0' + i / 10 % 10);
  text[400] = '\0';
  told_add(&told, "a.lay", text);
  diag_error(told.diags, DIAG_SYNTAX, at(5, 8), "near the begin");
  diag_error(told.diags, DIAG_SYNTAX, at(200, 204), "in the middle");
  diag_error(told.diags, DIAG_SYNTAX, at(390, 400), "at the end");
  told_assert(
      &told,
      "a.lay:1:6: error[E0123]: near the begin\n"
      "    1 | 00000000001111111111222222222233333333334444444444555555555566666666667777777777"
      "888888888899999999990000000000...\n"
      "      |      ^~~\n"
      "a.lay:1:201: error[E0123]: in the middle\n"
      "    1 | ...6666666666777777777788888888889999999999000000000011111111112222222222"
      "3333333333444444444455555555556666666666...\n"
      "      |                                            ^~~~\n"
      "a.lay:1:391: error[E0123]: at the end\n"
      "    1 | ...55555555556666666666777777777788888888889999999999\n"
      "      |                                            ^~~~~~~~~~\n");
  told_end(&told);
}

/* In any order, many of them twice. */
static void many_are_sorted_and_told_once(void **state) {
  (void)state;
  enum { TOLD = 2000, PLACES = 30 };
  struct told told = begin();
  struct random random = {.state = 7};
  bool seen[PLACES][2][3] = {{{false}}};
  size_t distinct = 0;
  for (int i = 0; i < TOLD; i++) {
    int at = random_whole(&random, 0, PLACES - 1), length = random_whole(&random, 0, 1);
    int word = random_whole(&random, 0, 2);
    distinct += !seen[at][length][word];
    seen[at][length][word] = true;
    span place = {.file = 1, .begin = (uint32_t)at, .end = (uint32_t)(at + length)};
    diag_error(told.diags, DIAG_SYNTAX, place, "word %d", word);
    assert_int_equal(diag_error_count(told.diags), distinct);
  }
  assert_int_equal(diag_count(told.diags), distinct);
  for (size_t i = 1; i < distinct; i++) {
    struct diag_view a = diag_view_get(told.diags, i - 1), b = diag_view_get(told.diags, i);
    int order = a.at.begin != b.at.begin ? (int)b.at.begin - (int)a.at.begin
                : a.at.end != b.at.end   ? (int)b.at.end - (int)a.at.end
                                         : strcmp(b.message, a.message);
    assert_true(order > 0);
  }
  told_end(&told);
}

static void sorted_by_file_and_place_and_told_once(void **state) {
  (void)state;
  struct told told = begin();
  told_add(&told, "cells.lay", "cell north {}\n");
  diag_error(told.diags, DIAG_SYNTAX, (span){.file = 2, .begin = 5, .end = 10}, "in the second");
  diag_error(told.diags, DIAG_SYNTAX, over("wall"), "later");
  diag_error(told.diags, DIAG_SYNTAX, over("bore"), "twice");
  struct diag *again = diag_error(told.diags, DIAG_SYNTAX, over("bore"), "twice");
  diag_help(again, "not told a second time");
  diag_warning(told.diags, DIAG_SYNTAX, over("bore"), "a warning behind an error");
  diag_error(told.diags, DIAG_SYNTAX, (span){.file = 0}, "no place");
  told_assert(&told, "error[E0123]: no place\n"
                     "jobs/bore.lay:1:9: error[E0123]: twice\n"
                     "    1 | overlay bore {\n"
                     "      |         ^~~~\n"
                     "jobs/bore.lay:1:9: warning[W0123]: a warning behind an error\n"
                     "    1 | overlay bore {\n"
                     "      |         ^~~~\n"
                     "jobs/bore.lay:4:3: error[E0123]: later\n"
                     "    4 |   wall \xE2\x89\xA2\xCE\x91 seal\n"
                     "      |   ^~~~\n"
                     "cells.lay:1:6: error[E0123]: in the second\n"
                     "    1 | cell north {}\n"
                     "      |      ^~~~~\n");
  assert_int_equal(diag_error_count(told.diags), 4);
  assert_int_equal(diag_warning_count(told.diags), 1);
  assert_int_equal(diag_count(told.diags), 5);
  struct diag_view view = diag_view_get(told.diags, 2);
  assert_false(view.is_error);
  assert_string_equal(view.code, "W0123");
  assert_string_equal(view.message, "a warning behind an error");
  assert_int_equal(view.at.begin, over("bore").begin);
  told_end(&told);
}

static void after_twenty_the_rest_is_counted(void **state) {
  (void)state;
  struct told told = begin();
  for (int i = 0; i < 23; i++)
    diag_error(told.diags, DIAG_SYNTAX, (span){.file = 0}, "fault %02d", i);
  for (int i = 0; i < 21; i++)
    diag_warning(told.diags, DIAG_SYNTAX, over("bore"), "hint %02d", i);
  char *text = told_text(&told);
  assert_non_null(strstr(text, "error[E0123]: fault 19\n"));
  assert_null(strstr(text, "fault 20"));
  assert_non_null(strstr(text, "hint 19\n"));
  assert_null(strstr(text, "hint 20"));
  const char *last = strstr(text, "and 3 more errors and 1 more warning\n");
  assert_non_null(last);
  assert_string_equal(last, "and 3 more errors and 1 more warning\n");
  free(text);
  assert_int_equal(diag_error_count(told.diags), 23);
  told_end(&told);
}

/* Two codes with one number could not be told apart, and the number's first digit is
 * the stage. */
static void every_code_has_its_own_number(void **state) {
  (void)state;
  static const int numbers[] = {
#define DIAG(name, number, summary) number,
#include "borelay/diag_codes.def"
#undef DIAG
  };
  for (size_t i = 0; i < DIAG_CODE_COUNT; i++) {
    assert_in_range(numbers[i], 1, 799);
    for (size_t j = 0; j < i; j++)
      assert_int_not_equal(numbers[i], numbers[j]);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(an_error_with_a_note_and_help),
      cmocka_unit_test(tabs_and_code_points_keep_the_mark_in_place),
      cmocka_unit_test(of_several_lines_the_first_is_shown),
      cmocka_unit_test(an_empty_stretch_has_one_mark),
      cmocka_unit_test(nothing_that_a_terminal_obeys_is_shown),
      cmocka_unit_test(a_long_line_is_cut_around_the_place),
      cmocka_unit_test(sorted_by_file_and_place_and_told_once),
      cmocka_unit_test(many_are_sorted_and_told_once),
      cmocka_unit_test(after_twenty_the_rest_is_counted),
      cmocka_unit_test(every_code_has_its_own_number),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
