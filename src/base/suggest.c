/* The nearest known word, by the edit distance that knows swapped neighbours. */
#include "borelay/suggest.h"

#include <stdint.h>
#include <string.h>

enum { LONGEST = 64 };

static size_t least(size_t a, size_t b) {
  return a < b ? a : b;
}

/* Three rows of the table of distances between prefixes are enough: a swap looks two back. */
size_t suggest_distance(const char *a, const char *b) {
  size_t a_length = strlen(a), b_length = strlen(b);
  if (a_length > LONGEST || b_length > LONGEST)
    return strcmp(a, b) == 0 ? 0 : SIZE_MAX;
  size_t rows[3][LONGEST + 1];
  for (size_t j = 0; j <= b_length; j++)
    rows[0][j] = j;
  for (size_t i = 1; i <= a_length; i++) {
    size_t *row = rows[i % 3];
    const size_t *above = rows[(i - 1) % 3], *two_above = rows[(i + 1) % 3];
    row[0] = i;
    for (size_t j = 1; j <= b_length; j++) {
      row[j] = least(least(above[j], row[j - 1]) + 1, above[j - 1] + (a[i - 1] != b[j - 1]));
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = least(row[j], two_above[j - 2] + 1);
    }
  }
  return rows[a_length % 3][b_length];
}

struct suggest suggest_begin(const char *word) {
  return (struct suggest){.word = word, .best = NULL, .distance = SIZE_MAX};
}

void suggest_offer(struct suggest *suggest, const char *candidate) {
  size_t word_length = strlen(suggest->word), length = strlen(candidate);
  size_t shorter = least(word_length, length);
  size_t longer = word_length > length ? word_length : length;
  size_t distance = suggest_distance(suggest->word, candidate);
  if (distance <= (longer + 2) / 3 && distance < shorter && distance < suggest->distance) {
    suggest->best = candidate;
    suggest->distance = distance;
  }
}

const char *suggest_find(const char *word, const char *const *candidates, size_t count) {
  struct suggest suggest = suggest_begin(word);
  for (size_t i = 0; i < count; i++)
    suggest_offer(&suggest, candidates[i]);
  return suggest.best;
}
