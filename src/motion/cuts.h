/* cuts.h - where a leg is cut into curves. */
#ifndef BORELAY_MOTION_CUTS_H
#define BORELAY_MOTION_CUTS_H

#include "motion/sway.h"

/* Half sways first .. first + count - 1, on which the leg is not cut. */
struct join {
  double from, to;
  int64_t first, count;
};

/* Places between q_a and q_b, exclusive. */
struct cuts {
  double q_a, q_b;
  double *at;
  size_t count, capacity;
  struct join *joins; /* in order */
  size_t join_count, join_capacity;
};

void cut_push(struct cuts *cuts, double q);
void cut_add(struct cuts *cuts, double q);
void cut_add_window(struct cuts *cuts, double q, double half);
void cuts_sort(struct cuts *cuts);

/* Adds the half sways that may be joined between two places where all but the sway is even, if they
 * are enough; at least a half sway is left apart on either side. */
void cuts_join(struct cuts *cuts, const struct sway *sway, double from, double to);
/* The cuts of every half sway that is in `within` and not joined, and of the one before, in which a
 * curve may begin that reaches into it; the others are in order already. */
void cuts_add_sway(struct cuts *cuts, const struct sway *sway, struct range within);

#endif
