/* The reader of words and the table of units know the same units. */
#include <string.h>

#include "borelay/token.h"
#include "resolve/units.h"
#include "support/close.h"

static void every_unit_is_read_as_one(void **state) {
  (void)state;
  for (size_t i = 0; i < unit_count(); i++) {
    const char *name = unit_at(i)->name, *read = "";
    assert_int_equal(unit_fit(name, &read), strlen(name));
    assert_string_equal(read, name);
  }
}

static void every_word_read_as_a_unit_is_one(void **state) {
  (void)state;
  const char *word;
  for (size_t i = 0; (word = unit_word(i)) != NULL; i++)
    assert_non_null(unit_find(word));
  assert_non_null(unit_word(0));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_unit_is_read_as_one),
      cmocka_unit_test(every_word_read_as_a_unit_is_one),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
