/* The programs and the examples of the docs are kept in the one layout.  Run at the top of the
 * project. */
#include <glob.h>

#include "support/golden.h"
#include "tidy/laid.h"

static void the_programs_are_tidy(void **state) {
  (void)state;
  glob_t found;
  assert_int_equal(glob("programs/*.lay", 0, NULL, &found), 0);
  size_t differ = 0;
  for (size_t i = 0; i < found.gl_pathc; i++) {
    char *text = golden_file_text(found.gl_pathv[i]);
    struct laid laid = laid_soundly(text, strlen(text));
    uint32_t line = tidy_difference(laid.told.sources, laid.file, &laid.text);
    if (line > 0)
      print_error("%s:%lu is not tidy\n", found.gl_pathv[i], (unsigned long)line);
    differ += line > 0;
    laid_end(&laid);
    free(text);
  }
  assert_true(found.gl_pathc > 10);
  globfree(&found);
  assert_int_equal(differ, 0);
}

/* What stands between ```lay and ```. */
static void the_pages_show_it(void **state) {
  (void)state;
  static const char *const pages[] = {"docs/tidy.md", "README.md"};
  for (size_t i = 0; i < 2; i++) {
    char *page = golden_file_text(pages[i]);
    char *mark = golden_cut(page, "```lay");
    assert_non_null(mark);
    char *example = golden_after_line(mark);
    assert_non_null(golden_cut(example, "```"));
    struct laid laid = laid_soundly(example, strlen(example));
    assert_string_equal(laid.text.bytes, example);
    laid_end(&laid);
    free(page);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(the_programs_are_tidy),
                                     cmocka_unit_test(the_pages_show_it)};
  return cmocka_run_group_tests_name("tidy programs", tests, NULL, NULL);
}
