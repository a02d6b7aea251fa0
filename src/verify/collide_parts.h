/* collide_parts.h - what one row (collide.c) and many (collide_rows.c) have in common. */
#ifndef VERIFY_COLLIDE_PARTS_H
#define VERIFY_COLLIDE_PARTS_H

#include "verify/collide.h"
#include "verify/near.h"

struct group {
  double room;    /* a lower bound of the least distance at the row before; -INFINITY: none */
  bool is_exact;  /* it is what a look at that row gave */
  size_t stride;  /* rows that a look ahead may well pass over; 0: not tried yet */
  uint64_t retry; /* row before which no look ahead is worth its while */
  double lever;   /* of its farthest point, shift included */
  double shift;   /* to either side along the torch */
};

struct collide {
  const struct cell *cell;
  const struct lay_stack *stack;
  const struct solid *solid;
  struct findings *findings;
  struct group groups[GROUP_COUNT];
  size_t standing, electrode; /* layers of the stack that count as metal */
  size_t laying;              /* index in the stack; stack->count: none yet */
  bool resumes, is_begun, backs_off;
  unsigned looks_left; /* between two rows */
  bool is_untold;      /* they did not do */
  vec3 left_at;        /* tip at the end of the last run */
  double arc_length;   /* that the electrode keeps on this way */
  struct borelay_row row;
  struct head head;
};

/* The group's least distance with the head here, for every shift. */
double collide_look(const struct collide *collide, enum group_id id, const struct head *head,
                    double limit);
double collide_moved(const struct head *a, const struct head *b, double lever);
/* Lower bound between two places with d0, d1 at them, H going straight and the head turning evenly.
 */
double collide_bound(const struct head *a, const struct head *b, double lever, double d0,
                     double d1);
/* Room that is not even near to the worst needs no look: how much must be left for that. */
double collide_calm(const struct collide *collide, enum group_id id, double limit);
/* The worst so far; true: it holds. */
bool collide_keep(struct collide *collide, enum group_id id, int64_t row, double least,
                  double limit);
double collide_limit(const struct collide *collide, enum group_id id);
/* The next row begins with a look. */
void collide_forget(struct group *group);
/* The electrode is meant to touch in a touch, and counts once there is a layer to keep off. */
bool collide_is_judged(const struct collide *collide, enum group_id id);
/* One group on the way to a row. */
void collide_judge(struct collide *collide, enum group_id id, const struct head *from,
                   const struct head *head, int64_t row, double limit);
/* All that a row brings. */
void collide_row(struct collide *collide, const struct borelay_row *row, const struct head *head);

#endif
