/* Each check's margin before and after, those that got worse first. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "compare/effects.h"

/* Room that is left; what is missing is negative.  Whether a limit is a least or a most is the
 * check's affair: passed tells the sign. */
static double margin_of(const struct check_result *result) {
  if (!result || !result->judged)
    return FIGURE_NONE;
  double distance = fabs(result->limit - result->worst);
  return result->passed ? distance : -distance;
}

static const struct check_result *result_find(const struct verdict *verdict, const char *name) {
  for (size_t i = 0; verdict && i < verdict->result_count; i++)
    if (strcmp(verdict->results[i].name, name) == 0)
      return &verdict->results[i];
  return NULL;
}

/* Share of the limit that the margin lost; what is rounding counts as nothing. */
static double worsening(const struct check_pair *pair) {
  const struct check_result *before = pair->before, *after = pair->after;
  if (!before || !after || !before->judged || !after->judged)
    return 0;
  double scale = fmax(fmax(fabs(before->limit), fabs(after->limit)), 1e-6);
  double lost = (pair->margin_before - pair->margin_after) / scale;
  return fabs(lost) < 1e-5 ? 0 : lost;
}

static struct check_pair pair_make(const struct check_result *before,
                                   const struct check_result *after) {
  struct check_pair pair = {before, after, margin_of(before), margin_of(after), 0};
  pair.worsening = worsening(&pair);
  return pair;
}

static bool holds(const struct check_result *result) {
  return !result || !result->judged || result->passed;
}

bool check_is_change(const struct check_pair *pair) {
  bool judged_before = pair->before && pair->before->judged;
  bool judged_after = pair->after && pair->after->judged;
  if (judged_before != judged_after || holds(pair->before) != holds(pair->after))
    return true;
  bool same_limit = judged_before && judged_after
                        ? fabs(pair->before->limit - pair->after->limit) <=
                              1e-9 * fmax(fabs(pair->before->limit), fabs(pair->after->limit))
                        : true;
  return fabs(pair->worsening) > 0 || !same_limit;
}

/* 0: holds no longer; 1: does not hold, as before; 2: the rest */
static int rank_of(const struct check_pair *pair) {
  return holds(pair->after) ? 2 : holds(pair->before) ? 0 : 1;
}

static int by_worsening(const void *one, const void *other) {
  const struct check_pair *a = one, *b = other;
  int rank = rank_of(a) - rank_of(b);
  if (rank != 0)
    return rank;
  if (a->worsening > b->worsening || a->worsening < b->worsening)
    return a->worsening > b->worsening ? -1 : 1;
  /* As the checks stand, which is one array for each verdict. */
  const struct check_result *x = a->after ? a->after : a->before;
  const struct check_result *y = b->after ? b->after : b->before;
  return strcmp(x->name, y->name);
}

struct check_pair *check_pairs_make(struct arena *arena, const struct verdict *before,
                                    const struct verdict *after, size_t *count) {
  size_t most = (before ? before->result_count : 0) + (after ? after->result_count : 0);
  struct check_pair *pairs = arena_alloc(arena, most + 1, sizeof *pairs);
  *count = 0;
  for (size_t i = 0; after && i < after->result_count; i++)
    pairs[(*count)++] = pair_make(result_find(before, after->results[i].name), &after->results[i]);
  for (size_t i = 0; before && i < before->result_count; i++)
    if (!result_find(after, before->results[i].name))
      pairs[(*count)++] = pair_make(&before->results[i], NULL);
  qsort(pairs, *count, sizeof *pairs, by_worsening);
  return pairs;
}
