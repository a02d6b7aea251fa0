/* suggest.h - "did you mean": the known word nearest to a misspelt one.
 *
 * Nearness is the number of letters inserted, left out, changed, or swapped with
 * their neighbour (Damerau-Levenshtein in its restricted form, "optimal string
 * alignment": no letter is edited twice).  A candidate is near enough when that
 * is at most a third of the longer word, rounded up, and less than the length of either. */
#ifndef BORELAY_SUGGEST_H
#define BORELAY_SUGGEST_H

#include <stddef.h>

/* Offer candidates one by one; the first of equally near ones stays. */
struct suggest {
  const char *word;
  const char *best; /* NULL: none is near enough */
  size_t distance;  /* of best */
  size_t work;      /* letters looked at so far, and pairs of them */
};

struct suggest suggest_begin(const char *word);
void suggest_offer(struct suggest *suggest, const char *candidate);

/* All at once: the best of count candidates, or NULL. */
const char *suggest_find(const char *word, const char *const *candidates, size_t count);

/* Words longer than 64 bytes are infinitely far (SIZE_MAX) from every other. */
size_t suggest_distance(const char *a, const char *b);

#endif
