/* stretches.h - sets of stretches of one line: apart from each other, in rising order.
 *
 * Ends belong to no stretch: two that touch are one.  What is empty is not kept. */
#ifndef BORELAY_STRETCHES_H
#define BORELAY_STRETCHES_H

#include <stddef.h>

struct arena;

struct stretch {
  double from, to; /* from < to */
};
struct stretches { /* starts as {.arena = arena} */
  struct arena *arena;
  struct stretch *items;
  size_t count, room;
};

/* Joins what it overlaps or touches; at once where it lies behind the last, as it mostly does. */
void stretches_add(struct stretches *set, double from, double to);
void stretches_cut(struct stretches *set, double from, double to);
/* What both hold. */
struct stretches stretches_meet(const struct stretches *a, const struct stretches *b);
/* What is left of from .. to. */
struct stretches stretches_rest(const struct stretches *set, double from, double to);
/* Without those shorter than `least`. */
struct stretches stretches_sift(const struct stretches *set, double least);

#endif
