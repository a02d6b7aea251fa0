/* The nearest known word. */
#include "borelay/suggest.h"
#include "support/close.h"

/* Distances.  "kitten" and "saturday" are the usual examples of Levenshtein's distance;
 * "ca" and "abc" tell the restricted form (3) from the full Damerau-Levenshtein (2):
 * L. Boytsov, Indexing methods for approximate dictionary searching, ACM JEA 16 (2011),
 * section 2.2 (from memory). */
static void distances(void **state) {
  (void)state;
  static const struct {
    const char *a, *b;
    size_t want;
  } rows[] = {
      {"kitten", "sitting", 3}, {"saturday", "sunday", 3},
      {"ca", "abc", 3},         {"", "abc", 3},
      {"abc", "", 3},           {"", "", 0},
      {"depth", "depth", 0},    {"dpeth", "depth", 1},
      {"dpehts", "depths", 2},  {"overlp", "overlap", 1},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    assert_int_equal(suggest_distance(rows[i].a, rows[i].b), rows[i].want);
    assert_int_equal(suggest_distance(rows[i].b, rows[i].a), rows[i].want);
  }
}

static void nearest_key(void **state) {
  (void)state;
  static const char *const keys[] = {"wall",      "depths",  "procedure", "layers", "overlap",
                                     "direction", "stagger", "pitch",     "entry",  "entry_angle"};
  static const struct {
    const char *word, *want; /* NULL: none is near */
  } rows[] = {
      {"dpeths", "depths"},
      {"depth", "depths"},
      {"over_lap", "overlap"},
      {"prozedure", "procedure"},
      {"dxxths", "depths"},
      {"dxxxhs", NULL},
      {"entri", "entry"},
      {"entry_angel", "entry_angle"},
      {"layer", "layers"},
      {"colour", NULL},
      {"x", NULL},
      {"", NULL},
      {"wire_diameter", NULL},
      {"a_word_that_is_much_longer_than_any_key_of_the_language_could_ever_be_x", NULL},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const char *got = suggest_find(rows[i].word, keys, sizeof keys / sizeof *keys);
    if (rows[i].want)
      assert_string_equal(got ? got : "(none)", rows[i].want);
    else
      assert_null(got);
  }
}

static void the_first_of_equally_near_ones_stays(void **state) {
  (void)state;
  struct suggest suggest = suggest_begin("axis_w");
  suggest_offer(&suggest, "axis_x");
  suggest_offer(&suggest, "axis_y");
  assert_string_equal(suggest.best, "axis_x");
  suggest_offer(&suggest, "axis_w");
  assert_string_equal(suggest.best, "axis_w");
  assert_int_equal(suggest.distance, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(distances),
      cmocka_unit_test(nearest_key),
      cmocka_unit_test(the_first_of_equally_near_ones_stays),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
