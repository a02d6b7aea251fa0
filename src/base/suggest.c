/* The nearest known word, by the edit distance that knows swapped neighbours. */
#include "borelay/suggest.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

enum { LONGEST = 64 };

static size_t least(size_t a, size_t b) {
  return a < b ? a : b;
}

/* The distance where it is at most `most`, as the lengths' difference is, else something larger.
 * Of the table of distances between prefixes three rows are enough, since a swap looks two back,
 * and in them the places that lie at most so far from the diagonal.  The least of a row never
 * falls again: a swap costs no less than the change on its way. */
static size_t distance_within(const char *a, size_t a_length, const char *b, size_t b_length,
                              size_t most) {
  enum { FAR = 2 * LONGEST };
  uint8_t rows[3][LONGEST + 1] = {{0}};
  for (size_t j = 0; j <= b_length; j++)
    rows[0][j] = (uint8_t)j;
  for (size_t i = 1; i <= a_length; i++) {
    uint8_t *row = rows[i % 3];
    size_t nearest = FAR;
    const uint8_t *above = rows[(i - 1) % 3], *two_above = rows[(i + 1) % 3];
    size_t first = i > most ? i - most : 0, last = least(b_length, i + most);
    for (size_t j = first; j <= last; j++) {
      bool is_edge = j == i + most; /* above it nothing was worked out */
      size_t longer = is_edge ? FAR : above[j] + 1u;
      size_t shorter = j == first ? FAR : row[j - 1] + 1u;
      size_t changed = j == 0 ? FAR : (size_t)above[j - 1] + (a[i - 1] != b[j - 1]);
      size_t here = least(least(longer, shorter), changed);
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        here = least(here, two_above[j - 2] + 1u);
      row[j] = (uint8_t)here;
      nearest = least(nearest, here);
    }
    if (nearest > most)
      return most + 1;
  }
  return rows[a_length % 3][b_length];
}

/* The letters of a word as a set; some share a bit. */
static uint64_t letters_of(const char *word) {
  uint64_t letters = 0;
  for (; *word; word++)
    letters |= (uint64_t)1 << (*word & 63);
  return letters;
}

static size_t count_of(uint64_t letters) {
  size_t count = 0;
  for (; letters; letters &= letters - 1)
    count++;
  return count;
}

/* Each edit brings in one letter at most that was not there, and takes one away. */
static size_t least_distance(const char *a, const char *b) {
  uint64_t of_a = letters_of(a), of_b = letters_of(b);
  size_t missing = count_of(of_a & ~of_b), added = count_of(of_b & ~of_a);
  return missing > added ? missing : added;
}

static bool is_too_long(size_t a_length, size_t b_length) {
  return a_length > LONGEST || b_length > LONGEST;
}

size_t suggest_distance(const char *a, const char *b) {
  size_t a_length = strlen(a), b_length = strlen(b);
  if (is_too_long(a_length, b_length))
    return strcmp(a, b) == 0 ? 0 : SIZE_MAX;
  return distance_within(a, a_length, b, b_length, LONGEST);
}

struct suggest suggest_begin(const char *word) {
  return (struct suggest){.word = word, .best = NULL, .distance = SIZE_MAX};
}

void suggest_offer(struct suggest *suggest, const char *candidate) {
  size_t word_length = strlen(suggest->word), length = strlen(candidate);
  size_t shorter = least(word_length, length);
  size_t longer = word_length > length ? word_length : length;
  suggest->work += length + 1;
  if (shorter == 0 || suggest->distance == 0)
    return;
  size_t most = least(least((longer + 2) / 3, shorter - 1), suggest->distance - 1);
  if (longer - shorter > most || least_distance(suggest->word, candidate) > most)
    return; /* so many are left out, or changed, at least */
  suggest->work += word_length * least(length, 2 * most + 1);
  size_t distance = is_too_long(word_length, length)
                        ? suggest_distance(suggest->word, candidate)
                        : distance_within(suggest->word, word_length, candidate, length, most);
  if (distance <= most) {
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
