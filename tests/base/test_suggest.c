/* The nearest known word. */
#include <string.h>

#include "borelay/suggest.h"
#include "support/close.h"
#include "support/random.h"

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

/* The rule of suggest.h, by distances worked out in full from the definition: of the last letters
 * either one is left out or added, or one changed, or two swapped. */
static size_t distance_slowly(const char *a, size_t i, const char *b, size_t j) {
  if (i == 0 || j == 0)
    return i + j;
  size_t less[] = {distance_slowly(a, i - 1, b, j) + 1, distance_slowly(a, i, b, j - 1) + 1,
                   distance_slowly(a, i - 1, b, j - 1) + (a[i - 1] != b[j - 1]), SIZE_MAX};
  if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
    less[3] = distance_slowly(a, i - 2, b, j - 2) + 1;
  size_t least = less[0];
  for (int k = 1; k < 4; k++)
    least = less[k] < least ? less[k] : least;
  return least;
}

static void write_word(struct random *random, char *word, int longest, int letters) {
  int length = random_whole(random, 0, longest);
  for (int i = 0; i < length; i++)
    word[i] = (char)('a' + random_whole(random, 0, letters - 1));
  word[length] = '\0';
}

static void random_words(void **state) {
  (void)state;
  enum { WORDS = 6, LONGEST = 7 };
  struct random random = {.state = 3};
  for (int round = 0; round < 1500; round++) {
    char word[LONGEST + 1], words[WORDS][LONGEST + 1];
    const char *list[WORDS], *want = NULL;
    size_t nearest = SIZE_MAX;
    int letters = round % 2 ? 3 : 8;
    write_word(&random, word, LONGEST, letters);
    for (size_t i = 0; i < WORDS; i++) {
      write_word(&random, words[i], LONGEST, letters);
      list[i] = words[i];
      size_t length = strlen(word), other = strlen(words[i]);
      size_t distance = distance_slowly(word, length, words[i], other);
      assert_int_equal(suggest_distance(word, words[i]), distance);
      size_t longer = length > other ? length : other, shorter = length > other ? other : length;
      if (distance <= (longer + 2) / 3 && distance < shorter && distance < nearest) {
        nearest = distance;
        want = words[i];
      }
    }
    assert_ptr_equal(suggest_find(word, list, WORDS), want);
  }
}

/* What differs in its letters is passed over without comparing them in pairs. */
static void far_words_cost_their_length(void **state) {
  (void)state;
  struct suggest suggest = suggest_begin("wire_diameter");
  suggest_offer(&suggest, "postflow_xyz");
  assert_int_equal(suggest.work, strlen("postflow_xyz") + 1);
  suggest_offer(&suggest, "wire_diamater");
  assert_string_equal(suggest.best, "wire_diamater");
  assert_true(suggest.work > 60);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(distances),
      cmocka_unit_test(nearest_key),
      cmocka_unit_test(the_first_of_equally_near_ones_stays),
      cmocka_unit_test(random_words),
      cmocka_unit_test(far_words_cost_their_length),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
