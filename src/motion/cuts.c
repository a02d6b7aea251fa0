/* Cuts of a leg: see cuts.h.  Those of a sway are many and come in order. */
#include "motion/cuts.h"

#include <stdlib.h>

#include "motion/layout.h"

/* Fewer half sways are not worth it. */
enum { JOINED_LEAST = 4 };

void cut_push(struct cuts *cuts, double q) {
  if (cuts->count == cuts->capacity) {
    cuts->capacity = cuts->capacity ? 2 * cuts->capacity : 32;
    cuts->at = scratch_grow(cuts->at, cuts->capacity, sizeof(double));
  }
  cuts->at[cuts->count++] = q;
}

void cut_add(struct cuts *cuts, double q) {
  if (q > cuts->q_a && q < cuts->q_b)
    cut_push(cuts, q);
}

void cut_add_window(struct cuts *cuts, double q, double half) {
  if (half <= 0)
    return;
  cut_add(cuts, q - half);
  cut_add(cuts, q + half);
}

static int double_compare(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

void cuts_sort(struct cuts *cuts) {
  if (cuts->count > 1)
    qsort(cuts->at, cuts->count, sizeof(double), double_compare);
}

/* The first `sorted` are in order, and so are the rest. */
static void cuts_merge(struct cuts *cuts, size_t sorted) {
  double *merged = scratch_grow(NULL, cuts->count, sizeof *merged);
  size_t i = 0, k = sorted;
  for (size_t n = 0; n < cuts->count; n++) {
    bool first = k == cuts->count || (i < sorted && cuts->at[i] <= cuts->at[k]);
    merged[n] = cuts->at[first ? i++ : k++];
  }
  free(cuts->at);
  cuts->at = merged;
  cuts->capacity = cuts->count;
}

/* The first half sway comes from the centre line, the last one goes back to it; those between are
 * alike, deeper or back, wherever the way is gone along evenly. */
void cuts_join(struct cuts *cuts, const struct sway *sway, double from, double to) {
  if (!(from < to) || !sway_exists(sway))
    return;
  int64_t before = sway_find(sway, from) + 1, behind = sway_find(sway, to) - 1;
  before = before <= sway->first ? sway->first + 1 : before;
  behind = behind >= sway->last ? sway->last - 1 : behind; /* these lie wholly between the places */
  int64_t first = before + 1 + (before + 1) % 2, end = behind - behind % 2;
  if (end - first < JOINED_LEAST)
    return;
  if (cuts->join_count == cuts->join_capacity) {
    cuts->join_capacity = 2 * cuts->join_capacity + 8;
    cuts->joins = scratch_grow(cuts->joins, cuts->join_capacity, sizeof *cuts->joins);
  }
  cuts->joins[cuts->join_count++] =
      (struct join){sway_crossing(sway, first).lo, sway_crossing(sway, end).lo, first, end - first};
}

void cuts_add_sway(struct cuts *cuts, const struct sway *sway, struct range within) {
  if (!sway_exists(sway))
    return;
  size_t sorted = cuts->count, joined = 0;
  int64_t j = sway_find(sway, cuts->q_a > within.lo ? cuts->q_a : within.lo) - 1;
  for (j = j < sway->first ? sway->first : j; j <= sway->last; j++) {
    double parts[4];
    sway_cuts(sway, j, parts);
    if (parts[0] >= cuts->q_b)
      break;
    while (joined < cuts->join_count && cuts->joins[joined].first < j)
      joined++;
    if (joined < cuts->join_count && cuts->joins[joined].first == j) {
      cut_add(cuts, parts[0]);
      j += cuts->joins[joined].count - 1;
      continue;
    }
    for (int i = 0; i < 4; i++)
      cut_add(cuts, parts[i]);
    if (parts[0] > within.hi)
      break;
  }
  if (cuts->count > sorted)
    cuts_merge(cuts, sorted);
}
